// SPDX-License-Identifier: MIT
// Traces of both sides on one time axis, and travel against pressure. Side by side told apart by the
// line: the first is drawn through, the second dashed. A record is {time: [], channels: {name: []}}.
"use strict";

const PANELS = [
    { name: "controlled pressure", title: "pressure", colour: "#0072b2" },
    { name: "plug travel", title: "plug travel", colour: "#d55e00" },
    { name: "chamber pressure", title: "chamber", colour: "#009e73" },
    { name: "trim flow", title: "flow", colour: "#1a1a1a" },
];
const DASH = [[], [7, 4]];
const WIDTH = [2.5, 2];

const sharp = (canvas) => {
    const scale = window.devicePixelRatio || 1;
    const width = canvas.clientWidth, height = canvas.clientHeight;
    if (canvas.width !== Math.round(width * scale) || canvas.height !== Math.round(height * scale)) {
        canvas.width = Math.round(width * scale); canvas.height = Math.round(height * scale);
    }
    const pen = canvas.getContext("2d");
    pen.setTransform(scale, 0, 0, scale, 0, 0);
    pen.clearRect(0, 0, width, height);
    pen.font = "13px system-ui, sans-serif";
    return { pen, width, height };
};

// Round steps of an axis.
const ticks = (low, high, most) => {
    const rough = (high - low) / most, power = 10 ** Math.floor(Math.log10(rough));
    const step = [1, 2, 5, 10].find((m) => m * power >= rough * 0.999) * power;
    const found = [];
    for (let at = Math.ceil(low / step - 1e-9); at * step <= high + 1e-9 * step; at++) found.push(at * step);
    return { found, digits: Math.max(0, -Math.floor(Math.log10(step) + 1e-9)) };
};

// First index whose time is not before `at`.
const indexAt = (times, at) => {
    let low = 0, high = times.length;
    while (low < high) {
        const middle = (low + high) >> 1;
        if (times[middle] < at) low = middle + 1; else high = middle;
    }
    return low;
};

const rangeOf = (records, name, from, to, turn) => {
    let low = Infinity, high = -Infinity;
    for (const record of records) {
        const values = record.channels[name];
        if (!values) continue;
        const end = indexAt(record.time, to);
        for (let i = indexAt(record.time, from); i < end; i++) {
            const v = values[i];
            if (v < low) low = v;
            if (v > high) high = v;
        }
    }
    if (!(low <= high)) return null;
    low = turn(low); high = turn(high);
    const room = Math.max((high - low) * 0.08, Math.abs(high) * 0.005, 1e-9);
    return [low - room, high + room];
};

const path = (pen, record, name, from, to, x, y, pixels) => {
    const { time } = record, values = record.channels[name];
    const begin = Math.max(0, indexAt(time, from) - 1), end = indexAt(time, to);
    const stride = Math.max(1, Math.floor((end - begin) / (pixels * 2)));
    pen.beginPath();
    for (let i = begin; i < end; i += stride) {
        let low = i, high = i; // both ends of what falls between two points are kept
        for (let k = i; k < Math.min(i + stride, end); k++) {
            if (values[k] < values[low]) low = k;
            if (values[k] > values[high]) high = k;
        }
        const [a, b] = low < high ? [low, high] : [high, low];
        pen.lineTo(x(time[a]), y(values[a]));
        if (b !== a) pen.lineTo(x(time[b]), y(values[b]));
    }
    pen.stroke();
};

