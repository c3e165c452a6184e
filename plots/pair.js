// SPDX-License-Identifier: MIT
// Two sides of one scenario: changed together, judged whole, and looked at in motion. Each question
// goes to one of two workers, so that judging does not halt the motion.
"use strict";

const FRAME_FIELDS = ["duty", "actuation", "trim.direction", "trim.port", "trim.travel", "set.pressure",
    "oil_damper.displaced_area", "pilot.travel", "inlet.pressure", "downstream.pressure",
    "vessel.pressure_limit", "site.atmosphere", "start.kick_pressure", "inflow.rate", "demand.rate",
    "set.adjusted", "pilot.exhaust_to"];

const asRecord = ({ trace, contacts }) => {
    const channels = { ...trace };
    const count = trace["controlled pressure"].length;
    delete channels.step;
    return { time: Float64Array.from({ length: count }, (_, i) => i * trace.step), channels, contacts,
        hasChamber: true };
};

const emptyRecord = () => ({ time: [], contacts: [], hasChamber: true, channels: {
    "controlled pressure": [], "plug travel": [], "chamber pressure": [], "trim flow": [],
    "inflow or demand": [], "sensed pressure": [], "pilot travel": [], "downstream pressure": [] } });

const MOST_SAMPLES = 200000;

const extend = (record, piece) => {
    const count = piece.channels["plug travel"].length;
    for (let i = 0; i < count; i++) record.time.push(piece.from + i * piece.step);
    for (const [name, all] of Object.entries(record.channels)) {
        for (const v of piece.channels[name]) all.push(v);
    }
    record.contacts.push(...piece.contacts);
    if (record.time.length > MOST_SAMPLES) {
        const cut = MOST_SAMPLES / 2;
        record.time.splice(0, cut);
        for (const all of Object.values(record.channels)) all.splice(0, cut);
        record.contacts = record.contacts.filter(([time]) => time >= record.time[0]);
    }
};

// One scenario in both workers. The one for motion is started when something is to move.
const makePair = ({ judge, scenario, trims }) => {
    let look = null;
    const pair = { changes: new Map(), trims: [], judged: [null, null], live: [], started: false };
    const pathOf = (path, side) => {
        const named = pair.trims.length > 1 || pair.trims[0] !== "trim";
        return path.startsWith("trim.") && side !== undefined && named
            ? `trims.${pair.trims[trims[side]]}.${path.slice(5)}` : path;
    };
    pair.pathOf = pathOf;
    pair.trimName = (side) => pair.trims[trims[side]] || "";
    pair.open = async () => {
        pair.changes.clear(); pair.started = false;
        const found = await judge("open", { dump: scenario.dump, set: scenario.set, trims });
        pair.trims = found.trims;
        return found;
    };
    // As judged, but that it does not end when the verdict is known.
    const openLook = async () => {
        look = look || await startEngine();
        await look("open", { dump: scenario.dump, set: scenario.set, trims });
        await look("set", { assignment: "run.stop_early=no" });
        for (const [path, text] of pair.changes) {
            const side = /^(\d):(.*)$/.exec(path);
            await look("set", side ? { side: Number(side[1]), assignment: `${side[2]}=${text}` } : { assignment: `${path}=${text}` });
        }
    };
    // side: of one side alone, else of both.
    pair.set = async (path, text, side) => {
        const assignment = `${pathOf(path, side)}=${text}`;
        const answer = await judge("set", { side, assignment });
        if (!answer.fine) return answer;
        if (pair.started) await look("set", { side, assignment });
        pair.changes.set(side === undefined ? path : `${side}:${pathOf(path, side)}`, text);
        if (pair.started) await look("turn");
        return answer;
    };
    pair.judge = async () => {
        for (const side of [0, 1]) pair.judged[side] = await judge("judge", { side });
        return pair.judged;
    };
    pair.fields = (paths) => judge("fields", { paths });
    pair.begin = async () => {
        pair.live = [emptyRecord(), emptyRecord()];
        await openLook();
        await look("begin");
        pair.started = true;
    };
    pair.advance = async (until) => {
        const sides = await look("advance", { until });
        sides.forEach((pieces, side) => pieces.forEach((piece) => extend(pair.live[side], piece)));
        return sides;
    };
    pair.kick = (drop) => look("turn", { kick: drop });
    // In motion alone: what is judged, and kept, is the flow that was given.
    pair.lookSet = async (path, text) => {
        const answer = await look("set", { assignment: `${path}=${text}` });
        if (answer.fine) await look("turn");
        return answer;
    };
    return pair;
};
