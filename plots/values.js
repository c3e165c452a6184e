// SPDX-License-Identifier: MIT
// The values a technician can change: a slider and a text for each, with its unit. What is typed goes
// to the scenario's own reader as it stands, and what that says is shown.
"use strict";

// field, name, and how its slider runs: a factor each way, or "level" for pressures.
const FIRST_SHEET = [
    ["inflow.rate", "Flow into the vessel", 30], ["demand.rate", "Flow taken from the vessel", 30],
    ["trim.port", "Port", 4, "each"], ["set.pressure", "Set pressure", "level"],
    ["friction.kinetic", "Stem friction", 10], ["pilot.bleed", "Bleed", 3],
    ["pilot.supply_seat", "Pilot supply seat", 3], ["actuator.spring_rate", "Main spring", 10],
    ["actuator.preload", "Preload of the main spring", 10], ["vessel.volume", "Gas volume of the vessel", 30],
    ["downstream.pressure", "Downstream pressure", "level"], ["inlet.pressure", "Inlet pressure", "level"],
    ["start.kick_pressure", "Kick", 10],
];
const SECOND_SHEET = [
    ["pilot.spring_rate", "Pilot spring", 10], ["pilot.travel", "Pilot travel", 5],
    ["pilot.diaphragm_area", "Pilot diaphragm", 5], ["pilot.feedback_area", "Pilot feedback area", 10],
    ["pilot.moving_mass", "Pilot moving mass", 10], ["pilot.damping", "Pilot damping", 10],
    ["pilot_friction.kinetic", "Pilot friction", 10], ["pilot.exhaust", "Pilot exhaust"],
    ["pilot.exhaust_to", "Pilot exhausts to"], ["sense.bore", "Sense line bore", 5],
    ["sense.cavity_volume", "Sense line volume", 10], ["actuator.diaphragm_area", "Main diaphragm", 5],
    ["actuator.chamber_volume", "Loading chamber", 10], ["actuator.case", "Spring case is open to"],
    ["actuator.damping", "Damping of the stem", 30], ["actuator.moving_mass", "Moving mass", 10],
    // The area last: with one, the hole must be known.
    ["oil_damper.hole_diameter", "Oil damper: hole", 5],
    ["oil_damper.hole_length", "Oil damper: length of the hole", 5],
    ["oil_damper.viscosity", "Oil damper: viscosity", 10],
    ["oil_damper.displaced_area", "Oil damper: area (0: none)", 10], ["trim.travel", "Travel", 3],
    ["trim.seat_land", "Seat land", 5], ["trim.direction", "Flow direction"],
    ["inflow.well_pressure", "Shut-in pressure of the well", "level"],
    ["run.duration", "Longest time simulated", 10],
];

// "about 1 1/2 in" => {value: 1.5, unit: "in"}; null for what is no number.
const readNumber = (text) => {
    const found = /^(?:about\s+)?([-+]?)(\d[\d_]*\.?\d*(?:[eE][-+]?\d+)?|\.\d+)?(?:(?:^|\s*)(\d+)\/(\d+))?\s*(.*)$/
        .exec(text.trim());
    if (!found) return null;
    let [, sign, whole, over, under, unit] = found;
    if (whole !== undefined && over === undefined) {
        const share = /^\/(\d+)\s*(.*)$/.exec(unit); // "1/2 in"
        if (share) { over = whole; under = share[1]; unit = share[2]; whole = undefined; }
    }
    if (whole === undefined && over === undefined) return null;
    // "11/2" of "1 1/2": the blank has parted them already, so whole and share stand by themselves.
    const value = Number(whole || 0) + (over ? Number(over) / Number(under) : 0);
    return Number.isFinite(value) ? { value: sign === "-" ? -value : value, unit } : null;
};

// Where in a file or a command line it would stand says nothing in a page.
const withoutPlace = (messages) => messages.replace(/^\S[^\n]*?:\d+:\d+: /gm, "");

const STEPS = 400;

// What slider and number have to do with each other, about a value as in the file.
const scaleOf = (kind, start) => {
    if (kind === undefined || !start) return null;
    if (kind === "level" || start.value <= 0) {
        if (start.value < 0 || (kind !== "level" && start.value === 0)) return null;
        const high = Math.max(2.5 * start.value, 1);
        return { at: (v) => STEPS * v / high, value: (at) => high * at / STEPS };
    }
    const span = Math.log(kind);
    return {
        at: (v) => (v > 0 ? STEPS * (Math.log(v / start.value) + span) / (2 * span) : 0),
        value: (at) => start.value * Math.exp(2 * span * at / STEPS - span),
    };
};

// One row. `change(text)` answers {fine, messages}; words of a choice make it a list.
const makeField = ({ name, id, field, kind, change }) => {
    const start = readNumber(field.text), scale = field.words.length ? null : scaleOf(kind, start);
    const unit = start ? start.unit : "";
    const wrong = make("p", { class: "wrong", id: `${id}-wrong`, role: "alert" });
    const stands = { text: field.text };
    let slider = null, entry = null, serial = 0;
    const node = make("div", { class: "field" });
    const put = async (typed, exact) => {
        const number = readNumber(typed), shown = readNumber(stands.text);
        // A number alone is in the unit shown, but for that of a default, which nobody chose.
        const own = shown && (field.source >= 2 || stands.text !== field.text) ? shown.unit : "";
        const text = exact && number && !number.unit && own ? `${typed.trim()} ${own}` : typed;
        const mine = ++serial;
        const answer = await change(text);
        if (mine !== serial) return;
        wrong.textContent = answer.fine ? "" : withoutPlace(answer.messages);
        entry.setAttribute("aria-invalid", String(!answer.fine));
        if (!answer.fine) return;
        show(text);
    };
    const show = (text) => {
        stands.text = text;
        if (document.activeElement !== entry || entry.tagName === "SELECT" || slider === document.activeElement) entry.value = text.replace(/^about\s+/, "");
        const number = readNumber(text);
        if (slider && number && number.unit === unit) slider.value = scale.at(number.value);
        if (slider) slider.setAttribute("aria-valuetext", text);
        node.classList.toggle("changed", text !== field.text);
    };
    if (field.words.length) {
        entry = make("select", { id, onchange: () => put(entry.value) },
            ...field.words.map((word) => make("option", { value: word }, word)));
    } else {
        entry = make("input", { id, type: "text", spellcheck: "false", "aria-describedby": `${id}-hint ${id}-wrong`,
            onchange: () => put(entry.value, true).then(() => { if (entry.getAttribute("aria-invalid") !== "true") entry.value = stands.text.replace(/^about\s+/, ""); }) });
    }
    if (scale) {
        slider = make("input", { type: "range", min: 0, max: STEPS, "aria-label": `${name}, slider`,
            oninput: () => { entry.value = `${short(scale.value(Number(slider.value)))} ${unit}`; put(entry.value); } });
    }
    const hint = `${field.path}: ${field.help}${field.source === 3 ? "; a guess" : ""}${
        field.source < 2 && field.text.startsWith("=") ? `; now ${field.text.slice(2)}` : ""}`;
    node.append(make("label", { for: id }, name, make("span", { class: "hint", id: `${id}-hint` }, ` ${hint}`)),
        make("div", { class: "row" }, slider || make("span"), entry), wrong);
    entry.value = field.text.startsWith("=") ? "" : field.text.replace(/^about\s+/, "");
    if (slider) slider.value = scale.at(start.value);
    return { node, show, path: field.path };
};
