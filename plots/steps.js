// SPDX-License-Identifier: MIT
// The words of the lesson. Numbers and verdicts are asked of the runs; which answer is right is told
// by a test on them, so that no word stands here that a run could contradict. A sentence explains its
// `*word*`; `[word|meaning]` is explained on asking. A step: what is told first, what is asked, what can
// be tried (run, button, what it showed), after which runs the prediction is settled, how it ends.
"use strict";

const FULL = 0, REDUCED = 1;
const runOf = (key, side) => data.variants[key].runs[side];
const verdictOf = (key, side) => runOf(key, side).verdict;
const figureOf = (key, side, name) => (runOf(key, side).figures[name] || [NaN, "-"])[1];
const numberOf = (key, side, name) => (runOf(key, side).figures[name] || [NaN])[0];
const QUIET = ["steady", "ringing", "forced"];
const quiet = (key, side) => QUIET.includes(verdictOf(key, side));
const UNABLE = ["wide open", "cannot open", "cannot shut", "shut"];
const unable = (key, side) => UNABLE.includes(verdictOf(key, side));
const moves = (key, side) => !quiet(key, side) && !unable(key, side);
// A variant's change as its scenario writes it, such as "3 MMscf/d".
const changeOf = (key, path) => {
    const found = data.variants[key].set.find((one) => one.startsWith(`${path}=`));
    return found ? found.slice(path.length + 1) : asWritten(path);
};
const asWritten = (path) => {
    const found = path.split(".").reduce((at, name) => at.get(name), readDump(scenario.dump));
    return (found instanceof Map ? found.get("value") : found).text.replace(/^about /, ""); // a range has its value
};
const sideName = (side) => `the ${runOf("today", side).trim} port`;
// What a run did, in one sentence.
const didIn = ({ verdict, figures }, side) => {
    const of = (name) => (figures[name] || [NaN])[0], text = (name) => plainFigure(name, { figures, reason: "" });
    const still = QUIET.includes(verdict), held = UNABLE.includes(verdict);
    const more = !still && !held && of("pressure_swing") > 0 ? `, the pressure swings by ${text("pressure_swing")}` : "";
    const seat = of("seat_rate") > 0 ? ` and the plug hits its seat ${Math.round(of("seat_rate"))} times a minute` : "";
    return `${sideName(side)} is ${verdict}${more}${seat}${held ? `: the pressure stands at ${text("rest_pressure")}` : ""}`;
};
const didOf = (key, side) => didIn(runOf(key, side), side);
const began = (words) => words[0].toUpperCase() + words.slice(1);
const both = (key) => `${began(didOf(key, FULL))}; ${didOf(key, REDUCED)}.`;
const one = (key) => `${began(didOf(key, FULL))}.`;
const inTravel = (key, side) => {
    const [unit, factor] = scenario.runs[side].units["plug travel"];
    return `${short(numberOf(key, side, "rest_opening") * scenario.runs[side].rated * factor)} ${unit}`;
};
// What the big plug does in the first half second after the kick: "shut", "opens" or "waits".
const firstTouch = () => (scenario.runs[FULL].contacts[0] || [Infinity])[0];
const traceOf = (name, until) => {
    const { trace } = scenario.runs[FULL];
    return trace[name].slice(0, Math.max(2, Math.ceil(until / trace.step)));
};
const firstMove = () => {
    if (firstTouch() <= 0.5) return "shut";
    const travel = traceOf("plug travel", 0.5);
    return Math.max(...travel) > 1.5 * travel[0] ? "opens" : "waits";
};
const soon = (time) => (time < 0.1 ? `${Math.max(1, Math.round(1000 * time))} thousandths of a second` : `${short(time)} s`);
// When the chamber's pressure stopped rising for the first time [s].
const chamberFull = () => {
    const chamber = traceOf("chamber pressure", 10);
    let at = 1;
    while (at + 1 < chamber.length && chamber[at + 1] >= chamber[at]) at++;
    return at * scenario.runs[FULL].trace.step;
};
const FLOWS = ["flow_d", "flow_c", "flow_b", "flow_a", "today"];
const slamming = () => FLOWS.filter((key) => moves(key, FULL)).length;
const opensBy = () => numberOf("flow_a", FULL, "rest_opening") / numberOf("today", FULL, "rest_opening");
// How much more flow a thousandth of an inch lets out, from today's flow to twice that.
const perThousandth = (side) => {
    const { rated } = scenario.runs[side], more = readNumber(changeOf("flow_a", "inflow.rate")).value - readNumber(asWritten("inflow.rate")).value;
    const way = (numberOf("flow_a", side, "rest_opening") - numberOf("today", side, "rest_opening")) * rated / 0.0254;
    return `${short(more / way)} ${readNumber(asWritten("inflow.rate")).unit.replace(/^MM/, "M")}`; // a thousandth of a million
};
const inFlow = (key) => `${changeOf(key, "inflow.rate")} into ${changeOf(key, "downstream.pressure")}`;
const swingOf = (key) => numberOf(key, FULL, "pressure_swing");
const stays = (key) => (quiet(key, FULL) ? "helps" : swingOf(key) < 0.7 * swingOf("today") ? "makes the swing smaller and does not end it" : "does not help");

