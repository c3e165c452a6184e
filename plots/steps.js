// SPDX-License-Identifier: MIT
// The words of the lesson. Numbers and verdicts are asked of the runs; which answer is right is told
// by a test on them, so that no word stands here that a run could contradict. `*word*` is explained
// where it first comes.
"use strict";

const FULL = 0, REDUCED = 1;
const runOf = (key, side) => data.variants[key].runs[side];
const verdictOf = (key, side) => runOf(key, side).verdict;
const figureOf = (key, side, name) => (runOf(key, side).figures[name] || [NaN, "-"])[1];
const numberOf = (key, side, name) => (runOf(key, side).figures[name] || [NaN])[0];
const QUIET = ["steady", "ringing", "forced"];
const quiet = (key, side) => QUIET.includes(verdictOf(key, side));
const unable = (key, side) => ["wide open", "cannot open", "cannot shut", "shut"].includes(verdictOf(key, side));
const moves = (key, side) => !quiet(key, side) && !unable(key, side);
// A variant's change as its scenario writes it, such as "3 MMscf/d".
const changeOf = (key, path) => {
    const found = data.variants[key].set.find((one) => one.startsWith(`${path}=`));
    return found ? found.slice(path.length + 1) : asWritten(path);
};
const asWritten = (path) => {
    const [section, name] = path.split(".");
    return readDump(scenario.dump).get(section).get(name).text.replace(/^about /, "");
};
const sideName = (side) => `the ${runOf("today", side).trim} port`;
// What a run did, in one sentence.
const didOf = (key, side) => {
    const swing = numberOf(key, side, "pressure_swing"), hits = numberOf(key, side, "seat_rate");
    const more = moves(key, side) && swing > 0 ? `, the pressure swings by ${figureOf(key, side, "pressure_swing")}` : "";
    const seat = hits > 0 ? ` and the plug hits its seat ${Math.round(hits)} times a minute` : "";
    const held = unable(key, side) ? `: the pressure stands at ${figureOf(key, side, "rest_pressure")}` : "";
    return `${sideName(side)} is ${verdictOf(key, side)}${more}${seat}${held}`;
};
const began = (words) => words[0].toUpperCase() + words.slice(1);
const firstTouch = () => (scenario.runs[FULL].contacts[0] || [Infinity])[0];
const inTravel = (key, side) => {
    const [unit, factor] = scenario.runs[side].units["plug travel"];
    return `${short(numberOf(key, side, "rest_opening") * scenario.runs[side].rated * factor)} ${unit}`;
};
const FLOWS = ["flow_d", "flow_c", "flow_b", "flow_a", "today"];
const slamming = () => FLOWS.filter((key) => moves(key, FULL)).length;

