// SPDX-License-Identifier: MIT
// Verdicts and figures of both sides, in words and numbers that a hand on site uses.
"use strict";

// A way too long for its unit: [unit, larger one, how many of it].
const LARGER = [["in/day", "ft/day", 12], ["mm/day", "km/day", 1e6]];

// A figure in words that a hand on site uses: three digits, and next to nothing as that.
const plainFigure = (key, { figures, reason }) => {
    if (!figures[key]) return "-";
    const [si, text] = figures[key];
    const found = /^(-?[\d.]+(?:e[-+]\d+)?)\s*(.*)$/.exec(text);
    if (!found) return text;
    const number = Number(found[1]), unit = found[2];
    if (key === "seat_blow") { // what kind of blow that is, the judge has said
        const kind = /hardest is an? (\w+)/.exec(reason);
        return si > 0 ? `${short(number)} times${kind ? `: a ${kind[1]}` : ""}` : "none";
    }
    if (number === 0) return key === "seat_rate" ? "none" : `0 ${unit}`.trim();
    if (unit === "1/min") return `${short(number)} a minute`;
    if (Math.abs(number) < 0.0005) return `under 0.001 ${unit}`;
    const far = number >= 1e5 ? LARGER.find(([small]) => unit === small) : null;
    if (far) return `${short(number / far[2])} ${far[1]}`;
    const shown = `${short(number)} ${unit}`.trim();
    return key === "frequency" ? `${shown}: one swing in ${short(1 / si)} s` : shown;
};

// Without the measure that only who computes knows; the table of figures has it.
const plainReason = (reason) => reason.replace(/ with a damping ratio of [^;]+;/, "");

const NOT_RUN = "cannot be run like this";

// A verdict is of the flow that was given: it does not stand while the well is shut in.
const showVerdicts = () => {
    for (const side of [0, 1]) {
        const own = byId(`side${side}`), j = judged[side];
        own.querySelector(".verdict").textContent = view.refused ? NOT_RUN : view.shut ? "shut in" : j.verdict;
        own.querySelector(".meaning").textContent = view.refused || view.shut ? "" : meanings.get(j.verdict) || "";
        own.querySelector(".reason").textContent = view.refused || (view.shut
            ? "No flow: look at what the pressure does now. The verdict comes back with the flow." : plainReason(j.reason));
    }
    byId("brief").textContent = view.refused ? NOT_RUN : view.shut ? "shut in" : [0, 1].map((side) => {
        const { verdict, figures } = judged[side];
        return `${nameOf(side)}: ${verdict}${figures.pressure_swing && figures.pressure_swing[0] > 100
            ? `, swing ${plainFigure("pressure_swing", judged[side])}` : ""}`;
    }).join(" | ");
};

const tellTraces = () => {
    byId("traces-text").textContent = [0, 1].map((side) => {
        const j = judged[side], f = j.figures;
        return `${nameOf(side)} (${side ? "dashed" : "drawn through"}): ${
            j.verdict}${f.pressure_swing ? `, pressure swing ${plainFigure("pressure_swing", j)}` : ""}${
            f.seat_rate ? `, seat contacts: ${plainFigure("seat_rate", j)}` : ""}.`;
    }).join(" ") + " Triangles: contacts with the seat.";
};

const showJudged = () => {
    showVerdicts();
    tellTraces();
    const head = byId("figures").tHead, body = byId("figures").tBodies[0];
    head.replaceChildren(make("tr", {}, make("th", { scope: "col" }, "figure"),
        ...[0, 1].map((side) => make("th", { scope: "col" }, nameOf(side)))));
    const row = (key, title, cell) => make("tr", { "data-figure": key }, make("th", { scope: "row" }, title),
        ...[0, 1].map((side) => cell(judged[side])));
    const all = [row("verdict", "verdict", (j) => make("td", {}, j.verdict))];
    for (const key of kept) {
        if (!judged.some((j) => j.figures[key])) continue;
        all.push(row(key, titles.get(key) || key, (j) => (j.figures[key]
            ? make("td", { "data-exact": j.figures[key][1] }, plainFigure(key, j)) : make("td", {}, "-"))));
    }
    body.replaceChildren(...all);
};