const STEPS_OF_LESSON = [
    { title: "What each part does", text: () => [
        "The *vessel* holds the gas of the well. The *regulator* behind it lets out as much as comes in, so that the vessel keeps its *set pressure*; the *gauge* shows what it has. Gas leaves through the *port*, a round hole; the rim of the hole is the *seat*, and the *plug* closes it. Port, seat and plug together are the *trim*, and they can be changed for smaller ones. How far the plug has lifted off is its *travel*.",
        "The plug hangs on a *stem*; the *packing* is the ring that seals the stem where it leaves the body, and rubs on it. At the other end of the stem is a *diaphragm*, a sheet that gives way: gas in the *chamber* on one side of it lifts, a *spring* on the other pushes back. The *pilot* is a small regulator that feels the vessel through the *sense line*. When the pressure rises it lets gas into the chamber, and a small hole, the *bleed*, lets it out again.",
        `Find them all in the drawing. On the left, or above, is ${sideName(FULL)}, the big one; the other is ${sideName(REDUCED)}, the small one; all else is the same. A *slug* is liquid or gas that comes from the well all at once. Such a sudden rise of the pressure is a *kick*.`],
    ask: `A slug raises the vessel pressure by ${asWritten("start.kick_pressure")} in an instant. What does the big plug do first?`,
    options: [
        { say: "It opens, to let the slug out.", right: () => firstMove() === "opens" },
        { say: "It is pushed onto its seat.", right: () => firstMove() === "shut" },
        { say: "It waits for the pilot.", right: () => firstMove() === "waits" }],
    tries: [["today", "Kick it", () => both("today")]], answered: ["today"],
    end: () => [
        firstMove() === "shut" ? `The big plug was on its seat ${soon(firstTouch())} after the slug came. The flow pushes the plug shut with the pressure drop on the whole port, at once. The pilot wants to open it, but has to fill the chamber first: that went on rising until ${short(chamberFull())} s. So the part that should help comes late.`
            : "The big plug did not touch its seat at first.",
        "*Slamming* means that it keeps hitting its seat; *hunting*, that it keeps swinging without touching it. The *swing* is highest less lowest pressure. Draw the slider \"Moment\" back to look at it again."] },
    { title: "Why the first two per cent of travel are a bad place to work", text: () => [
        `At ${asWritten("inflow.rate")} the big plug rests at ${plainFigure("rest_opening", runOf("today", FULL))} of its travel: ${inTravel("today", FULL)} off its seat. Look at it through the [lens|the circle at the top of each drawing: the edge of plug and seat, ${LENS} times larger than in the drawing].`],
    ask: `For twice that flow, how far must the big plug be open?`,
    options: [
        { say: "About twice as far.", right: () => opensBy() > 1.5 && opensBy() < 3 },
        { say: "About ten times as far.", right: () => opensBy() >= 3 },
        { say: "It need not move at all.", right: () => opensBy() <= 1.5 }],
    tries: [["flow_a", "Twice the flow", () => `At ${changeOf("flow_a", "inflow.rate")} the big plug rests at ${plainFigure("rest_opening", runOf("flow_a", FULL))} of its travel, ${inTravel("flow_a", FULL)} off its seat. ${both("flow_a")}`],
        ["today", "Today's flow", () => `At ${asWritten("inflow.rate")} the big plug rests ${inTravel("today", FULL)} off its seat, the small one ${inTravel("today", REDUCED)}. ${both("today")}`]],
    answered: ["flow_a"],
    end: () => [
        `So a movement by ${short(100 * (numberOf("flow_a", FULL, "rest_opening") - numberOf("today", FULL, "rest_opening")))} hundredths of its travel doubles the flow. A little too far is far too much. Each thousandth of an inch lets out ${perThousandth(FULL)} more through the big port, and ${perThousandth(REDUCED)} through the small one. And the flow has more to push on: shut, the big plug is held down by ${plainFigure("seat_load", runOf("today", FULL))}, the small one by ${figureOf("today", REDUCED, "seat_load") === "-" ? "less" : plainFigure("seat_load", runOf("today", REDUCED))}.`] },
    { title: "The same well at five flows", text: () => [
        `The well came on at ${changeOf("flow_d", "inflow.rate")}. It is in [decline|it gives less from month to month]: ${changeOf("flow_c", "inflow.rate")}, ${changeOf("flow_b", "inflow.rate")}, ${changeOf("flow_a", "inflow.rate")}, and today ${asWritten("inflow.rate")}. The line after the regulator came down with it, from ${changeOf("flow_d", "downstream.pressure")} to ${asWritten("downstream.pressure")}: less gas runs in it. The regulator stayed as it was.`],
    ask: "At which of the five flows does the big port keep moving?",
    options: [
        { say: "At today's alone.", right: () => slamming() === 1 },
        { say: "At several of them, but not when the well came on.", right: () => slamming() > 1 && !moves("flow_d", FULL) },
        { say: "At all five: it was wrong from the first day.", right: () => slamming() === 5 },
        { say: "At none.", right: () => slamming() === 0 }],
    tries: [["flow_d", "When it came on"], ["flow_c", "Half"], ["flow_b", "A quarter"], ["flow_a", "A tenth"], ["today", "Today"]]
        .map(([key, words]) => [key, words, () => `${inFlow(key)}: ${didOf(key, FULL)}; ${didOf(key, REDUCED)}.`])
        .concat([["line", "Half, the line as at first", () => `${inFlow("line")}: ${didOf("line", FULL)}.`]]),
    answered: FLOWS,
    end: () => [
        `${slamming() > 0 && !moves("flow_d", FULL) ? "Nothing broke and nobody made a mistake: the well changed. " : ""}${quiet("line", FULL) && moves("flow_c", FULL) ? `So did the line: at half the flow it is the lower pressure behind the port that sets it off, as the flow has ${changeOf("flow_c", "downstream.pressure")} to run against and not ${changeOf("line", "downstream.pressure")}. ` : ""}${swingOf("today") < swingOf("flow_b") && moves("today", FULL) ? "The swing shrinks with the flow, but it does not end: a smaller swing is no cure. " : ""}And look at the small port at the highest flow before you buy it: there it is ${verdictOf("flow_d", REDUCED)}.`] },
    { title: "The plug near its seat, and the seat land", text: () => [
        `The rim of the port is not sharp: it has a flat ring on which the plug lies when it is shut. That ring is the *land*. Gas squeezes through the gap above it. In the demo it is ${asWritten("trim.seat_land")} wide.`],
    ask: `The seat gets a land ${changeOf("land_wide", "trim.seat_land")} wide. What will the big port do?`,
    options: [
        { say: "It becomes steady.", right: () => quiet("land_wide", FULL) },
        { say: "It moves less, but goes on.", right: () => moves("land_wide", FULL) && swingOf("land_wide") < 0.9 * swingOf("today") },
        { say: "It goes on as before, or worse.", right: () => moves("land_wide", FULL) && swingOf("land_wide") >= 0.9 * swingOf("today") }],
    tries: [["land_none", "No land", () => `Without a land ${didOf("land_none", FULL)}.`],
        ["today", "As it is", () => `${began(asWritten("trim.seat_land"))} wide, as it is: ${didOf("today", FULL)}.`],
        ["land_wide", "A wide land", () => `${began(changeOf("land_wide", "trim.seat_land"))} wide: ${didOf("land_wide", FULL)}.`]],
    answered: ["land_wide"],
    end: () => [["land_none", "today", "land_wide"].every((key) => moves(key, FULL))
        ? "It moves with any of the three: the land is not what drives it here. A worn or hammered seat is what such motion leaves behind; do not look for its cause there alone."
        : "So here the land decides: with one of the three it comes to rest. Look at the seat before you change anything else."] },
    { title: "Friction and kick: why it was quiet for weeks", text: () => [
        `The stem rubs in its packing: that *friction* holds the plug until something stronger moves it. Here it is ${changeOf("rub", "friction.kinetic")}; the demo has ${asWritten("friction.kinetic")}. And nothing disturbs the well.`],
    ask: "Left alone like this, what does the big port do?",
    options: [
        { say: "It slams as before.", right: () => moves("rub_still", FULL) && numberOf("rub_still", FULL, "seat_rate") > 0 },
        { say: "It moves, but does not reach its seat.", right: () => moves("rub_still", FULL) && !(numberOf("rub_still", FULL, "seat_rate") > 0) },
        { say: "It stays quiet.", right: () => quiet("rub_still", FULL) }],
    tries: [["rub_still", "Leave it alone", () => `Left alone: ${didOf("rub_still", FULL)}.`],
        ["rub", `Now a kick of ${asWritten("start.kick_pressure")}`, () => `With one kick of ${asWritten("start.kick_pressure")}: ${didOf("rub", FULL)}.`]],
    answered: ["rub_still"],
    end: () => [
        quiet("rub_still", FULL) && moves("rub", FULL) ? "So a regulator can sit quiet for weeks, until a slug or a hand on a valve wakes it; then it does not stop. Looking at it while it is quiet proves nothing: what does it do when the pressure jumps?"
            : "Here friction alone does not decide; elsewhere it may."] },
    { title: "What cures it, what only hides it, and when it is not the port", text: () => [
        "Without new parts one can tighten the packing, lower the set pressure, give the gas more room, or add a [damper|a piston in oil on the stem, which resists quick movement]. With parts: a smaller port.",
        "And then there is a case that looks alike and has another cause. The chamber's pressure pushes back at the pilot on a small area, the *feedback*: that tells the pilot how far the plug has gone. Let it be too small."],
    ask: `The feedback area is ${changeOf("band", "pilot.feedback_area")} in place of ${asWritten("pilot.feedback_area")}. Will the small port cure that?`,
    options: [
        { say: "Yes: the big one moves, the small one is quiet.", right: () => quiet("band", REDUCED) && !quiet("band", FULL) },
        { say: "No, it moves too.", right: () => moves("band", REDUCED) },
        { say: "Neither of them moves now.", right: () => quiet("band", FULL) && quiet("band", REDUCED) }],
    tries: [["band", "Too little feedback", () => `Too little feedback: ${didOf("band", FULL)}; ${didOf("band", REDUCED)}.${moves("band", REDUCED) && quiet("today", REDUCED) ? ` With the feedback as it was the small one was ${verdictOf("today", REDUCED)}: here it is the pilot that is to be mended. Where a small port moves too, look at the pilot, the sense line and the bleed before you buy a still smaller one.` : ""}`],
        ["set_low", `Set to ${changeOf("set_low", "set.pressure")}`, () => `Set to ${changeOf("set_low", "set.pressure")}: ${didOf("set_low", FULL)}.`],
        ["vessel", `${changeOf("vessel", "vessel.volume")} of gas`, () => `Gas space ${changeOf("vessel", "vessel.volume")} for ${asWritten("vessel.volume")}: ${didOf("vessel", FULL)}.`],
        ["tight", `Friction: ${changeOf("tight", "friction.kinetic")}`, () => `The packing tightened until it rubs with ${changeOf("tight", "friction.kinetic")}: ${didOf("tight", FULL)}.`],
        ["damping", "A heavy damper", () => `A heavy damper, ${changeOf("damping", "actuator.damping")}: ${didOf("damping", FULL)}.`]],
    answered: ["band"],
    end: () => [
        `So, on this regulator: friction ${quiet("tight", FULL) ? "held it against this kick; a harder one is not tried" : swingOf("tight") > swingOf("today") ? "makes it worse" : "does not hide it"}; a lower set pressure ${stays("set_low")}; a damper ${stays("damping")}; more gas space ${stays("vessel")}. ${began(didOf("today", REDUCED))} after the same kick${quiet("today", REDUCED) ? ": that is the cure, at a price" : ""}. At ${changeOf("flow_d", "inflow.rate")} ${didOf("flow_d", REDUCED)}. And on another regulator it may be otherwise: run yours.`] },
];

