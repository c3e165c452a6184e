// SPDX-License-Identifier: MIT
// Elements made by hand. Texts are set as text, never as markup.
"use strict";

const byId = (id) => document.getElementById(id);

const fill = (node, attributes, children) => {
    for (const [name, value] of Object.entries(attributes)) {
        if (name.startsWith("on")) node.addEventListener(name.slice(2), value);
        else if (value === true) node.setAttribute(name, "");
        else if (value !== false && value !== null) node.setAttribute(name, value);
    }
    node.append(...children.filter((child) => child !== null));
    return node;
};
const make = (tag, attributes = {}, ...children) =>
    fill(document.createElement(tag), attributes, children);
const draw = (tag, attributes = {}, ...children) =>
    fill(document.createElementNS("http://www.w3.org/2000/svg", tag), attributes, children);

// A number as a field hand reads it.
const short = (value) => {
    if (!Number.isFinite(value)) return "-";
    const size = Math.abs(value);
    if (size !== 0 && (size < 0.001 || size >= 1e6)) return value.toPrecision(3);
    return String(Number(value.toPrecision(size >= 1000 ? 4 : 3)));
};
const calm = () => matchMedia("(prefers-reduced-motion: reduce)").matches;
