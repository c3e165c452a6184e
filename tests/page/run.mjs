// SPDX-License-Identifier: MIT
// For tests/wasm.sh: the module in node. Arguments: the module, then stems of .dump and .tsv files
// that tests/page/native.c wrote. Every `expect` row must be met, every verdict be the native one,
// and the first run be the same bytes in slices as whole; says how far the figures lie apart.
import { readFileSync } from "node:fs";
import process from "node:process";

// Figures that do not hang on how long a run took to be decided: share within which they must agree,
// and an amount in SI that is as good as nothing (swings of what rests). Powers of the C library
// differ in the last digit between module and machine, which shifts the solver's steps: what needs
// no steps agrees to rounding, a motion far better than anybody measures one. A damping ratio counts
// against 1; small motions are slopes by differences, which keep half the digits.
const FIGURES = {
    rest_pressure: [1e-10, 0], rest_opening: [1e-10, 0], rest_chamber_pressure: [1e-10, 0],
    mode_frequency: [1e-6, 0], mode_damping: [1e-6, 1e-6],
    pressure_peak: [1e-3, 0], pressure_swing: [1e-2, 100], travel_swing: [1e-2, 1e-6],
    frequency: [1e-2, 0],
};
// How far what comes to rest still moves at the end, and how fast, hangs on when that was.
const AT_THE_END = { verdict: "steady", figures: ["travel_swing", "frequency"] };
// What keeps moving without repeating itself has no frequency that its last digits would leave alone.
const WITHOUT_CYCLE = /has not settled into a repeating cycle|without repeating itself/;

const [modulePath, ...stems] = process.argv.slice(2);
let failures = 0;
const fail = (text) => { failures += 1; console.error(`FAILED: ${text}`); };

const refused = (name) => () => { throw new Error(`the module asked for ${name}`); };
const wasi = Object.fromEntries(["fd_write", "fd_seek", "fd_close", "fd_fdstat_get"]
    .map((name) => [name, refused(name)]));
const module = new WebAssembly.Module(readFileSync(modulePath));
const instance = new WebAssembly.Instance(module, { wasi_snapshot_preview1: wasi });
const core = instance.exports;
core._initialize();

const text = (pointer) => {
    const bytes = new Uint8Array(core.memory.buffer, pointer);
    return new TextDecoder().decode(bytes.slice(0, bytes.indexOf(0)));
};
const withText = (value, call) => {
    const bytes = new TextEncoder().encode(`${value}\0`);
    const room = core.page_room(bytes.length);
    new Uint8Array(core.memory.buffer, room, bytes.length).set(bytes);
    const result = call(room, bytes.length - 1);
    core.page_room_free(room);
    return result;
};
const open = (stem) => withText(readFileSync(`${stem}.dump`, "utf8"), core.page_open);
const figureNames = Array.from({ length: core.page_figures() },
    (_, i) => text(core.page_figure_name(i)));

// Runs a trim in slices of so many seconds and returns its figures; the whole record as well.
const run = (page, trim, slice) => {
    if (!core.page_start(page, trim)) throw new Error(text(core.page_messages(page)));
    for (let until = slice; core.page_advance(page, until); until += slice);
    if (!core.page_finish(page)) fail(text(core.page_reason(page)));
    const reason = text(core.page_reason(page));
    const count = core.page_samples(page);
    const record = Array.from({ length: core.page_channels() }, (_, channel) =>
        Array.from(new Float64Array(core.memory.buffer, core.page_channel(page, channel), count)));
    return {
        verdict: text(core.page_verdict(page)), reason,
        figures: figureNames.map((_, i) => core.page_figure(page, i)),
        record: JSON.stringify(record),
    };
};

const apart = (a, b) => {
    if (Object.is(a, b) || a === b || (Number.isNaN(a) && Number.isNaN(b))) return 0;
    return Math.abs(a - b) / Math.max(Math.abs(a), Math.abs(b));
};

const worst = Object.fromEntries(Object.keys(FIGURES).map((name) => [name, 0]));

let frequencies = 0;
const compare = (stem, page) => {
    const lines = readFileSync(`${stem}.tsv`, "utf8").split("\n").filter(Boolean);
    lines.forEach((line, trim) => {
        const [name, verdict, ...texts] = line.split("\t");
        const here = run(page, trim, Infinity);
        if (here.verdict !== verdict) fail(`${stem} ${name}: ${here.verdict}, natively ${verdict}`);
        for (const [figure, [share, nothing]] of Object.entries(FIGURES)) {
            if (verdict === AT_THE_END.verdict && AT_THE_END.figures.includes(figure)) continue;
            const at = figureNames.indexOf(figure);
            const value = here.figures[at], native = Number(texts[at].replace("-nan", "nan"));
            if (figure === "frequency") {
                if (WITHOUT_CYCLE.test(here.reason) || Number.isNaN(native)) continue;
                frequencies += 1;
            }
            const by = Math.abs(value - native) <= nothing ? 0 : apart(value, native);
            worst[figure] = Math.max(worst[figure], by);
            if (!(by <= share)) fail(`${stem} ${name}: ${figure} ${value}, natively ${native}`);
        }
    });
    return lines.length;
};

// Slices of any length leave the same bytes.
const probe = (stem) => {
    const page = open(stem);
    const whole = run(page, 0, Infinity), sliced = run(page, 0, 0.05);
    if (whole.record !== sliced.record || whole.verdict !== sliced.verdict)
        fail(`${stem}: a run in slices is not the run`);
    core.page_close(page);
};

const began = process.hrtime.bigint();
let met = 0, trims = 0;
for (const stem of stems) {
    const page = open(stem);
    const rows = text(core.page_expect(page)).split("\n").filter(Boolean);
    if (core.page_missed(page) > 0) fail(rows.filter((row) => row.includes("MISSED")).join("\n"));
    met += rows.length - core.page_missed(page);
    if (core.page_ready(page)) {
        const count = compare(stem, page);
        trims += count;
        if (count === 0) fail(`${stem}: no trims to compare`);
    } else if (rows.length === 0) {
        fail(`${stem}: ${text(core.page_messages(page))}`);
    }
    core.page_close(page);
}
probe(stems[0]);
if (trims > 50 && frequencies < 15) fail(`frequencies of ${frequencies} trims only were compared`);
for (const [figure, by] of Object.entries(worst))
    console.log(`${figure}: the module within ${by.toExponential(1)} of the native program`);
console.log(`${met} expect rows met, ${trims} trims with the native verdict, ${frequencies} of them with a frequency, ` +
    `${Number(process.hrtime.bigint() - began) / 1e9} s`);
process.exit(failures > 0 ? 1 : 0);
