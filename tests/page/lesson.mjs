// SPDX-License-Identifier: MIT
// For tests/page.sh: the lesson in a browser. Argument: the folder where it is.
import { statSync } from "node:fs";
import process from "node:process";
import { openBrowser } from "./browser.mjs";

const [place] = process.argv.slice(2);
let failures = 0, checks = 0;
const check = (fine, words) => {
    checks += 1;
    if (!fine) { failures += 1; console.error(`FAILED: ${words}`); }
};

const browser = await openBrowser();
const { see, until, click, key } = browser;
const idle = () => until("!view.busy && document.querySelector('#state').textContent !== 'running'");

const steps = async () => {
    const count = await see("STEPS_OF_LESSON.length");
    check(count === 6, `${count} steps`);
    for (let step = 1; step <= count; step++) {
        const right = await see(`STEPS_OF_LESSON[${step - 1}].options.filter((o) => o.right()).length`);
        check(right === 1, `step ${step}: ${right} right predictions`);
        check(await see(`[...document.querySelectorAll('#step${step} .bar > button:not([id])')].every((b) => b.disabled)`),
            `step ${step} runs before a prediction`);
        await see(`document.querySelector('#step${step} input[type=radio]').focus()`);
        await key(" ", "Space", " ");
        const tries = await see(`STEPS_OF_LESSON[${step - 1}].tries.map(([k]) => k)`);
        for (let i = 0; i < tries.length; i++) {
            await see(`document.querySelectorAll('#step${step} fieldset ~ .bar > button:not([id])')[${i}].click()`);
            await idle();
            await until("view.moving");
            const here = await see("judged.map((j) => j.verdict)");
            const native = await see(`data.variants['${tries[i]}'].runs.map((r) => r.verdict)`);
            check(JSON.stringify(here) === JSON.stringify(native), `step ${step}, ${tries[i]}: ${here}, the program ${native}`);
            check(await see(`document.querySelector('#step${step} .stage #traces') !== null`), `step ${step}: nothing to see`);
        }
        const told = await see(`document.querySelector('#step${step} .happened').innerText`);
        check(told.length > 80 && !/NaN|undefined| -[.;, ]/.test(told), `step ${step} tells: ${told}`);
    }
};

const questions = async () => {
    const count = await see("QUESTIONS.length");
    check(count === 6, `${count} questions`);
    for (let q = 0; q < count; q++) {
        const right = await see(`QUESTIONS[${q}].options.map(([, test]) => test())`);
        check(right.filter(Boolean).length === 1, `question ${q + 1}: right are ${right}`);
        for (let i = right.length - 1; i >= 0; i--) { // each answer is explained
            await click(`#asked > div:nth-child(${q + 1}) label:nth-of-type(${i + 1}) input`);
            const told = await see(`document.querySelectorAll('#asked > div')[${q}].querySelector('.told').innerText`);
            check(told.startsWith(right[i] ? "Right." : "No.") && told.includes("The run ("), `question ${q + 1}: ${told}`);
        }
    }
    check(/of 6 right/.test(await see("document.querySelector('#score').textContent")), "no score");
};

try {
    await browser.size(390, 844, true);
    await browser.go(`${place}/lesson.html`);
    await until("document.documentElement.dataset.ready === 'yes'");
    await steps();
    await questions();
    check(await see("document.documentElement.scrollWidth <= 390"), "wider than a phone");
    await browser.picture(`${place}/lesson-phone.png`);
    await browser.size(1280, 800);
    await browser.picture(`${place}/lesson-desktop.png`);
    for (const [name, size] of [["a4", [8.27, 11.69]], ["letter", [8.5, 11]]]) {
        await browser.print(`${place}/lesson-${name}.pdf`, size);
        check(statSync(`${place}/lesson-${name}.pdf`).size > 10000, `nothing printed on ${name}`);
    }
    // Without the module the text stands, and says so.
    await browser.send("Page.addScriptToEvaluateOnNewDocument", { source: "delete globalThis.WebAssembly;" });
    await browser.go(`${place}/lesson.html`);
    await until("document.querySelector('#said').textContent.startsWith('Precomputed')");
    await click("#step3 label:nth-of-type(2) input");
    await see("document.querySelector('#step3 fieldset ~ .bar > button').click()");
    check((await see("document.querySelector('#step3 .happened').innerText")).includes("slamming"), "nothing told without the module");
    check(browser.complaints.length === 0, browser.complaints.join("; "));
    if (process.argv[3]) console.log(await see("[...document.querySelectorAll('.happened')].map((h) => h.innerText).join('\\n\\n')"));
    console.log(`lesson: ${checks} checks, ${process.uptime().toFixed(0)} s`);
} catch (error) {
    failures += 1;
    console.error(`FAILED: ${error.stack}; said: ${browser.complaints.join("; ")}`);
} finally {
    await browser.close();
}
process.exit(failures > 0 ? 1 : 0);
