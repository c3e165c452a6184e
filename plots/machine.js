// SPDX-License-Identifier: MIT
// The regulator cut open: vessel with its gauge, body, port, plug, stem, diaphragm, spring, pilot,
// sense line, damper, each with its name. Drawn from the scenario's sizes, moved by what was computed.
// Pressures are depths of colour, travel is to scale of its full stroke, and a lens shows the seat
// enlarged.
"use strict";

const LENS = 12; // times
const MACHINE_WIDE = 424;

// values: what does not move. wide: the widest port of both sides, for one scale.
const makeMachine = (values, wide) => {
    const back = values.duty !== "reducing", pilot = values.actuation === "pilot";
    const below = pilot || back; // the chamber lies below the diaphragm, the spring above, or the other way round
    const X = (x) => (back ? x : MACHINE_WIDE - x); // the vessel stands where the pressure is held
    const half = 12 + 26 * values.port / wide;
    const over = (values.direction === "flow-to-close") === back; // vessel is above the seat
    const C = X(180), SEAT = 258, STROKE = 34, LENS_X = X(364);
    const box = (x, y, w, h, more = {}) => draw("rect", {
        x: back ? x : MACHINE_WIDE - x - w, y, width: w, height: h, class: "metal", ...more });
    const line = (points, more = {}) => draw("polyline", {
        points: points.map(([x, y]) => `${X(x)},${y}`).join(" "), class: "pipe", ...more });
    const label = (x, y, words, more = {}) => draw("text", {
        x: X(x), y, "text-anchor": "middle", ...more }, words);

    // The name of a part beside it, to the left or right, with a line to the part.
    const part = (words, x, y, end, [toX, toY]) => draw("g", { class: "part" },
        draw("line", { x1: X(x + (end === "start" ? -3 : 3)), y1: y - 4.5, x2: X(toX), y2: toY }),
        draw("text", { x: X(x), y, "text-anchor": back === (end === "start") ? "start" : "end" }, words));

    const upper = draw("rect", { x: C - 56, y: 216, width: 112, height: 42, class: "fill" });
    const lower = draw("rect", { x: C - 56, y: 258, width: 112, height: 42, class: "fill" });
    const nearY = over ? 222 : 268, farY = over ? 268 : 222;
    const near = box(96, nearY, 30, 24, { class: "fill" });
    const far = box(234, farY, 178, 24, { class: "fill" });
    const vessel = box(8, 208, 90, 130, { rx: 22, class: "fill" });
    const chamber = draw("path", { class: "chamber" });
    const diaphragm = draw("path", { class: "diaphragm" });
    const spring = draw("polyline", { class: "spring" });
    const plug = draw("path", { class: "plug" });
    const stem = draw("line", { x1: C, x2: C, class: "stem" });
    const needle = draw("line", { x1: X(54), y1: 184, x2: X(54), y2: 168, class: "needle" });
    const reading = label(53, 282, "", { class: "reading" });
    const flow = draw("line", { x1: X(back ? 250 : 412), x2: X(back ? 412 : 250), y1: farY + 12,
        y2: farY + 12, class: "flow" });
    const lensPlug = draw("rect", { x: LENS_X - 30, width: 60, height: 60, class: "plug" });
    const touch = draw("text", { x: LENS_X, y: 126, "text-anchor": "middle", class: "touch" });
    const id = `lens${values.side}`;
    const lens = draw("g", {},
        draw("clipPath", { id }, draw("circle", { cx: LENS_X, cy: 66, r: 42 })),
        draw("circle", { cx: LENS_X, cy: 66, r: 42, class: "glass" }),
        draw("g", { "clip-path": `url(#${id})` },
            draw("rect", { x: LENS_X - 50, y: 88, width: 26, height: 40, class: "metal" }),
            draw("rect", { x: LENS_X + 24, y: 88, width: 26, height: 40, class: "metal" }), lensPlug),
        draw("circle", { cx: LENS_X, cy: 66, r: 42, class: "rim" }),
        draw("text", { x: X(356), y: 18, "text-anchor": "middle" }, `seat, ${LENS} x larger`), touch);

    const still = [
        box(4, 204, 98, 138, { rx: 24 }), box(94, nearY - 4, 34, 32), box(232, farY - 4, 182, 32),
        draw("rect", { x: C - 60, y: 212, width: 120, height: 92, rx: 10, class: "metal" }),
        draw("rect", { x: C - 16, y: 152, width: 32, height: 62, class: "metal" }),
        draw("rect", { x: C - 58, y: 62, width: 116, height: 92, rx: 14, class: "metal" }),
        draw("rect", { x: C - 54, y: 66, width: 108, height: 84, rx: 11, class: "case" }),
    ];
    const bridge = [draw("rect", { x: C - 56, y: 255, width: 56 - half, height: 7, class: "seat" }),
        draw("rect", { x: C + half, y: 255, width: 56 - half, height: 7, class: "seat" })];
    const gauge = [draw("circle", { cx: X(54), cy: 184, r: 19, class: "glass rim" }),
        line([[54, 203], [54, 208]]), needle];
    const packing = draw("rect", { x: C - 12, y: 186, width: 24, height: 14, class: "packing" });
    const parts = [];
    let pilotPlug = null, pilotFace = null;
    if (pilot) {
        pilotPlug = draw("path", { class: "plug" });
        pilotFace = draw("path", { class: "diaphragm" });
        parts.push(line([[20, 208], [20, 92], [30, 92]]), // sense line
            line([[86, 126], [112, 126], [112, 142], [126, 142]], { class: "pipe loaded" }),
            // Into the pipe behind it, or into the open air.
            line([[234, 142], [262, 142], [262, back && values.exhaust === "downstream" ? farY : 182]], { class: "pipe exhaust" }),
            box(26, 34, 62, 106, { rx: 8 }), box(30, 38, 54, 98, { rx: 5, class: "case" }),
            draw("polyline", { class: "spring", points: [0, 1, 2, 3, 4, 5].map((i) =>
                `${X(57) + (i % 2 ? 9 : -9)},${42 + i * 6}`).join(" ") }),
            box(30, 116, 18, 5, { class: "seat" }), box(66, 116, 18, 5, { class: "seat" }),
            pilotFace, pilotPlug, label(57, 27, "pilot"), part("bleed", 272, 176, "start", [262, 172]));
    } else parts.push(line([[20, 208], [20, below ? 142 : 84], [126, below ? 142 : 84]], { class: "pipe loaded" }));
    if (values.damper) {
        parts.push(draw("rect", { x: C - 11, y: 34, width: 22, height: 26, class: "metal" }),
            draw("text", { x: C - 16, y: 52, "text-anchor": "end" }, "oil damper"));
    }
    // Plug and seat where no pipe is.
    const nameY = over ? 234 : 284;
    const names = [part(below ? "spring" : "chamber", 246, 86, "start", [196, 88]), part("diaphragm", 246, 106, "start", [226, 109]),
        part(below ? "chamber" : "spring", 246, 130, "start", [below ? 222 : 194, 136]),
        part("stem", 206, 180, "start", [183, 168]), part("packing", 154, 198, "end", [168, 193]),
        part("plug", 274, nameY, "start", [180 + half + 3, over ? 244 : 250]),
        part("seat", 274, nameY + 21, "start", [180 + half + 5, 259]),
        part("port", 196, 326, "start", [181, 266]), part("gauge", 82, 178, "start", [73, 180]),
        part("sense line", 30, 158, "start", [21, 152])];
    const svg = draw("svg", { viewBox: `0 0 ${MACHINE_WIDE} 348`, class: "machine", role: "img" },
        ...still, vessel, near, far, upper, lower, chamber, ...bridge, ...parts, flow, stem, plug,
        packing, spring, diaphragm, ...gauge, lens, reading, ...names,
        label(53, 328, back ? "vessel" : "served"),
        label(330, farY + (over ? 44 : -12), back ? "downstream" : "inlet"));

    let flowed = 0;
    // now: pressure, travel, chamber, trim flow, downstream, sensed, pilot travel in SI, and limits.
    const show = (now) => {
        const depth = (p) => Math.max(0.06, Math.min(0.85, 0.85 * (p - values.low) / (values.high - values.low || 1)));
        const held = now["controlled pressure"], other = values.back ? now["downstream pressure"] : values.inlet;
        const share = Math.max(0, Math.min(1.05, now["plug travel"] / values.rated));
        const lift = share * STROKE, shape = half + 5;
        for (const node of [vessel, near, over ? upper : lower]) node.style.fillOpacity = depth(held);
        for (const node of [far, over ? lower : upper]) node.style.fillOpacity = depth(other);
        chamber.style.fillOpacity = depth(pilot ? now["chamber pressure"] : now["sensed pressure"]);
        const face = 122 - lift;
        diaphragm.setAttribute("d", `M${C - 54} 112L${C - 28} ${face}H${C + 28}L${C + 54} 112`);
        chamber.setAttribute("d", below
            ? `M${C - 54} 112L${C - 28} ${face}H${C + 28}L${C + 54} 112v27q0 11 -11 11h-86q-11 0 -11 -11Z`
            : `M${C - 54} 112L${C - 28} ${face}H${C + 28}L${C + 54} 112v-35q0 -11 -11 -11h-86q-11 0 -11 11Z`);
        spring.setAttribute("points", [0, 1, 2, 3, 4, 5, 6, 7].map((i) => `${C + (i % 2 ? 15 : -15)},${
            below ? 69 + i * (face - 72) / 7 : 148 - i * (146 - face) / 7}`).join(" "));
        stem.setAttribute("y1", face); stem.setAttribute("y2", SEAT - lift - 12);
        plug.setAttribute("d", `M${C - shape} ${SEAT - lift - 3}v-12h${2 * shape}v12h-6l-6 9h-${
            2 * shape - 24}l-6 -9z`);
        lensPlug.setAttribute("y", 88 - 60 - Math.min(60, share * STROKE * LENS));
        needle.setAttribute("transform", `rotate(${-120 + 240 * Math.max(0, Math.min(1,
            (held - values.atmosphere) / (values.high - values.atmosphere)))} ${X(54)} 184)`);
        reading.textContent = values.tell("controlled pressure", held);
        reading.classList.toggle("long", reading.textContent.length > 9);
        flowed += now["trim flow"] / (values.flow || 1) * (now.passed || 0);
        flow.style.strokeDashoffset = String(-20 * flowed % 1000);
        flow.style.strokeOpacity = now["trim flow"] > 0.005 * values.flow ? 1 : 0.15;
        if (pilotPlug) {
            const by = 8 * Math.max(0, Math.min(1, now["pilot travel"] / values.pilotTravel));
            pilotPlug.setAttribute("d", `M${X(57) - 14} ${115 - by}h28l-8 7h-12z`);
            pilotFace.setAttribute("d", `M${X(57) - 27} 82L${X(57) - 14} ${80 - by}h28l13 ${2 + by}M${X(57)} ${80 - by}V${115 - by}`);
        }
    };
    // What happened at the seat lately, in words: no flashing.
    const tell = (words) => { if (touch.textContent !== words) touch.textContent = words; };
    return { svg, show, tell };
};
