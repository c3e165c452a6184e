// SPDX-License-Identifier: MIT
// The two regulators of a page, seen: what stands on each side, traces, figures, and the hand on
// motion, kick, shut-in and sound. A page with more on it hangs that into `hooks`.
"use strict";

const data = JSON.parse(textOf("lowlift"));
const scenario = data.scenarios[0];
const SPEEDS = [10, 4, 1, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01, 0.002];
let kept = ["rest_pressure", "rest_opening", "rest_chamber_pressure", "pressure_swing", "pressure_peak",
    "limit_margin", "frequency", "travel_swing", "travel_high", "seat_rate", "seat_speed", "seat_force",
    "seat_load", "seat_blow", "travel_worn", "settling_time", "surge", "run_time"];
const titles = new Map(data.figures);
const meanings = new Map(data.verdicts);

// What the plug rests with on its seat, as the judged run found it [N].
const seatLoad = (side) => (judged[side].figures.seat_load || [NaN])[0];

const view = { moving: false, inMotion: false, now: 0, last: 0, asking: false, speed: 1, shut: false,
    sounding: false, machines: [], told: 0, window: 20, busy: false, again: false, end: 0, refused: "" };
const trims = [0, 1].map((side) => (scenario.runs[side] || scenario.runs[0]).index); // of each side
let pair = null, judged = [null, null], frames = [], sound = null;
const hooks = { judged: () => {}, opened: async () => {}, precomputed: () => {} };

const say = (words) => { byId("said").textContent = words; byId("said").hidden = !words; };

// --- What stands on each side

const unitsNow = () => judged[0].units;
const tellWith = (units) => (name, si) => {
    const [unit, factor, offset] = units[name];
    return `${short(si * factor + offset)} ${unit}`;
};

const nameOf = (side) => byId(`side${side}`).querySelector(".name").textContent;

const reach = (record, name) => record.channels[name].reduce((most, v) => (v > most ? v : most), -Infinity);

const hideChambers = () => {
    for (const side of [0, 1]) judged[side].record.hasChamber = frames[side].actuation.text === "pilot";
};

const setMachines = () => {
    const wide = Math.max(...frames.map((f) => f["trim.port"].si));
    view.machines = [0, 1].map((side) => {
        const f = frames[side], j = judged[side], own = byId(`side${side}`);
        const high = Math.max(1.3 * f["set.pressure"].si || 0, reach(j.record, "controlled pressure"));
        const atmosphere = j.units["controlled pressure"][2] === 0 ? 101325
            : -j.units["controlled pressure"][2] / j.units["controlled pressure"][1];
        const back = f.duty.text !== "reducing";
        const machine = makeMachine({
            side, duty: f.duty.text, actuation: f.actuation.text, direction: f["trim.direction"].text,
            port: f["trim.port"].si, rated: j.rated, exhaust: f["pilot.exhaust_to"].text || "downstream", damper: f["oil_damper.displaced_area"].si > 0,
            pilotTravel: f["pilot.travel"].si || 1, back, inlet: f["inlet.pressure"].si, atmosphere,
            low: atmosphere, high: back ? high : Math.max(high, f["inlet.pressure"].si || 0),
            flow: reach(j.record, "inflow or demand") || reach(j.record, "trim flow"),
            tell: tellWith(j.units),
        }, wide);
        own.querySelector(".machine").replaceWith(machine.svg);
        machine.svg.setAttribute("aria-label", `the regulator cut open, ${nameOf(side)}`);
        return machine;
    });
};

const makeSides = () => {
    for (const side of [0, 1]) {
        const trim = pair ? pair.trimName(side) : judged[side].trim;
        // One trim alone stands on both sides, so that a change can be seen beside it.
        const name = trims[0] !== trims[1] ? trim : side ? "second" : "first";
        const swatch = draw("svg", { class: "line", viewBox: "0 0 48 16", "aria-hidden": "true" },
            draw("line", { x1: 0, y1: 8, x2: 48, y2: 8, stroke: "#1a1a1a", "stroke-width": side ? 3 : 4,
                "stroke-dasharray": side ? "9 6" : "none" }));
        const choice = pair && pair.trims.length > 2 ? make("select", { class: "trim", "aria-label": `trim of the ${
            side ? "second" : "first"} side`, onchange: (event) => { trims[side] = Number(event.target.value); reset(); } },
        ...pair.trims.map((trim, i) => make("option", { value: i, selected: i === trims[side] }, trim))) : null;
        byId(`side${side}`).replaceChildren(make("h2", {}, swatch,
            make("span", { class: choice ? "name hidden" : "name", "data-trim": trim }, name), choice),
            draw("svg", { class: "machine" }), make("p", { class: "verdict", role: "status" }),
            make("p", { class: "meaning small" }), make("p", { class: "reason small" }), make("p", { class: "moving small" }));
    }
};