const STEPS_OF_LESSON = [
    { title: "What each part does", text: () => [
        "The *vessel* holds the gas of the well. The *regulator* behind it lets out as much as comes in, so that the vessel keeps its *set pressure*. Gas leaves through the *port*, a round hole; the rim of the hole is the *seat*, and the *plug* closes it. Port, seat and plug together are the *trim*, and they can be changed for smaller ones. How far the plug has lifted off is its *travel*.",
        "The plug hangs on a *stem*. At the other end of the stem is a *diaphragm* in a case: gas in the *chamber* under it lifts, a *spring* above it pushes back. The *pilot* is a small regulator that feels the vessel through the *sense line*. When the pressure rises it lets gas into the chamber, and a small hole, the *bleed*, lets it out again.",
        `On the left is the ${runOf("today", FULL).trim} port, on the right the ${runOf("today", REDUCED).trim} one; all else is the same. A *kick* is a sudden rise of pressure, such as a slug brings.`],
    ask: `A slug raises the vessel pressure by ${asWritten("start.kick_pressure")} in an instant. What does the big plug do first?`,
    options: [
        { say: "It opens, to let the slug out.", right: () => firstTouch() > 0.5 },
        { say: "It is pushed onto its seat.", right: () => firstTouch() <= 0.5 },
        { say: "It waits for the pilot.", right: () => false }],
    tries: [["today", "Kick it"]],
    happened: () => [
        firstTouch() <= 0.5 ? `The big plug was on its seat ${short(firstTouch())} s after the slug came. Flow comes from above and pushes the plug shut with the pressure drop on the whole port, at once. The pilot wants to open, but has to fill the chamber first, and that takes time. So the part that should help comes late.`
            : "The big plug did not touch its seat at first.",
        `Then: ${didOf("today", FULL)}; ${didOf("today", REDUCED)}. *Slamming* means that it keeps hitting its seat; *hunting* means that it keeps swinging without touching it. The *swing* is highest less lowest pressure.`] },
    { title: "Why one per cent of travel is a bad place to work", text: () => [
        `When the flow is ${asWritten("inflow.rate")}, the big plug rests at ${figureOf("today", FULL, "rest_opening")} of its travel: ${inTravel("today", FULL)} off its seat. Look at it through the lens.`],
    ask: `For twice that flow, how far must the big plug be open?`,
    options: [
        { say: "About twice as far.", right: () => { const r = numberOf("flow_a", FULL, "rest_opening") / numberOf("today", FULL, "rest_opening"); return r > 1.5 && r < 3; } },
        { say: "About ten times as far.", right: () => numberOf("flow_a", FULL, "rest_opening") / numberOf("today", FULL, "rest_opening") >= 3 },
        { say: "It need not move at all.", right: () => numberOf("flow_a", FULL, "rest_opening") / numberOf("today", FULL, "rest_opening") <= 1.5 }],
    tries: [["flow_a", "Twice the flow"], ["today", "Today's flow"]],
    happened: () => [
        `At ${changeOf("flow_a", "inflow.rate")} the big plug rests at ${figureOf("flow_a", FULL, "rest_opening")}, ${inTravel("flow_a", FULL)} off its seat. So a movement by one hundredth of its travel doubles the flow. No hand could set that, and no pilot does: a little too far is far too much. The small port rests at ${figureOf("today", REDUCED, "rest_opening")}: it needs more travel for the same flow, so each bit of travel does less. It is not the per cent alone: on the big port each bit of travel lets out more gas, and the flow pushes on a bigger plug.`] },
    { title: "The same well at five flows", text: () => [
        `The well came on at ${changeOf("flow_d", "inflow.rate")}. It is in *decline*: ${changeOf("flow_c", "inflow.rate")}, ${changeOf("flow_b", "inflow.rate")}, ${changeOf("flow_a", "inflow.rate")}, and today ${asWritten("inflow.rate")}. The regulator stayed as it was.`],
    ask: "At which of the five flows does the big port keep moving?",
    options: [
        { say: "At today's alone.", right: () => slamming() === 1 },
        { say: "At several of them, but not when the well came on.", right: () => slamming() > 1 && !moves("flow_d", FULL) },
        { say: "At all five: it was wrong from the first day.", right: () => slamming() === 5 },
        { say: "At none.", right: () => slamming() === 0 }],
    tries: [["flow_d", "When it came on"], ["flow_c", "Half"], ["flow_b", "A quarter"], ["flow_a", "A tenth"], ["today", "Today"]],
    happened: () => [
        ...FLOWS.map((key) => `${changeOf(key, "inflow.rate")}: ${didOf(key, FULL)}; ${didOf(key, REDUCED)}.`),
        `Nothing broke and nobody made a mistake: the well changed. *Oversized* means too big for the flow of today. ${numberOf("today", FULL, "pressure_swing") < numberOf("flow_b", FULL, "pressure_swing") && moves("today", FULL) ? "The swing shrinks with the flow, but it does not end: a smaller swing is no cure. " : ""}And look at the small port at the highest flow before you buy it.`] },
    { title: "The plug near its seat, and the seat land", text: () => [
        `The seat has a flat rim, the *land*, on which the plug lies when it is shut. Gas squeezes through the gap above it. In the demo it has no width; a real one has some.`],
    ask: `The seat gets a land ${changeOf("land_wide", "trim.seat_land")} wide. What will the big port do?`,
    options: [
        { say: "It becomes steady.", right: () => quiet("land_wide", FULL) },
        { say: "It moves less, but goes on.", right: () => moves("land_wide", FULL) && numberOf("land_wide", FULL, "pressure_swing") < 0.9 * numberOf("today", FULL, "pressure_swing") },
        { say: "It goes on as before, or worse.", right: () => moves("land_wide", FULL) && numberOf("land_wide", FULL, "pressure_swing") >= 0.9 * numberOf("today", FULL, "pressure_swing") }],
    tries: [["land", "A narrow land"], ["land_wide", "A wide land"], ["today", "No land"]],
    happened: () => [
        `Without a land: ${didOf("today", FULL)}. ${began(changeOf("land", "trim.seat_land"))} wide: ${didOf("land", FULL)}. ${began(changeOf("land_wide", "trim.seat_land"))} wide: ${didOf("land_wide", FULL)}.`,
        "The push of the flow on the plug is there with any land. What the land changes is the very last bit of travel. A worn or hammered seat is what such motion leaves behind; do not look for its cause there."] },
    { title: "Friction and kick: why it was quiet for weeks", text: () => [
        `*Friction* of the stem in its packing holds the plug until something stronger moves it. Here the packing drags with ${changeOf("rub", "friction.kinetic")}; the demo has ${asWritten("friction.kinetic")}. And nothing disturbs the well.`],
    ask: "Left alone like this, what does the big port do?",
    options: [
        { say: "It slams as before.", right: () => moves("rub_still", FULL) },
        { say: "It stays quiet.", right: () => quiet("rub_still", FULL) }],
    tries: [["rub_still", "Leave it alone"], ["rub", `Now a kick of ${asWritten("start.kick_pressure")}`]],
    happened: () => [
        `Left alone: ${didOf("rub_still", FULL)}. With one kick of ${asWritten("start.kick_pressure")}: ${didOf("rub", FULL)}.`,
        quiet("rub_still", FULL) && moves("rub", FULL) ? "So a regulator can sit quiet for weeks, until a slug, a pig or a hand on a valve wakes it; then it does not stop. Looking at it while it is quiet proves nothing: kick it."
            : "Here friction alone does not decide; elsewhere it may."] },
    { title: "What cures it, what only hides it, and when it is not the port", text: () => [
        "Without new parts one can tighten the packing, lower the set pressure, or give the gas more room. With parts: a smaller port. And then there is a case that looks alike and has another cause: the *feedback* of the pilot, the area on which the chamber pushes back at it, too small."],
    ask: `The pilot's feedback area is ${changeOf("band", "pilot.feedback_area")} in place of ${asWritten("pilot.feedback_area")}. Will the small port cure that?`,
    options: [
        { say: "Yes, it always does.", right: () => quiet("band", REDUCED) && !quiet("band", FULL) },
        { say: "No, it moves too.", right: () => moves("band", REDUCED) },
        { say: "Neither of them moves now.", right: () => quiet("band", FULL) && quiet("band", REDUCED) }],
    tries: [["band", "Too little feedback"], ["set_low", `Set to ${changeOf("set_low", "set.pressure")}`], ["vessel", `${changeOf("vessel", "vessel.volume")} of gas`],
        ["tight", `Packing: ${changeOf("tight", "friction.kinetic")}`], ["tight_hit", `The same, kicked by ${changeOf("tight_hit", "start.kick_pressure")}`], ["damping", "A heavy damper"]],
    happened: () => [
        `Too little feedback: ${didOf("band", FULL)}; ${didOf("band", REDUCED)}.${moves("band", REDUCED) ? " Where the small port moves too, the port is not the cause: look at the pilot, the sense line, the bleed." : ""}`,
        `Set to ${changeOf("set_low", "set.pressure")}: ${didOf("set_low", FULL)}. Gas space ${changeOf("vessel", "vessel.volume")} for ${asWritten("vessel.volume")}: ${didOf("vessel", FULL)}. Packing at ${changeOf("tight", "friction.kinetic")}: ${didOf("tight", FULL)}; kicked by ${changeOf("tight_hit", "start.kick_pressure")} then: ${didOf("tight_hit", FULL)}. A heavy damper, ${changeOf("damping", "actuator.damping")}: ${didOf("damping", FULL)}.`,
        `So, on this regulator: packing ${quiet("tight", FULL) && moves("tight_hit", FULL) ? "only hides it, until a harder kick" : quiet("tight", FULL) ? "held it against these kicks" : "does not hide it"}; a lower set pressure ${quiet("set_low", FULL) ? "helps" : "does not help"}; a damper ${quiet("damping", FULL) ? "helps" : "does not help"}; more gas space ${quiet("vessel", FULL) ? `helps, tried with a kick of ${asWritten("start.kick_pressure")}` : "does not help"}. The small port after the same kick: ${didOf("today", REDUCED)}. That is the cure, at a price: at ${changeOf("flow_d", "inflow.rate")} ${didOf("flow_d", REDUCED)}.`] },
];