// What a variant changes, by the names that a hand on site uses.
const changedIn = (key) => data.variants[key].set.map((one) => {
    const [path, text] = [one.slice(0, one.indexOf("=")), one.slice(one.indexOf("=") + 1)];
    const named = [...FIRST_SHEET, ...SECOND_SHEET].find(([field]) => field === path.replace(/^trims\.\w+\./, "trim."));
    const of = /^trims\.(\w+)\./.exec(path);
    return `${named ? named[1].toLowerCase() : path}${of ? ` of the ${of[1]} one` : ""} ${text}`;
}).join(", ") || "as it is today";

const because = (key, ...sides) => `The run (${changedIn(key)}): ${
    sides.map((side) => didOf(key, side)).join("; ")}.`;
const hits = (key, side) => moves(key, side) && numberOf(key, side, "seat_rate") > 0;
// What one side can do, as four answers of which one is right.
const fates = (key, side, [still, off, on, lost]) => [
    [still, () => quiet(key, side)], [off, () => moves(key, side) && !hits(key, side)],
    [on, () => hits(key, side)], [lost, () => unable(key, side)]];

// An answer that stands on another run than its question names that run.
const QUESTIONS = [
    { ask: `The small port is ${verdictOf("today", REDUCED)} today. What would it do at ${changeOf("flow_d", "inflow.rate")}, when the well came on?`,
        key: "flow_d", sides: [REDUCED], options: fates("flow_d", REDUCED,
            ["Hold the pressure, as today.", "Swing, off its seat.", "Slam.", "Stand wide open and not hold the pressure."]) },
    { ask: `At ${changeOf("flow_c", "inflow.rate")}, half of the flow it was bought for, the big port`,
        key: "flow_c", sides: [FULL], options: fates("flow_c", FULL,
            ["is still quiet: half is not little.", "swings already, off its seat.", "slams already.", "cannot hold the pressure."]) },
    { ask: `Somebody sets it to ${changeOf("set_low", "set.pressure")} in place of ${asWritten("set.pressure")}. The big port`,
        key: "set_low", sides: [FULL], options: fates("set_low", FULL,
            ["becomes quiet: there is less to hold.", "goes on swinging, but no longer reaches its seat.", "goes on hitting its seat.", "can no longer hold the pressure."]) },
    { ask: `The packing was tightened to ${changeOf("rub", "friction.kinetic")} and it has been quiet since. Is it cured?`,
        key: "rub", sides: [FULL], more: () => `Left alone with ${changeOf("rub", "friction.kinetic")} ${didOf("rub_still", FULL)}.`,
        options: [
            ["Yes: it is quiet.", () => quiet("rub", FULL)],
            ["No: the next kick starts it again.", () => quiet("rub_still", FULL) && moves("rub", FULL)],
            ["It was not even quiet.", () => moves("rub_still", FULL), "rub_still"]] },
    { ask: `Both ports keep moving on a pilot with too little feedback. Somebody puts in a still smaller one, ${changeOf("band_small", "trims.reduced.port")}. What comes of it?`,
        key: "band_small", sides: [REDUCED], more: () => `And at ${changeOf("band_small_b", "inflow.rate")}, in the first hours after a shut-in: ${didOf("band_small_b", REDUCED)}; with ${asWritten("trims.reduced.port")}, and the feedback as it was: ${didOf("peak", REDUCED)}. With the feedback as it was, ${asWritten("pilot.feedback_area")}, ${sideName(REDUCED)} of ${asWritten("trims.reduced.port")} is ${verdictOf("today", REDUCED)}.`,
        options: [
            ["It moves too: no port helps.", () => moves("band_small", REDUCED)],
            ["It is quiet, and passes what comes after a shut-in as well.", () => quiet("band_small", REDUCED) && quiet("band_small_b", REDUCED), "band_small_b"],
            ["It is quiet, but no longer passes that: better to mend the pilot.", () => quiet("band_small", REDUCED) && unable("band_small_b", REDUCED)],
            ["It no longer holds the pressure today.", () => unable("band_small", REDUCED)]] },
    { ask: `The vessel gets ${changeOf("vessel", "vessel.volume")} of gas space in place of ${asWritten("vessel.volume")}. The big port`,
        key: "vessel", sides: [FULL], options: fates("vessel", FULL,
            ["becomes quiet: the pressure has more time to answer.", "goes on swinging, more slowly and off its seat.", "goes on hitting its seat: the vessel has nothing to do with it.", "can no longer hold the pressure."]) },
];
