// SPDX-License-Identifier: MIT
// For tests/page.sh: live pages in a browser. Arguments: the program, and the folder of the pages.
import { spawnSync } from "node:child_process";
import { existsSync, mkdirSync, readFileSync, readdirSync, statSync, writeFileSync } from "node:fs";
import process from "node:process";
import { openBrowser } from "./browser.mjs";

// Shares within which figures of the page and of `lowlift run` must agree, and what is as good as
// nothing in the unit shown; the same as tests/page/run.mjs has, for the same reasons, but for the
// four digits that a page shows.
const FIGURES = {
    rest_pressure: [1e-3, 0], rest_opening: [1e-3, 0], rest_chamber_pressure: [1e-3, 0],
    pressure_peak: [2e-3, 0], pressure_swing: [1e-2, 0.015], frequency: [1e-2, 0],
};
const AT_THE_END = ["frequency"]; // what comes to rest: hangs on when that was
const WITHOUT_CYCLE = /has not settled into a repeating cycle|without repeating itself/; // no frequency

const [lowlift, place] = process.argv.slice(2);
let failures = 0, checks = 0;
const check = (fine, words) => {
    checks += 1;
    if (!fine) { failures += 1; console.error(`FAILED: ${words}`); }
};
const program = (...args) => spawnSync(lowlift, args, { encoding: "utf8" });