// --- The picture

const records = () => (view.inMotion ? pair.live : judged.map((j) => j.record));

const lastOf = (shown) => Math.max(...shown.map((r) => r.time[r.time.length - 1] || 0), 1e-9);
const firstOf = (shown) => Math.min(...shown.map((r) => r.time[0] || 0));

// The moment looked at, in figures.
const tellMoment = (shown) => {
    const tell = tellWith(unitsNow());
    byId("moment-text").textContent = `${short(view.now)} s. ${shown.map((record, side) => {
        const i = Math.max(0, Math.min(record.time.length - 1, indexAt(record.time, view.now)));
        const at = (name) => tell(name, record.channels[name][i]);
        return record.time.length ? `${nameOf(side)}: ${at("controlled pressure")}, plug ${
            record.channels["plug travel"][i] > 1e-6 * judged[side].rated ? `${at("plug travel")} open` : "on its seat"}` : "";
    }).join("; ")}.`;
};

const paint = (passed = 0) => {
    if (!judged[0]) return;
    const shown = records(), units = unitsNow();
    const longest = lastOf(shown);
    // What moves runs out of the picture to the left; stopped, the moment looked at stays inside it.
    const now = view.moving ? view.now : Math.min(Math.max(view.now + view.window / 2, view.window), Math.max(view.end, view.now));
    const from = view.inMotion ? Math.max(0, now - view.window) : 0;
    const to = view.inMotion ? Math.max(now, view.window) : longest;
    drawTraces(byId("traces"), shown, units, from, to, view.moving ? NaN : view.now);
    drawLoop(byId("loop"), shown, units, from, view.inMotion ? view.now : longest);
    shown.forEach((record, side) => {
        const i = Math.max(0, Math.min(record.time.length - 1, indexAt(record.time, view.now)));
        const now = { passed: passed };
        for (const [name, values] of Object.entries(record.channels)) now[name] = values[i];
        if (record.time.length) view.machines[side].show(now);
    });
    if (!view.moving) tellMoment(shown);
};

// What the last window of motion shows, in words.
const tellMotion = () => {
    pair.live.forEach((record, side) => {
        const own = byId(`side${side}`).querySelector(".moving");
        const from = Math.max(0, view.now - view.window);
        const a = indexAt(record.time, from), b = indexAt(record.time, view.now);
        let low = Infinity, high = -Infinity;
        for (let i = a; i < b; i++) {
            const v = record.channels["controlled pressure"][i];
            if (v < low) low = v;
            if (v > high) high = v;
        }
        if (!(high >= low)) return;
        const hits = record.contacts.filter(([t]) => t >= from && t <= view.now);
        const span = view.now - from;
        const [unit, factor] = unitsNow()["controlled pressure"];
        const load = seatLoad(side);
        const hardest = hits.reduce((most, [, , force]) => Math.max(most, force), 0);
        own.textContent = `In the last ${short(span)} s: swing ${short((high - low) * factor)} ${
            unit.replace(/g$|\(g\)$/, "")}, ${short(hits.length * 60 / span)} contacts a minute${
            hardest > 0 && load > 0 ? `, hardest ${short(hardest / load)} times the load at rest on the seat` : ""}.`;
        const last = hits.length ? hits[hits.length - 1] : null;
        view.machines[side].tell(last && view.now - last[0] < view.window / 5 ? "contact" : "");
    });
};

const knocks = (sides) => sides.forEach((pieces, side) => pieces.forEach((piece) =>
    piece.contacts.forEach(([time, , force]) => {
        if (view.sounding) sound.knock(side, force / (seatLoad(side) || force), (time - view.now) / view.speed);
    })));