const because = (key, ...sides) => `The run (${data.variants[key].set.join(", ") || "as in the file"}): ${
    sides.map((side) => didOf(key, side)).join("; ")}.`;

const QUESTIONS = [
    { ask: `The small port is ${verdictOf("today", REDUCED)} today. What would it do at ${changeOf("flow_d", "inflow.rate")}, when the well came on?`,
        key: "flow_d", sides: [REDUCED], options: [
            ["Hold the pressure, as today.", () => quiet("flow_d", REDUCED)],
            ["Slam.", () => moves("flow_d", REDUCED)],
            ["Stand wide open and not hold the pressure.", () => unable("flow_d", REDUCED)]] },
    { ask: `At ${changeOf("flow_c", "inflow.rate")}, half of the flow it was bought for, the big port`,
        key: "flow_c", sides: [FULL], options: [
            ["is still quiet: half is not little.", () => quiet("flow_c", FULL)],
            ["moves already.", () => moves("flow_c", FULL)],
            ["cannot hold the pressure.", () => unable("flow_c", FULL)]] },
    { ask: `Somebody sets it to ${changeOf("set_low", "set.pressure")} in place of ${asWritten("set.pressure")}. The big port`,
        key: "set_low", sides: [FULL], options: [
            ["becomes quiet.", () => quiet("set_low", FULL)], ["goes on moving.", () => moves("set_low", FULL)]] },
    { ask: `The packing was tightened to ${changeOf("rub", "friction.kinetic")} and it has been quiet since. Is it cured?`,
        key: "rub", sides: [FULL],
        told: () => `Left alone with ${changeOf("rub", "friction.kinetic")} ${didOf("rub_still", FULL)}: that was the quiet. After one kick of ${asWritten("start.kick_pressure")}: ${because("rub", FULL)}`,
        options: [
            ["Yes: it is quiet.", () => quiet("rub", FULL)],
            ["No: the next kick starts it again.", () => quiet("rub_still", FULL) && moves("rub", FULL)],
            ["It was not even quiet.", () => moves("rub_still", FULL)]] },
    { ask: "Both ports keep moving on a pilot with too little feedback. What follows?",
        key: "band", sides: [FULL, REDUCED], options: [
            ["Take a still smaller port.", () => false],
            ["The port is not the cause.", () => moves("band", FULL) && moves("band", REDUCED)],
            ["That cannot be: the small port is always quiet.", () => quiet("band", REDUCED)]] },
    { ask: `The vessel gets ${changeOf("vessel", "vessel.volume")} of gas space in place of ${asWritten("vessel.volume")}. The big port`,
        key: "vessel", sides: [FULL], options: [
            ["goes on: the vessel has nothing to do with it.", () => moves("vessel", FULL)],
            ["becomes quiet: the pressure has more time to answer.", () => quiet("vessel", FULL)]] },
];
