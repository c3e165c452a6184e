// SPDX-License-Identifier: MIT
// What a worker does for a page: it holds a scenario for each side, changes it, runs it whole to be
// judged, or runs it on in slices to be looked at. One answer for each question, in order.
"use strict";

const SHOWN = ["controlled pressure", "plug travel", "chamber pressure", "trim flow",
    "inflow or demand", "sensed pressure", "pilot travel", "downstream pressure"];
const TRACE_POINTS = 3000;

let core = null;
let sides = []; // {page, trim, base, sent, heard}

const trace = (page) => {
    const count = page.samples(), stride = Math.floor(count / TRACE_POINTS) + 1;
    const all = { step: page.step() * stride };
    for (const name of SHOWN) all[name] = page.channel(name, 0, count, stride);
    return all;
};

const judged = (side) => {
    const { page, trim } = side;
    if (!page.start(trim)) return { failed: true, messages: page.messages() };
    while (page.advance(Infinity));
    const done = page.finish();
    return {
        verdict: done ? page.verdict() : "failed", reason: page.reason(), figures: page.figures(),
        trace: trace(page), contacts: page.contacts(0), units: page.units(),
        rated: page.field("trim.travel", trim).si,
        messages: page.messages(),
    };
};

// Begins to look at a side, at its own start.
const begin = (side) => {
    side.base = 0; side.sent = 0; side.heard = 0;
    side.running = side.page.start(side.trim);
    return side.running;
};

// Goes on from where it is with the values as they now stand.
const turn = (side) => {
    if (!side.running) return begin(side);
    const reached = side.page.time();
    if (!side.page.finish() || !side.page.goOn()) {
        side.running = side.page.start(side.trim); // another build, or the solver gave up
    }
    side.base += reached; side.sent = 1; side.heard = 0;
    return side.running;
};

// New samples up to a time, as [from, step, channels...].
const collect = (side) => {
    const { page } = side;
    const to = page.samples(), piece = { from: side.base + side.sent * page.step(),
        step: page.step(), channels: {}, contacts: [] };
    for (const name of SHOWN) piece.channels[name] = page.channel(name, side.sent, Math.max(to, side.sent));
    for (const [time, speed, force] of page.contacts(side.heard)) {
        piece.contacts.push([side.base + time, speed, force]);
    }
    side.sent = Math.max(to, side.sent); side.heard = page.contactCount();
    return piece;
};

const advance = (side, until) => {
    const pieces = [];
    for (let turns = 0; side.running && turns < 50; turns++) {
        const going = side.page.advance(until - side.base);
        pieces.push(collect(side));
        if (going || side.base + side.page.time() >= until) break;
        const before = side.base;
        turn(side);
        if (side.base <= before) break;
    }
    return pieces;
};

// What the browser's own start-up costs is paid before anybody waits for it.
const answers = {
    load: ({ bytes }) => { core = makeCore(bytes); return { figures: core.figures }; },
    open: ({ dump, set, trims }) => {
        for (const side of sides) side.page.close();
        sides = trims.map((trim) => ({ page: core.open(dump), trim }));
        const first = sides[0].page;
        const found = { messages: first.messages(), trims: first.trims() };
        found.ready = first.ready();
        for (const side of sides) {
            for (const one of set) {
                if (!side.page.set(one)) { found.ready = false; found.messages = side.page.messages(); }
            }
        }
        return found;
    },
    // On one side or on all; all or none.
    set: ({ side, assignment }) => {
        let messages = "";
        for (const one of side === undefined ? sides : [sides[side]]) {
            const fine = one.page.set(assignment);
            messages = one.page.messages();
            if (!fine) return { fine, messages };
        }
        return { fine: true, messages };
    },
    fields: ({ paths }) => sides.map((side) => paths.map((path) => side.page.field(path, side.trim))),
    starter: ({ inputs }) => core.starter(inputs),
    // Whether a dump can be run, without taking it in.
    peek: ({ dump }) => {
        const page = core.open(dump);
        const found = { ready: page.ready(), messages: page.messages(), trims: page.trims() };
        page.close();
        return found;
    },
    guesses: () => {
        const { page, trim } = sides[0];
        return page.paths().filter((path) => {
            const field = page.field(path, trim);
            return field.source === 3 && field.applies;
        });
    },
    judge: ({ side }) => judged(sides[side]),
    begin: () => sides.map(begin),
    turn: ({ kick }) => sides.map((side) => { if (kick) side.page.kick(kick); return turn(side); }),
    advance: ({ until }) => sides.map((side) => advance(side, until)),
};

self.onmessage = ({ data }) => {
    try {
        self.postMessage({ id: data.id, answer: answers[data.ask](data) });
    } catch (error) {
        self.postMessage({ id: data.id, error: String(error && error.message || error) });
    }
};
