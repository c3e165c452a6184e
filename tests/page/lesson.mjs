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
        check(await see(`[...document.querySelectorAll('#step${step} .tries > button')].every((b) => b.disabled)`),
            `step ${step} runs before a prediction`);
        await see(`document.querySelector('#step${step} input[type=radio]').focus()`);
        await key(" ", "Space", " ");
        const tries = await see(`STEPS_OF_LESSON[${step - 1}].tries.map(([k]) => k)`);
        let before = 0;
        for (let i = 0; i < tries.length; i++) {
            await see(`document.querySelectorAll('#step${step} .tries > button')[${i}].click()`);
            await idle();
            await until("view.moving");
            const here = await see("judged.map((j) => j.verdict)");
            const native = await see(`data.variants['${tries[i]}'].runs.map((r) => r.verdict)`);
            check(JSON.stringify(here) === JSON.stringify(native), `step ${step}, ${tries[i]}: ${here}, the program ${native}`);
            check(await see(`document.querySelector('#step${step} .stage #traces') !== null`), `step ${step}: nothing to see`);
            // What was asked for, and no more: a run that was not yet asked for is not told of.
            const paragraphs = await see(`document.querySelectorAll('#step${step} .happened p').length`);
            check(paragraphs > before, `step ${step}, ${tries[i]}: nothing more is told`);
            const ends = await see(`STEPS_OF_LESSON[${step - 1}].end().length`);
            check(i + 1 === tries.length || paragraphs <= i + 2, `step ${step}, ${tries[i]}: ${paragraphs} things told, ${ends} at the end`);
            before = paragraphs;
        }
        check(/As you said|Not as you said/.test(await see(`document.querySelector('#step${step} .happened').innerText`)), `step ${step}: the prediction is left open`);
        const told = await see(`document.querySelector('#step${step} .happened').innerText`);
        check(told.length > 80 && !/NaN|undefined| -[.;, ]/.test(told), `step ${step} tells: ${told}`);
    }
};

// A word explains itself, by keyboard, and nothing shows what nobody has predicted yet.
const words = async () => {
    check(await see("document.querySelector('#step1 .verdict').offsetParent === null"), "the verdict is seen before a prediction");
    const count = await see("document.querySelectorAll('#step2 .term').length");
    check(count > 0, "no word of step 2 is explained");
    await see("document.querySelector('#step2 .term').focus()");
    check(await see("document.querySelector('#step2 .meant').offsetParent === null"), "explained before anybody asked");
    await key("Enter", "Enter", "\r");
    check(await see("document.querySelector('#step2 .meant').innerText.length > 20 && document.querySelector('#step2 .term').getAttribute('aria-expanded') === 'true'"),
        "a word is not explained by the keyboard");
    const names = await see("[...document.querySelectorAll('#side0 .part text')].map((t) => t.textContent)");
    for (const name of ["plug", "seat", "port", "stem", "packing", "diaphragm", "spring", "chamber", "bleed", "sense line", "gauge"]) {
        check(names.includes(name), `the drawing does not name the ${name}`);
    }
    // As large as the small print at the width of a phone.
    const size = await see("Math.min(...[...document.querySelectorAll('#side0 .machine text')].map((t) => parseFloat(getComputedStyle(t).fontSize) * t.getScreenCTM().a))");
    check(size >= 11, `a name in the drawing is ${size} px high`);
};

// After a run one goes back through it.
const moment = async () => {
    await until("view.now > 1");
    await see("document.querySelector('#moment').focus()");
    for (let i = 0; i < 5; i++) await key("ArrowLeft");
    check(await see("!view.moving && view.now < view.end && view.now > 0.9 * view.end"), "the moment does not step back");
    check((await see("document.querySelector('#moment-text').textContent")).includes("plug"), "the moment is not told");
};

const questions = async () => {
    const count = await see("QUESTIONS.length");
    check(count === 6, `${count} questions`);
    for (let q = 0; q < count; q++) {
        const right = await see(`QUESTIONS[${q}].options.map(([, test]) => test())`);
        check(right.filter(Boolean).length === 1, `question ${q + 1}: right are ${right}`);
        check(right.length >= 3, `question ${q + 1}: ${right.length} answers`);
        for (let i = right.length - 1; i >= 0; i--) { // each answer is explained
            await click(`#asked > div:nth-child(${q + 1}) label:nth-of-type(${i + 1}) input`);
            const told = await see(`document.querySelectorAll('#asked > div')[${q}].querySelector('.told').innerText`);
            check(!/\w=\w/.test(told), `question ${q + 1} names a field: ${told}`);
            check(told.startsWith(right[i] ? "Right." : "No.") && told.includes("The run ("), `question ${q + 1}: ${told}`);
            await until(`document.querySelectorAll('#asked > div')[${q}].querySelector('.told').innerText.includes('Run again just now')`);
            await idle();
            // What the page computes when it is answered is what the program found when it wrote the page.
            const again = await see(`(() => { const t = document.querySelectorAll('#asked > div')[${q}].querySelector('.told').innerText;
                const verdicts = (words) => words.match(/ is [a-z ]+(?=[,;:.])/g).join(); const [, a, b] = /The run \\([^)]*\\): (.*?\\.)\\s.*Run again just now, below: (.*\\.)/s.exec(t.replace(/\\?/g, ""));
                return [verdicts(a), verdicts(b)]; })()`);
            check(again[0].startsWith(again[1]), `question ${q + 1}: ${again.join(" and ")}`);
        }
    }
    check(/of 6 right/.test(await see("document.querySelector('#score').textContent")), "no score");
};

try {
    await browser.size(390, 844, true);
    await browser.go(`${place}/lesson.html`);
    await until("document.documentElement.dataset.ready === 'yes'");
    await words();
    await steps();
    await moment();
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
    await see("for (const b of document.querySelectorAll('#step3 .tries > button')) b.click()");
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
