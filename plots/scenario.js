// SPDX-License-Identifier: MIT
// A scenario as a page has it (a dump of its tree) and as a file that the program reads.
"use strict";

const unescapeDump = (text) => text.replace(/\\(x[0-9a-fA-F]{2}|.)/g, (_, c) =>
    c === "n" ? "\n" : c === "t" ? "\t" : c === "r" ? "\r"
        : c[0] === "x" && c.length === 3 ? String.fromCharCode(parseInt(c.slice(1), 16)) : c);

// Nested Maps, arrays and {text, quoted}; without the records.
const readDump = (dump) => {
    const root = { kind: "list", value: [] };
    const open = [root];
    let key = null;
    const put = (value) => {
        const top = open[open.length - 1];
        if (top.kind === "map") top.value.set(key, value); else top.value.push(value);
    };
    for (const line of dump.split("\n").slice(1)) {
        const [kind, , , text] = line.split("\t");
        if (kind === "map" || kind === "list") {
            const node = { kind, value: kind === "map" ? new Map() : [] };
            put(node.value); open.push(node);
        } else if (kind === "end") open.pop();
        else if (kind === "key") key = unescapeDump(text);
        else if (kind === "plain" || kind === "quoted") {
            put({ text: unescapeDump(text || ""), quoted: kind === "quoted" });
        }
    }
    return root.value[0] || new Map();
};

// Plain where a plain scalar of YAML may stand and mean the same, else in quotes.
const yamlScalar = ({ text, quoted }) =>
    !quoted && /^[\w.+<=(][\w .+/()%^<=*;'-]*$/.test(text) && !/\s$/.test(text)
        ? text : JSON.stringify(text);
const yamlKey = (key) => (/^[\w][\w -]*$/.test(key) ? key : JSON.stringify(key));

const yamlFlow = (node) => {
    if (node instanceof Map) {
        return `{${[...node].map(([k, v]) => `${yamlKey(k)}: ${yamlFlow(v)}`).join(", ")}}`;
    }
    if (Array.isArray(node)) return `[${node.map(yamlFlow).join(", ")}]`;
    return /[,[\]{}]/.test(node.text) ? JSON.stringify(node.text) : yamlScalar(node);
};

const yamlText = (root) => {
    let text = "";
    for (const [key, node] of root) {
        if (node instanceof Map && node.size > 0) {
            text += `\n${yamlKey(key)}:\n`;
            for (const [name, value] of node) text += `  ${yamlKey(name)}: ${yamlFlow(value)}\n`;
        } else text += `${yamlKey(key)}: ${yamlFlow(node)}\n`;
    }
    return text;
};

// The tree with assignments carried out, "section.name" or "trims.NAME.name" => text.
const changeTree = (root, changes) => {
    for (const [path, text] of changes) {
        const words = path.split(".");
        let at = root;
        for (const word of words.slice(0, -1)) {
            if (!(at.get(word) instanceof Map)) at.set(word, new Map());
            at = at.get(word);
        }
        const name = words[words.length - 1];
        // For all trims: what a trim says by itself gives way.
        if (words[0] === "trim" && root.get("trims") instanceof Map) {
            for (const trim of root.get("trims").values()) trim.delete(name);
        }
        at.set(name, { text, quoted: false });
    }
    return root;
};