const run = (file, trim, more = []) => {
    const out = `${place}/runs`;
    const done = program("run", "--no-plot", "--quiet", "--out", out, "--trim", trim, ...more, file);
    const stem = file.replace(/.*\//, "").replace(/\.yaml$/, "");
    if (done.status !== 0 && !existsSync(`${out}/${stem}.${trim}.json`)) throw new Error(done.stderr);
    return JSON.parse(readFileSync(`${out}/${stem}.${trim}.json`, "utf8")).runs[0];
};

const browser = await openBrowser();
const { see, until, click, key, type } = browser;
const ready = () => until("document.documentElement.dataset.ready === 'yes'");
const idle = () => until("document.querySelector('#state').textContent === '' && !view.busy");
const open = async (stem) => { await browser.go(`${place}/${stem}.page.html`); await ready(); };
const quiet = (words) => check(browser.complaints.length === 0, `${words}: ${browser.complaints.join("; ")}`);
const shown = () => see(`[...document.querySelectorAll('#figures tbody tr')].map((row) =>
    [row.dataset.figure, ...[...row.cells].slice(1).map((cell) => cell.dataset.exact || cell.textContent)])`);
// What is read beside what it says to four digits: three digits of it, or that it is next to nothing.
const plain = async (stem) => {
    const wrong = await see(`[...document.querySelectorAll('#figures td[data-exact]')].map((cell) => [cell.dataset.exact, cell.textContent])
        .filter(([exact, read]) => { const v = parseFloat(exact), unit = read.split(" ").at(-1);
            const r = parseFloat(read) * (exact.endsWith(unit) ? 1 : { "ft/day": 12, "km/day": 1e6 }[unit] || 1);
            return /\\de[-+]/.test(read) || (read.startsWith('under 0.001') ? !(Math.abs(v) < 0.001)
                : read.startsWith('none') ? v !== 0 : !(Math.abs(r - v) <= 0.0051 * Math.abs(v))); })`);
    check(wrong.length === 0, `${stem}: figures read as ${wrong.join("; ")}`);
};

const compare = async (stem, file, more) => {
    const names = await see("[...document.querySelectorAll('.side .name')].map((n) => n.dataset.trim)");
    const table = new Map((await shown()).map(([name, ...cells]) => [name, cells]));
    names.forEach((trim, side) => {
        const native = run(file, trim, more);
        check(table.get("verdict")[side] === native.verdict,
            `${stem} ${trim}: ${table.get("verdict")[side]}, lowlift run says ${native.verdict}`);
        for (const [name, [share, nothing]] of Object.entries(FIGURES)) {
            if (native.verdict === "steady" && AT_THE_END.includes(name)) continue;
            if (name === "frequency" && WITHOUT_CYCLE.test(native.reason)) continue;
            const value = native[name] && native[name].value;
            if (value === null || value === undefined) continue;
            const here = parseFloat((table.get(name) || [])[side]);
            const by = Math.abs(here - value);
            check(by <= nothing || by <= share * Math.abs(value), `${stem} ${trim}: ${name} ${here}, lowlift run ${value}`);
        }
    });
    return names.length;
};

// --- Every scenario

const everyScenario = async () => {
    let trims = 0;
    for (const page of readdirSync(place).filter((name) => name.endsWith(".page.html"))) {
        const stem = page.replace(".page.html", "");
        await open(stem);
        trims += await compare(stem, ["scenarios", "tests/scenarios"].map((folder) => `${folder}/${stem}.yaml`).find(existsSync));
        const said = await see("document.querySelector('#said').textContent");
        check(!said.includes("does not agree"), `${stem}: ${said}`);
        await plain(stem);
        quiet(stem);
    }
    console.log(`every scenario: ${trims} sides, ${process.uptime().toFixed(0)} s`);
    return trims;
};

// --- The hand on it

const enter = async (id, text) => {
    await see(`(() => { const e = document.querySelector('${id}'); e.focus(); e.select(); })()`);
    await type(text);
    await key("Enter", "Enter", "\r");
    await idle();
};

const save = async (name) => {
    const folder = `${place}/saved`, file = `${folder}/${name}`;
    mkdirSync(folder, { recursive: true });
    await browser.send("Browser.setDownloadBehavior", { behavior: "allow", downloadPath: folder }, undefined);
    await click("#save");
    for (let i = 0; i < 400 && !existsSync(file); i++) await new Promise((r) => setTimeout(r, 25));
    check(program("check", file).status === 0, `saved: ${program("check", file).stderr}`);
    return file;
};

// A scenario of one trim: the second side gets a port of its own, and both are kept.
const oneTrim = async () => {
    await open("oil-good");
    await enter("#f-trim-port-1", "0.7 in");
    await idle();
    const file = await save("oil-good-changed.yaml");
    const verdicts = (await shown()).find(([name]) => name === "verdict").slice(1);
    check(verdicts[0] === run(file, "first").verdict && verdicts[1] === run(file, "second").verdict,
        `kept with another port: ${verdicts}`);
    const told = await see("document.querySelector('#changes').value");
    check(told.startsWith("oil-good.yaml,") && told.includes("\nsecond: trim.port: 0.7 in\n"), `told of the change: ${told}`);
    check(run(file, "second").rest_opening.value !== run(file, "first").rest_opening.value, "both sides have one port");
    quiet("one trim");
};

// Values that cannot be run take the verdict back, and what moved before a change is not shown for it.
const taken = async () => {
    await open("decline");
    const verdict = () => see("document.querySelector('#side0 .verdict').textContent");
    await click("#play");
    await until("view.inMotion && view.now > 0.5");
    await click("#play");
    await see("(async () => { const judge = pair.judge; pair.judge = async () => [{ failed: true, messages: '/a folder/b.yaml:1:2: trim.port: is missing' }, {}]; await rejudge(); pair.judge = judge; })()");
    check(await verdict() === "cannot be run like this" && await see("document.querySelectorAll('#figures tbody tr').length") === 0,
        "the figures of other values stand");
    const said = await see("document.querySelector('#said').textContent");
    check(said === "trim.port: is missing", `said: ${said}`);
    // A number alone is in the unit shown, which for what nobody chose is none.
    await see("document.querySelector('#second').open = true");
    await enter("#f-oil_damper-displaced_area", "1");
    const wrong = await see("document.querySelector('#f-oil_damper-displaced_area-wrong').textContent");
    check(wrong.startsWith("oil_damper.displaced_area: found '1'"), `of a number alone: ${wrong}`);
    for (const [name, text] of [["hole_diameter", "0.2 in"], ["hole_length", "0.5 in"], ["displaced_area", "1 in2"], ["displaced_area", "2"]]) {
        await enter(`#f-oil_damper-${name}`, text);
    }
    check((await see("document.querySelector('#changes').value")).includes("displaced_area: 2 in2"), "no oil damper");
    await enter("#f-oil_damper-displaced_area", "0");
    await enter("#f-inflow-rate", "3 MMscf/d");
    await idle();
    check(await verdict() === "steady" && !await see("view.inMotion")
        && (await see("document.querySelector('#traces-text').textContent")).startsWith("full (drawn through): steady"),
    `after the change: ${await verdict()}, ${await see("document.querySelector('#traces-text').textContent")}`);
    check(await see("document.querySelector('#changes').rows > document.querySelector('#changes').value.split('\\n').length"), "changes are cut on paper");
    check(await see("[...document.querySelectorAll('.machine text')].every((t) => { const b = t.getBBox(); return b.x >= 0 && b.x + b.width <= MACHINE_WIDE; })"),
        "a name leaves the drawing");
    quiet("taken");
};

const values = async () => {
    await open("decline");
    // By keyboard alone: from the top, the slider of the flow.
    await see("document.querySelector('#f-inflow-rate').closest('.row').querySelector('[type=range]').focus()");
    for (let i = 0; i < 60; i++) await key("ArrowLeft");
    await idle();
    const flow = await see("document.querySelector('#f-inflow-rate').value");
    check(parseFloat(flow) < 0.1, `the slider did not move: ${flow}`);
    await compare("decline, less flow", "tests/scenarios/decline.yaml", ["--set", `inflow.rate=${flow}`]);
    check(await see(`document.querySelector('#changes').value.includes('inflow.rate: ${flow}')`), "changes not told");

    const before = await shown();
    await enter("#f-set-pressure", "50 psi");
    await until("document.querySelector('#f-set-pressure-wrong').textContent !== ''");
    const refusal = await see("document.querySelector('#f-set-pressure-wrong').textContent.trim()");
    const native = program("check", "--set", "set.pressure=50 psi", "tests/scenarios/decline.yaml");
    check(native.stderr.includes(refusal.split("\n")[0]), `refused with '${refusal}', the program with '${native.stderr}'`);
    check(await see("document.querySelector('#f-set-pressure').getAttribute('aria-invalid') === 'true'"), "no mark on what is wrong");
    check(JSON.stringify(before) === JSON.stringify(await shown()), "a refused value changed the figures");
    await enter("#f-set-pressure", "40"); // a number alone is in the unit shown
    await enter("#f-trim-port-1", "2 1/8 in");
    await idle();
    const more = ["--set", `inflow.rate=${flow}`, "--set", "set.pressure=40 psig", "--set", "trims.reduced.port=2 1/8 in"];
    await compare("decline, changed thrice", "tests/scenarios/decline.yaml", more);

    // What is saved is what is seen.
    const file = await save("decline-changed.yaml");
    await compare("saved", file);

    await click("#reset");
    await idle();
    check(await see("document.querySelector('#f-set-pressure').value === '50 psig'"), "not as in the file again");
    await compare("decline again", "tests/scenarios/decline.yaml");
    quiet("values");
};

const motion = async () => {
    await open("decline");
    check(await see("!view.moving"), "it moves before anybody asked");
    await see("document.querySelector('#play').focus()");
    await key(" ", "Space", " ");
    await until("view.moving && view.now > 1.5");
    check(await see("pair.live[0].contacts.length > 0"), "no contact in motion");
    check(await see("document.querySelector('#side0 .moving').textContent.includes('contacts a minute')"), "motion is not told");
    // A kick: the pressure jumps by it.
    await see("pair.live.forEach((r) => { r.mark = r.time.length; })");
    await click("#kick");
    await until("pair.live.every((r) => r.time.length > r.mark + 30)");
    const jump = await see(`Math.max(...pair.live[1].channels['controlled pressure'].slice(-200).map((v, i, all) => i ? v - all[i - 1] : 0)) / 6894.757`);
    check(Math.abs(jump - 3) < 0.3, `a kick of 3 psi raised the pressure by ${jump}`);
    await click("#shut");
    await until("view.shut");
    check(await see("[...document.querySelectorAll('.verdict')].every((v) => v.textContent === 'shut in')"), "a verdict stands though the well is shut in");
    await until("pair.live[1].channels['inflow or demand'].at(-1) === 0");
    await see("(() => { const s = document.querySelector('#speed'); s.value = '10'; s.onchange(); })()");
    await until("pair.live[1].channels['trim flow'].at(-1) < 1e-3 * judged[1].record.channels['inflow or demand'][0]");
    await click("#shut");
    await until("pair.live[1].channels['inflow or demand'].at(-1) > 0");
    check(await see("document.querySelector('#side0 .verdict').textContent === judged[0].verdict"), "no verdict after the restart");
    // A new flow leaves the screw where it was: other than a run that begins at that flow.
    const offset = await see("pair.changes.size");
    check(offset === 0, "shutting in changed what is judged");
    check(await see("!view.sounding && sound === null"), "sound before anybody asked");
    await click("#sound");
    check(await see("view.sounding && document.querySelector('#sound').textContent === 'Sound: on'"), "no sound");
    await click("#sound");
    check(await see("!view.sounding"), "sound does not end");
    await click("#play");
    check(await see("!view.moving"), "it does not stop");
    // Stopped, one steps back through it, and a kick goes on from its end.
    await see("document.querySelector('#moment').focus()");
    await key("Home");
    check(await see("view.now < 0.1 * view.end && !document.querySelector('#moment').disabled"), "the moment does not go back");
    const back = await see("(() => { const i = indexAt(pair.live[0].time, view.now); return [document.querySelector('#moment-text').textContent, tellWith(unitsNow())('controlled pressure', pair.live[0].channels['controlled pressure'][i])]; })()");
    check(back[0].includes(back[1]), `the moment says ${back[0]}, the record ${back[1]}`);
    quiet("motion");
    // Where less motion is asked for, it stops by itself.
    await click("#play");
    await browser.media([{ name: "prefers-reduced-motion", value: "reduce" }]);
    await until("!view.moving");
    await browser.media([]);
};

// Each contact is given to the sound system for its simulated instant, and the stronger the blow the
// louder: written down on the way, as nobody listens here.
const hearing = async () => {
    const { identifier } = await browser.send("Page.addScriptToEvaluateOnNewDocument", { source: `
        window.heard = [];
        // The clock of the sound goes on between two looks at it: what counts is the one that the page had.
        const clock = Object.getOwnPropertyDescriptor(BaseAudioContext.prototype, "currentTime").get;
        Object.defineProperty(BaseAudioContext.prototype, "currentTime", { get() { return window.looked = clock.call(this); } });
        const start = AudioBufferSourceNode.prototype.start;
        AudioBufferSourceNode.prototype.start = function (at) {
            heard.push({ at: at - window.looked, node: this });
            return start.call(this, at);
        };` });
    await open("decline");
    await click("#sound");
    await until("sound !== null && sound.running()");
    await see(`(() => { window.asked = []; const knock = sound.knock;
        sound.knock = (side, ratio, wait) => { const before = heard.length; knock(side, ratio, wait);
            asked.push({ side, ratio, wait, now: view.now, speed: view.speed, at: heard.length > before ? heard.at(-1).at : null }); }; })()`);
    await click("#play");
    await until("asked.filter((a) => a.at !== null).length >= 5");
    await click("#play");
    const all = await see("asked.filter((a) => a.at !== null)");
    const wrong = all.filter((a) => !(Math.abs(a.at - Math.max(0, a.wait)) < 1e-9));
    check(wrong.length === 0, `sounds at ${JSON.stringify(wrong[0])}`);
    const times = await see("pair.live[0].contacts.map(([t]) => t)");
    check(all.filter((a) => a.side === 0).every((a) => times.some((t) => Math.abs(a.now + a.wait * a.speed - t) < 1e-6)), "a sound without its contact");
    const loud = await see("[0.01, 0.1, 1, 3].map((ratio) => sound.loudness(ratio))");
    check(loud.every((v, i) => v > 0 && v <= 1 && (i === 0 || v >= loud[i - 1])) && loud[3] > 2 * loud[0], `as loud as ${loud}`);
    quiet("sound");
    await browser.send("Page.removeScriptToEvaluateOnNewDocument", { identifier });
};

const looks = async () => {
    for (const [name, width, height, phone] of [["desktop", 1280, 800, false], ["phone", 390, 844, true]]) {
        await browser.size(width, height, phone);
        await open("decline");
        await browser.picture(`${place}/live-${name}.png`);
        check(await see(`document.documentElement.scrollWidth <= ${width}`), `${name}: wider than the screen`);
        const small = await see(`[...document.querySelectorAll('button, input, select, summary, textarea')].filter((e) => {
            const r = e.getBoundingClientRect(); return r.width > 0 && (r.height < 24 || r.width < 24); }).map((e) => e.id || e.outerHTML)`);
        check(small.length === 0, `${name}: too small for a finger: ${small}`);
        const bare = await see(`[...document.querySelectorAll('button, input, select, textarea, [role=img]')].filter((e) =>
            !(e.textContent.trim() || e.labels?.length || e.getAttribute('aria-label') || e.getAttribute('aria-describedby'))).map((e) => e.outerHTML)`);
        check(bare.length === 0, `${name}: no name: ${bare}`);
    }
    await browser.size(1280, 800);
    await open("decline");
    for (const [name, size] of [["a4", [8.27, 11.69]], ["letter", [8.5, 11]]]) {
        await browser.print(`${place}/live-${name}.pdf`, size);
        check(statSync(`${place}/live-${name}.pdf`).size > 10000, `nothing printed on ${name}`);
    }
};

// From the first key on: every button, slider, text and list is come to, in the order in which it
// stands, and each shows that it has the keyboard.
const keyboard = async () => {
    await browser.size(1280, 800);
    await open("decline");
    const wanted = await see(`[...document.querySelectorAll('button, input, select, textarea, summary, a[href]')]
        .filter((e) => !e.disabled && e.checkVisibility()).map((e, i) => { e.dataset.place = i; return e.id || e.textContent.trim(); })`);
    const met = [], bare = [];
    for (let i = 0; i < wanted.length + 5 && new Set(met).size < wanted.length; i++) {
        await key("Tab");
        const [place, outline] = await see("[document.activeElement.dataset.place ?? '', getComputedStyle(document.activeElement).outlineWidth]");
        if (place !== "") { met.push(Number(place)); if (parseFloat(outline) < 2) bare.push(wanted[place]); }
    }
    const missed = wanted.filter((_, i) => !met.includes(i));
    check(missed.length === 0, `not reached by keyboard: ${missed}`);
    check(met.every((place, i) => i === 0 || place > met[i - 1]), `the keyboard goes another way: ${met}`);
    check(bare.length === 0, `no sign of the keyboard at ${bare}`);
    // A word of the text beside the field, a refusal and its hint are read with it.
    check(await see("document.querySelector('#f-inflow-rate').getAttribute('aria-describedby').split(' ').every((id) => document.getElementById(id))"),
        "a hint that is not there");
    quiet("keyboard");
};

// What was changed, as text, into the clipboard or at least marked.
const copied = async () => {
    await enter("#f-inflow-rate", "0.2 MMscf/d");
    await idle();
    await click("#copy");
    check(await see("/Copied|Marked/.test(document.querySelector('#copy').textContent)"), "nothing copied");
    check(await see("document.getSelection().toString().includes('inflow.rate: 0.2 MMscf/d')"), "the changes are not what is copied");
};

// Text stands out from its ground by 4.5 to 1; lines and marks of the drawing by 3 to 1.
const contrast = async () => {
    const faint = await see(`(() => {
        const light = (c) => c.match(/[\\d.]+/g).slice(0, 3).map((v) => { v /= 255; return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; })
            .reduce((sum, v, i) => sum + v * [0.2126, 0.7152, 0.0722][i], 0);
        const ground = (e) => { for (; e; e = e.parentElement) { const c = getComputedStyle(e).backgroundColor; if (!/, 0\\)/.test(c)) return c; } return 'rgb(255, 255, 255)'; };
        const ratio = (a, b) => { const [x, y] = [light(a), light(b)].sort((p, q) => q - p); return (x + 0.05) / (y + 0.05); };
        return [...document.querySelectorAll('main *, header *, footer *')].filter((e) => !e.disabled && !e.closest('svg') && [...e.childNodes].some((n) => n.nodeType === 3 && n.data.trim()))
            .map((e) => [e.id || e.className || e.tagName, ratio(getComputedStyle(e).color, ground(e))]).filter(([, r]) => r < 4.5); })()`);
    check(faint.length === 0, `too faint: ${JSON.stringify(faint)}`);
};

// Nothing in a scenario becomes markup, wherever the page shows it.
const evil = async () => {
    const title = "</script><img src=x onerror=window.hurt=1><b>bold</b>";
    writeFileSync(`${place}/evil.yaml`, readFileSync("tests/scenarios/decline.yaml", "utf8").replace(/^title: .*$/m, `title: "${title}"`));
    check(program("page", "--quiet", "--out", place, `${place}/evil.yaml`).status === 0, "evil.yaml has no page");
    await open("evil");
    check(await see("document.querySelector('h1').textContent") === title, "the title is not as it was written");
    check(await see("window.hurt === undefined && document.querySelectorAll('img, h1 *').length === 0"), "a title became markup");
    quiet("evil");
};

// Begun from nothing: the same scenario as `lowlift starter` writes, the same verdicts.
const begin = async () => {
    await open("slugging");
    await see("document.querySelector('#begin-own').open = true");
    const answers = { body: "3 in", "reduced-port": "1 1/2 in", "set-pressure": "50 psi", flow: "0.15 MMscf/d",
        vessel: "24 in x 7.5 ft", level: "1/3", "other-pressure": "15 psig" };
    await click("#starter-go");
    await until("document.querySelector('#starter-wrong').textContent.includes('Body, nominal size is missing')");
    check(await see("document.activeElement.id === 's-body'"), "not led to what is missing");
    for (const [name, text] of Object.entries(answers)) {
        await see(`document.querySelector('#s-${name}').focus()`);
        await type(text);
    }
    const options = (change) => Object.entries({ ...answers, ...change }).flatMap(([name, text]) => [`--${name}`, text]);
    await click("#starter-go");
    await until("document.querySelector('#starter-wrong').textContent.includes('psig')");
    const told = await see("document.querySelector('#starter-wrong').textContent.trim()");
    const native = program("starter", ...options({}));
    check(told.startsWith("Set pressure: ") && native.stderr.includes(told.split("\n")[0].slice(14)), `starter refuses with '${told}', the program with '${native.stderr}'`);
    await see("(() => { const e = document.querySelector('#s-set-pressure'); e.focus(); e.select(); })()");
    await type("50 psig");
    await click("#starter-go");
    await until("document.querySelector('h1').textContent.startsWith('3 in back-pressure regulator')");
    await idle();
    const file = `${place}/begun.yaml`;
    writeFileSync(file, program("starter", ...options({ "set-pressure": "50 psig" })).stdout);
    check(await compare("begun", file) === 2, "begun with one side");
    check((await see("document.querySelector('#rests').textContent")).includes("main spring"), "guesses are not told");
    // A file of one's own, through the browser's own dialogue.
    const { root } = await browser.send("DOM.getDocument");
    const { nodeId } = await browser.send("DOM.querySelector", { nodeId: root.nodeId, selector: "#file" });
    await browser.send("DOM.setFileInputFiles", { nodeId, files: [`${process.cwd()}/scenarios/two-inch.yaml`] });
    await until("document.querySelector('#changes').value.startsWith('two-inch.yaml')");
    await idle();
    await compare("opened", "scenarios/two-inch.yaml");
    quiet("begin");
};

const without = async () => {
    const { identifier } = await browser.send("Page.addScriptToEvaluateOnNewDocument", { source: "delete globalThis.WebAssembly;" });
    await browser.go(`${place}/decline.page.html`);
    await until("document.querySelector('#said').textContent.startsWith('Precomputed')");
    await compare("decline, precomputed", "tests/scenarios/decline.yaml");
    check(await see("document.querySelector('#play').disabled"), "moves without a model");
    quiet("without the module");
    await browser.send("Page.removeScriptToEvaluateOnNewDocument", { identifier });
};

try {
    await browser.size(1280, 800);
    const trims = await everyScenario();
    check(trims >= 48, `only ${trims} sides compared`);
    for (const part of [values, taken, oneTrim, motion, hearing, keyboard, copied, contrast, looks, begin, evil, without]) {
        await part();
        console.log(`${part.name}: ${checks} checks so far, ${process.uptime().toFixed(0)} s`);
    }
    console.log(`${checks} checks, ${trims} sides as lowlift run says, ${process.uptime().toFixed(0)} s`);
} catch (error) {
    failures += 1;
    console.error(`FAILED: ${error.stack}; said: ${browser.complaints.join("; ")}`);
} finally {
    await browser.close();
}
process.exit(failures > 0 ? 1 : 0);
