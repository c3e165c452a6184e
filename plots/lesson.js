// SPDX-License-Identifier: MIT
// The lesson at work: predictions first, then the run, then what happened; one run at a time, and of
// each only what it showed.
"use strict";

// A word with its meaning behind it: a button on the screen, in brackets on paper.
const makeTerm = (word, meaning) => {
    const more = make("span", { class: "meant", hidden: true }, ` (${meaning})`);
    const button = make("button", { type: "button", class: "term", "aria-expanded": "false", title: "what is that?", onclick: () => {
        more.hidden = !more.hidden;
        button.setAttribute("aria-expanded", String(!more.hidden));
    } }, word);
    return make("dfn", {}, button, more);
};

// A text whose *words* are explained by it, and whose [words|meaning] are explained on asking.
const paragraph = (text, attributes = {}) => make("p", attributes, ...text.split(/(\*[^*]+\*|\[[^\]|]+\|[^\]]+\])/).map((part) => {
    if (part.startsWith("*") && part.length > 2) return make("dfn", {}, part.slice(1, -1));
    const term = /^\[([^|]+)\|(.+)\]$/.exec(part);
    return term ? makeTerm(term[1], term[2]) : part;
}));

// The judge's words are explained where they first come in a piece of the lesson.
const tell = (texts) => {
    const seen = new Set();
    return texts.map((text) => paragraph(text.replace(/\bis (wide open|cannot \w+|[a-z]+)\b/g, (all, word) => {
        if (!meanings.has(word) || seen.has(word)) return all;
        seen.add(word);
        return `is [${word}|${meanings.get(word).replace(/\.$/, "").replace(/^./, (letter) => letter.toLowerCase()).replace(/\. It/g, "; it")}]`;
    })));
};

const stage = byId("stage-source").content.firstElementChild;
byId("steps").append(make("div", { class: "stage" }, stage)); // found by its ids from here on
stage.classList.add("veiled"); // nobody has predicted yet

// Runs a variant where it was asked for, and shows it.
const showVariant = async (key, place, moving = true) => {
    place.append(stage);
    stage.classList.remove("veiled");
    if (!pair) { paint(); return false; }
    stop(); view.inMotion = false; view.now = 0; view.shut = false; byId("moment").value = 0;
    byId("shut").textContent = "Shut in"; byId("shut").setAttribute("aria-pressed", "false");
    byId("state").textContent = "running";
    while (view.busy) await new Promise((resolve) => setTimeout(resolve, 10));
    view.busy = true;
    await pair.open();
    for (const one of data.variants[key].set) {
        const equals = one.indexOf("=");
        await pair.set(one.slice(0, equals), one.slice(equals + 1));
    }
    makeSides(); await rejudge();
    view.busy = false;
    byId("state").textContent = changedIn(key);
    if (moving && !calm()) await move();
    return true;
};

const choices = (name, ask, words, chosen) => make("fieldset", {}, make("legend", {}, ask), ...words.map((say, i) =>
    make("label", { class: "choice" }, make("input", { type: "radio", name, value: i, onchange: () => chosen(i) }), make("span", {}, say))));

const makeStep = (step, number) => {
    const place = make("div", { class: "stage" });
    const happened = make("div", { class: "happened", hidden: true, role: "status" });
    const ran = new Set();
    const left = make("p", { class: "small" }, "Say what you expect, then:");
    const buttons = step.tries.map(([key, words]) => make("button", { type: "button", disabled: true, onclick: () => tryIt(key) }, words));
    const ask = choices(`predict${number}`, `Before it runs: ${step.ask}`, step.options.map((o) => o.say),
        () => { for (const button of buttons) button.disabled = false; });
    const outcome = (said) => {
        const right = step.options.findIndex((o) => o.right());
        return said === right ? "As you said." : right < 0 ? "None of these." : `Not as you said. What happens: "${step.options[right].say}"`;
    };
    const everything = () => [...step.tries.map(([, , told]) => told()), ...step.end()];
    const tryIt = async (key) => {
        ran.add(key);
        const texts = step.tries.filter(([one]) => ran.has(one)).map(([, , told]) => told());
        if (step.answered.every((one) => ran.has(one))) texts.push(outcome(Number(ask.querySelector("input:checked").value)));
        const open = step.tries.filter(([one]) => !ran.has(one));
        if (!open.length) texts.push(...step.end());
        left.textContent = open.length ? `Still to try: ${open.map(([, words]) => words).join("; ")}.` : "All tried.";
        happened.replaceChildren(...tell(texts));
        happened.hidden = false;
        await showVariant(key, place);
    };
    // On paper everything is told, and on the screen then no more than before.
    let before = null;
    addEventListener("beforeprint", () => {
        before = before || [...happened.childNodes];
        happened.replaceChildren(...tell(everything()));
    });
    addEventListener("afterprint", () => { if (before) happened.replaceChildren(...before); before = null; });
    return make("section", { class: "step", id: `step${number}`, "aria-labelledby": `step${number}-title` },
        make("h2", { id: `step${number}-title` }, `${number} ${step.title}`), ...step.text().map((text) => paragraph(text)),
        ask, left, make("p", { class: "bar tries" }, ...buttons), happened, place);
};

const score = new Map();
const makeQuestion = (question, index) => {
    const told = make("div", { class: "told", role: "status", hidden: true });
    const place = make("div", { class: "stage" });
    let asked = 0;
    return make("div", {}, choices(`question${index}`, `${index + 1}. ${question.ask}`, question.options.map(([say]) => say), async (i) => {
        const [, test, key = question.key] = question.options[i], right = test(), mine = ++asked;
        if (!score.has(index)) score.set(index, right);
        told.hidden = false;
        told.replaceChildren(make("p", {}, make("strong", {}, right ? "Right." : "No.")), ...tell([because(key, ...question.sides), ...(question.more ? [question.more()] : [])]));
        byId("score").textContent = `${[...score.values()].filter(Boolean).length} of ${score.size} right at the first try.`;
        if (!await showVariant(key, place, false) || mine !== asked) return;
        told.append(make("p", {}, `Run again just now, below: ${question.sides.map((side) => didIn(judged[side], side)).join("; ")}.`));
    }), told, place);
};

STEPS_OF_LESSON.forEach((step, i) => {
    byId("contents").append(make("li", {}, make("a", { href: `#step${i + 1}` }, step.title)));
});
kept = ["rest_pressure", "rest_opening", "pressure_swing", "frequency", "seat_rate", "seat_load", "seat_blow", "settling_time"];
byId("steps").prepend(...STEPS_OF_LESSON.map((step, i) => makeStep(step, i + 1)));
byId("asked").append(...QUESTIONS.map(makeQuestion));
byId("answers").append(...QUESTIONS.map((question) => {
    const [words, , key = question.key] = question.options.find(([, test]) => test()) || ["none of them"];
    return make("li", {}, `${words} ${because(key, ...question.sides)}`);
}));
addEventListener("beforeprint", () => { document.querySelector(".answers").open = true; });
addEventListener("afterprint", () => { document.querySelector(".answers").open = false; });
const home = byId("step1").querySelector(".stage");
home.append(stage);
// On paper the parts stand with the step that names them.
let lying = null;
addEventListener("beforeprint", () => { lying = lying || stage.parentNode; home.append(stage); });
addEventListener("afterprint", () => { if (lying) lying.append(stage); lying = null; });
startStage().catch((error) => say(error.message));