const frame = (stamp) => {
    if (!view.moving) return;
    const passed = Math.min(0.1, (stamp - (view.last || stamp)) / 1000) * view.speed;
    view.last = stamp;
    const ready = Math.min(...pair.live.map((r) => r.time[r.time.length - 1] || 0));
    view.now = Math.min(view.now + passed, Math.max(ready, view.now));
    if (!view.asking && ready < view.now + 0.3 * view.speed) {
        view.asking = true;
        pair.advance(view.now + 0.5 * view.speed).then(knocks)
            .catch((error) => { stop(); say(error.message); })
            .finally(() => { view.asking = false; });
    }
    // Where the system asks for less motion the picture is renewed once a second.
    if (!calm() || stamp - view.told > 1000) paint(passed / view.window * 20);
    if (stamp - view.told > (calm() ? 1000 : 500)) { view.told = stamp; tellMotion(); }
    requestAnimationFrame(frame);
};

const stop = () => {
    if (view.moving) {
        view.end = view.now;
        byId("moment").value = 1000;
    }
    view.moving = false;
    document.body.classList.remove("in-motion");
    byId("play").setAttribute("aria-pressed", "false");
    byId("play").textContent = "Move";
    if (view.inMotion) paint();
};

const setSpeed = () => { view.speed = Number(byId("speed").value); view.window = 20 * view.speed; paint(); };

const move = async () => {
    if (!pair.started) { view.now = 0; await pair.begin(); await pair.advance(0.5 * view.speed); }
    if (!view.inMotion) view.now = Math.max(0, Math.min(...pair.live.map((r) => r.time[r.time.length - 1] || 0)) - 0.3 * view.speed);
    view.inMotion = true; view.moving = true; view.last = 0;
    document.body.classList.add("in-motion"); byId("moment").value = 1000;
    byId("play").setAttribute("aria-pressed", "true");
    byId("play").textContent = "Stop";
    requestAnimationFrame(frame);
};

// --- Changes

// What moved before a change says nothing of what stands now; Move goes on from where it was.
const leaveMotion = () => {
    view.inMotion = false; view.now = 0; byId("moment").value = 0;
    for (const own of document.querySelectorAll(".moving")) own.textContent = "";
};

const judgeSoon = async () => {
    if (view.busy) { view.again = true; return; }
    view.busy = true;
    do {
        view.again = false;
        if (!view.moving) leaveMotion();
        await rejudge();
    } while (view.again);
    view.busy = false;
    byId("state").textContent = "";
};

const rejudge = async () => {
    byId("state").textContent = "running";
    const found = await pair.judge();
    const bad = found.find((j) => j.failed);
    // What was found before is of other values: it goes, too.
    view.refused = bad ? withoutPlace(bad.messages) : "";
    if (bad) { say(view.refused); byId("figures").tBodies[0].replaceChildren(); showVerdicts(); hooks.judged(); return; }
    for (const j of found) j.record = asRecord(j);
    judged = found.slice();
    frames = (await pair.fields(FRAME_FIELDS)).map((list) => Object.fromEntries(list.map((f, i) => [FRAME_FIELDS[i], f])));
    hideChambers();
    byId("screw").textContent = frames[0]["set.adjusted"].text === "at-flow"
        ? " Before it the set screw is turned until the gauge reads the set pressure at this flow; in motion the screw stays where it was." : "";
    setMachines(); showJudged(); paint(); hooks.judged();
};

const flowPath = () => (frames[0].duty.text === "reducing" ? "demand.rate" : "inflow.rate");

const shutIn = async () => {
    const path = flowPath(), number = readNumber(frames[0][path].text);
    if (!view.shut && !number) { say("This flow changes by itself: it cannot be shut in here."); return; }
    view.shut = !view.shut; showVerdicts();
    if (!view.moving) await toHead();
    await pair.lookSet(path, view.shut ? `0 ${number.unit}` : frames[0][path].text);
    byId("shut").setAttribute("aria-pressed", String(view.shut));
    byId("shut").textContent = view.shut ? "Restart" : "Shut in";
};

// What is done to it is done at the end of what was computed, wherever one looks.
const toHead = async () => { if (view.inMotion) view.now = Math.max(view.now, view.end); await move(); };