// units: channel => [unit, factor, offset]; cursor: a time, or NaN.
const drawTraces = (canvas, records, units, from, to, cursor) => {
    const { pen, width, height } = sharp(canvas);
    const shown = PANELS.filter(({ name }) => records.some((r) => r.channels[name] && r.channels[name].length
        && (name !== "chamber pressure" || r.hasChamber !== false)));
    const left = 58, right = width - 8, bottom = height - 34, each = (bottom - 4) / shown.length;
    const x = (t) => left + (right - left) * (t - from) / (to - from);
    shown.forEach(({ name, title, colour }, index) => {
        const top = 4 + index * each + 18, low = 4 + (index + 1) * each - 6;
        const [unit, factor, offset] = units[name];
        const turn = (v) => v * factor + offset;
        const range = rangeOf(records, name, from, to, turn);
        pen.fillStyle = colour; pen.fillRect(left, top - 15, 10, 10);
        pen.fillStyle = "#1a1a1a"; pen.textAlign = "left";
        pen.fillText(`${title}, ${unit}`, left + 15, top - 5);
        pen.strokeStyle = "#8a8a8a"; pen.lineWidth = 1; pen.setLineDash([]);
        pen.strokeRect(left, top, right - left, low - top);
        if (!range) return;
        const y = (v) => low - (low - top) * (turn(v) - range[0]) / (range[1] - range[0]);
        const marks = ticks(range[0], range[1], 3);
        pen.textAlign = "right"; pen.strokeStyle = "#dcdcdc";
        for (const mark of marks.found) {
            const at = low - (low - top) * (mark - range[0]) / (range[1] - range[0]);
            pen.fillText(mark.toFixed(marks.digits), left - 5, at + 4);
            pen.beginPath(); pen.moveTo(left, at); pen.lineTo(right, at); pen.stroke();
        }
        pen.save(); pen.beginPath(); pen.rect(left, top, right - left, low - top); pen.clip();
        records.forEach((record, side) => {
            if (!record.channels[name]) return;
            pen.strokeStyle = colour; pen.lineWidth = WIDTH[side]; pen.setLineDash(DASH[side]);
            path(pen, record, name, from, to, x, y, right - left);
            if (name !== "plug travel") return;
            pen.setLineDash([]); pen.fillStyle = "#1a1a1a";
            for (const [time] of record.contacts) {
                if (time < from || time > to) continue;
                const at = x(time), h = side ? 5 : 8;
                pen.beginPath(); pen.moveTo(at, low - h); pen.lineTo(at - 4, low); pen.lineTo(at + 4, low);
                if (side) pen.stroke(); else pen.fill();
            }
        });
        pen.restore();
    });
    pen.setLineDash([]); pen.fillStyle = "#1a1a1a"; pen.textAlign = "center";
    const marks = ticks(from, to, width > 500 ? 8 : 4);
    for (const mark of marks.found) {
        pen.fillText(mark.toFixed(marks.digits), x(mark), bottom + 12);
    }
    pen.fillText("time, s", (left + right) / 2, height - 4);
    if (cursor >= from && cursor <= to) {
        pen.strokeStyle = "#1a1a1a"; pen.lineWidth = 1.5;
        pen.beginPath(); pen.moveTo(x(cursor), 4); pen.lineTo(x(cursor), bottom); pen.stroke();
    }
};

const drawLoop = (canvas, records, units, from, to) => {
    const { pen, width, height } = sharp(canvas);
    const left = 58, right = width - 10, top = 26, bottom = height - 40;
    const across = "controlled pressure", up = "plug travel";
    const turnOf = (name) => (v) => v * units[name][1] + units[name][2];
    const xr = rangeOf(records, across, from, to, turnOf(across));
    const yr = rangeOf(records, up, from, to, turnOf(up));
    pen.strokeStyle = "#8a8a8a"; pen.lineWidth = 1;
    pen.strokeRect(left, top, right - left, bottom - top);
    pen.fillStyle = "#1a1a1a"; pen.textAlign = "left";
    pen.fillText(`plug travel, ${units[up][0]}`, 4, 14);
    pen.textAlign = "center";
    pen.fillText(`pressure, ${units[across][0]}`, (left + right) / 2, height - 6);
    if (!xr || !yr) return;
    const x = (v) => left + (right - left) * (turnOf(across)(v) - xr[0]) / (xr[1] - xr[0]);
    const y = (v) => bottom - (bottom - top) * (turnOf(up)(v) - yr[0]) / (yr[1] - yr[0]);
    const a = ticks(xr[0], xr[1], 3), b = ticks(yr[0], yr[1], 4);
    for (const mark of a.found) pen.fillText(mark.toFixed(a.digits),
        left + (right - left) * (mark - xr[0]) / (xr[1] - xr[0]), bottom + 15);
    pen.textAlign = "right";
    for (const mark of b.found) pen.fillText(mark.toFixed(b.digits), left - 5,
        bottom - (bottom - top) * (mark - yr[0]) / (yr[1] - yr[0]) + 4);
    pen.save(); pen.beginPath(); pen.rect(left, top, right - left, bottom - top); pen.clip();
    records.forEach((record, side) => {
        const end = indexAt(record.time, to);
        pen.strokeStyle = side ? "#d55e00" : "#0072b2"; pen.lineWidth = WIDTH[side];
        pen.setLineDash(DASH[side]);
        pen.beginPath();
        for (let i = indexAt(record.time, from); i < end; i++) {
            pen.lineTo(x(record.channels[across][i]), y(record.channels[up][i]));
        }
        pen.stroke();
        if (end > 0) {
            pen.setLineDash([]); pen.fillStyle = pen.strokeStyle;
            pen.beginPath();
            pen.arc(x(record.channels[across][end - 1]), y(record.channels[up][end - 1]), 4, 0, 7);
            pen.fill();
        }
    });
    pen.restore();
};
