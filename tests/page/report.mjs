// SPDX-License-Identifier: MIT
// Reports and job cards in a headless Chromium: nothing is complained of, nothing is wider than a
// phone, pictures are there, and the printed pages too.
import { statSync } from "node:fs";
import { openBrowser } from "./browser.mjs";

const place = process.argv[2];
const browser = await openBrowser();
let checks = 0, failures = 0;
const check = (fine, message) => {
    checks += 1;
    if (!fine) {
        failures += 1;
        console.error(`FAILED: ${message}`);
    }
};

try {
    for (const name of process.argv.slice(3)) {
        await browser.size(390, 844, true);
        await browser.go(`${place}/${name}.html`);
        check(await browser.see("document.documentElement.scrollWidth <= 390"), `${name}: wider than a phone`);
        check(await browser.see("[...document.images].every((i) => i.complete && i.naturalWidth > 0 && i.alt.length > 40)"),
            `${name}: a picture is not there, or has no text`);
        check(await browser.see("document.scripts.length === 0"), `${name}: holds a script`);
        check(!/NaN|undefined|\(null\)/.test(await browser.see("document.body.innerText")), `${name}: a number is missing`);
        // Text stands out from its ground by 4.5 to 1: the softest is #555 on white.
        check(await browser.see(`[...document.querySelectorAll("main *")].every((e) => {
            const [r, g, b] = getComputedStyle(e).color.match(/\\d+/g).map(Number);
            return Math.max(r, g, b) <= 0x59;
        })`), `${name}: a text is too faint`);
        await browser.picture(`${place}/${name}-phone.png`);
        // As wide as paper: a picture takes all of it, and nothing more.
        await browser.size(680, 960);
        await browser.send("Emulation.setEmulatedMedia", { media: "print" });
        check(await browser.see("document.documentElement.scrollWidth <= 680"), `${name}: wider than paper`);
        check(await browser.see(`[...document.images].every((i) =>
            i.clientWidth > 0.97 * document.querySelector("main").clientWidth)`), `${name}: a picture leaves paper empty`);
        check(await browser.see(`[...document.querySelectorAll("span.blank")].every((e) => e.clientWidth > 120)`),
            `${name}: no room to write`);
        await browser.send("Emulation.setEmulatedMedia", { media: "" });
        await browser.size(1280, 800);
        await browser.picture(`${place}/${name}-desktop.png`);
        for (const [paper, size] of [["a4", [8.27, 11.69]], ["letter", [8.5, 11]]]) {
            await browser.print(`${place}/${name}-${paper}.pdf`, size);
            check(statSync(`${place}/${name}-${paper}.pdf`).size > 10000, `${name}: nothing printed on ${paper}`);
        }
        check(browser.complaints.length === 0, `${name}: ${browser.complaints.join("; ")}`);
    }
    console.log(`reports: ${checks} checks, ${process.uptime().toFixed(0)} s`);
} catch (error) {
    failures += 1;
    console.error(`FAILED: ${error.stack}; said: ${browser.complaints.join("; ")}`);
} finally {
    await browser.close();
}
process.exit(failures > 0 ? 1 : 0);