const kick = async () => {
    const given = frames[0]["start.kick_pressure"].si;
    const drop = Number.isFinite(given) && given !== 0 ? given : 0.02 * (frames[0]["set.pressure"].si - 101325);
    if (!view.moving) await toHead();
    await pair.kick(drop);
};

const reset = async () => {
    byId("state").textContent = "running";
    stop(); leaveMotion(); view.shut = false;
    byId("shut").textContent = "Shut in"; byId("shut").setAttribute("aria-pressed", "false");
    say("");
    while (view.busy) await new Promise((resolve) => setTimeout(resolve, 10));
    view.busy = true;
    const found = await pair.open();
    if (found.messages) say(found.messages);
    if (found.ready) { makeSides(); await rejudge(); await hooks.opened(); }
    view.busy = false;
    byId("state").textContent = "";
};

// --- Begin

const connect = () => {
    byId("play").onclick = () => (view.moving ? stop() : move());
    byId("kick").onclick = kick; byId("shut").onclick = shutIn; byId("reset").onclick = reset;
    byId("speed").onchange = setSpeed;
    byId("moment").oninput = () => {
        if (view.moving) stop();
        const shown = records(), share = byId("moment").value / 1000;
        view.now = view.inMotion ? firstOf(shown) + share * (view.end - firstOf(shown)) : share * lastOf(shown);
        paint();
    };
    byId("sound").onclick = () => {
        sound = sound || makeSound();
        view.sounding = !view.sounding;
        if (view.sounding) sound.on(); else sound.off();
        byId("sound").textContent = view.sounding ? "Sound: on" : "Sound: off";
        byId("sound").setAttribute("aria-pressed", String(view.sounding));
    };
    addEventListener("resize", () => paint());
    addEventListener("beforeprint", () => { stop(); paint(); });
    matchMedia("(prefers-reduced-motion: reduce)").addEventListener("change", () => { if (calm()) stop(); });
};

const showSpeeds = () => {
    const time = Math.max(...judged.map((j) => (j.figures.run_time ? j.figures.run_time[0] : 60)));
    byId("speed").replaceChildren(...SPEEDS.map((s) => make("option", { value: s }, s === 1 ? "real time" : s > 1 ? `${s} times` : `1/${Math.round(1 / s)}`)));
    byId("speed").value = String(SPEEDS.find((s) => s <= 1 && s * 10 <= time) || SPEEDS[SPEEDS.length - 1]);
    setSpeed();
};

// Without the module: what the program itself made of the scenario, and nothing moves.
const showPrecomputed = (why) => {
    const runs = [scenario.runs[0], scenario.runs[1] || scenario.runs[0]];
    judged = runs.map((run) => ({ ...run, record: asRecord(run) }));
    const root = readDump(scenario.dump), at = (section, name) => {
        const found = section ? root.get(section) && root.get(section).get(name) : root.get(name);
        return found && found.text || "";
    };
    frames = judged.map((j) => Object.fromEntries(FRAME_FIELDS.map((path) => {
        const [a, b] = path.includes(".") ? path.split(".") : ["", path];
        return [path, { text: at(a, b), si: path === "trim.port" ? 1 : NaN }];
    })));
    hideChambers(); makeSides(); setMachines(); showJudged(); showSpeeds(); paint();
    for (const id of ["play", "kick", "shut", "sound", "reset", "speed"]) byId(id).disabled = true;
    hooks.precomputed();
    say(`Precomputed: the model cannot run in this browser (${why}). Shown is what the program made of the scenario when this page was written.`);
};

const startStage = async () => {
    connect();
    let judge = null, why = "it has no WebAssembly or no workers";
    try { judge = await startEngine(); } catch (error) { why = error.message; }
    if (!judge) { showPrecomputed(why); return; }
    pair = makePair({ judge, scenario, trims });
    pair.guesses = () => judge("guesses");
    pair.peek = () => judge("peek", { dump: scenario.dump });
    pair.starter = (inputs) => judge("starter", { inputs });
    await reset();
    showSpeeds();
    const other = trims.map((trim) => scenario.runs.find((run) => run.index === trim)).find((run, side) => run.verdict !== judged[side].verdict);
    if (other) say(`The model in this page does not agree with the program that wrote it: ${other.trim} is ${other.verdict} there. Use the program.`);
    document.documentElement.dataset.ready = "yes";
};
