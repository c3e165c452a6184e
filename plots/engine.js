// SPDX-License-Identifier: MIT
// Workers with the model in them, made from texts of this page; promises in place of messages.
"use strict";

const textOf = (id) => document.getElementById(id).textContent;

// A worker that answers, or null where the browser cannot run the module.
const startEngine = async () => {
    if (typeof WebAssembly !== "object" || typeof Worker !== "function") return null;
    const url = URL.createObjectURL(new Blob([textOf("worker")], { type: "text/javascript" }));
    const worker = new Worker(url);
    const waiting = new Map();
    let next = 0;
    const fail = (error) => { for (const w of waiting.values()) w.reject(error); waiting.clear(); };
    worker.onmessage = ({ data }) => {
        const w = waiting.get(data.id);
        waiting.delete(data.id);
        if (data.error) w.reject(new Error(data.error)); else w.resolve(data.answer);
    };
    worker.onerror = (event) => { event.preventDefault(); fail(new Error(event.message || "no worker")); };
    const ask = (question, more = {}) => new Promise((resolve, reject) => {
        waiting.set(++next, { resolve, reject });
        worker.postMessage({ ...more, ask: question, id: next });
    });
    const raw = atob(textOf("module"));
    const bytes = Uint8Array.from(raw, (c) => c.charCodeAt(0));
    await ask("load", { bytes });
    return ask;
};
