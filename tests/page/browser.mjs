// SPDX-License-Identifier: MIT
// A headless Chromium, driven through its own protocol over two pipes: no package beside the
// browser is needed. One page at a time; everything it writes to its console is kept.
import { spawn } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

export const openBrowser = async (more = []) => {
    const profile = mkdtempSync(join(tmpdir(), "lowlift-page-"));
    const child = spawn("chromium", ["--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage",
        "--remote-debugging-pipe", "--no-first-run", "--disable-extensions", "--disable-background-networking",
        "--disable-component-update", "--autoplay-policy=user-gesture-required",
        `--user-data-dir=${profile}`, ...more, "about:blank"],
    { stdio: ["ignore", "ignore", "ignore", "pipe", "pipe"] });
    const [, , , to, from] = child.stdio;
    const waiting = new Map(), listeners = [];
    let next = 0, rest = "", session;
    from.on("data", (chunk) => {
        const parts = (rest + chunk).split("\0");
        rest = parts.pop();
        for (const part of parts) {
            const message = JSON.parse(part);
            const w = waiting.get(message.id);
            waiting.delete(message.id);
            if (w && message.error) w.reject(new Error(message.error.message));
            else if (w) w.resolve(message.result);
            else listeners.forEach((listener) => listener(message));
        }
    });
    child.on("exit", () => { for (const w of waiting.values()) w.reject(new Error("the browser ended")); });
    const send = (method, params = {}, of = session) => new Promise((resolve, reject) => {
        waiting.set(++next, { resolve, reject });
        to.write(`${JSON.stringify({ id: next, method, params, sessionId: of })}\0`);
    });
    const once = (method) => new Promise((resolve) => {
        const listener = (message) => {
            if (message.method !== method) return;
            listeners.splice(listeners.indexOf(listener), 1);
            resolve(message.params);
        };
        listeners.push(listener);
    });

    const { targetId } = await send("Target.createTarget", { url: "about:blank" }, undefined);
    session = (await send("Target.attachToTarget", { targetId, flatten: true }, undefined)).sessionId;
    const complaints = [];
    listeners.push(({ method, params }) => {
        if (method === "Runtime.exceptionThrown") {
            complaints.push(params.exceptionDetails.exception?.description || params.exceptionDetails.text);
        } else if (method === "Log.entryAdded" && params.entry.level === "error") complaints.push(params.entry.text);
        else if (method === "Runtime.consoleAPICalled" && ["error", "warning", "assert"].includes(params.type)) {
            complaints.push(params.args.map((a) => a.value || a.description).join(" "));
        }
    });
    for (const domain of ["Page", "Runtime", "Log"]) await send(`${domain}.enable`);

    const browser = { send, complaints };
    browser.go = async (path) => {
        complaints.length = 0;
        const loaded = once("Page.loadEventFired");
        await send("Page.navigate", { url: `file://${path}` });
        await loaded;
    };
    // Value of an expression, awaited.
    browser.see = async (expression) => {
        const found = await send("Runtime.evaluate", { expression, awaitPromise: true, returnByValue: true });
        if (found.exceptionDetails) {
            throw new Error(`${expression}: ${found.exceptionDetails.exception?.description}`);
        }
        return found.result.value;
    };
    // Until an expression is true; a limit in seconds stops a page that never comes to it.
    browser.until = async (expression, limit = 60) => {
        for (const end = Date.now() + limit * 1000; Date.now() < end;) {
            if (await browser.see(expression)) return;
            await new Promise((resolve) => setTimeout(resolve, 20));
        }
        throw new Error(`never came true: ${expression}`);
    };
    browser.size = (width, height, phone = false) => send("Emulation.setDeviceMetricsOverride",
        { width, height, deviceScaleFactor: phone ? 2 : 1, mobile: phone });
    browser.media = (features) => send("Emulation.setEmulatedMedia", { features });
    browser.key = async (key, code = key, text = undefined) => {
        const virtual = { Tab: 9, Enter: 13, " ": 32, ArrowLeft: 37, ArrowUp: 38, ArrowRight: 39, ArrowDown: 40,
            Home: 36, End: 35 }[key];
        const common = { key, code, windowsVirtualKeyCode: virtual };
        await send("Input.dispatchKeyEvent", { ...common, type: text ? "keyDown" : "rawKeyDown", text });
        await send("Input.dispatchKeyEvent", { ...common, type: "keyUp" });
    };
    browser.type = (text) => send("Input.insertText", { text });
    browser.click = async (selector) => {
        const [x, y] = await browser.see(`(() => { const e = document.querySelector(${JSON.stringify(selector)});
            e.scrollIntoView({ block: "center" }); const r = e.getBoundingClientRect();
            return [r.x + r.width / 2, r.y + r.height / 2]; })()`);
        for (const type of ["mousePressed", "mouseReleased"]) {
            await send("Input.dispatchMouseEvent", { type, x, y, button: "left", clickCount: 1 });
        }
    };
    browser.picture = async (path, whole = true) => {
        const { data } = await send("Page.captureScreenshot", { format: "png", captureBeyondViewport: whole });
        writeFileSync(path, Buffer.from(data, "base64"));
    };
    browser.print = async (path, size) => {
        const { data } = await send("Page.printToPDF", { printBackground: true, paperWidth: size[0], paperHeight: size[1] });
        writeFileSync(path, Buffer.from(data, "base64"));
    };
    browser.close = async () => {
        const ended = new Promise((resolve) => { child.on("exit", resolve); });
        await send("Browser.close", {}, undefined).catch(() => child.kill());
        await ended;
        rmSync(profile, { recursive: true, force: true, maxRetries: 5 });
    };
    return browser;
};
