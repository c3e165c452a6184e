// SPDX-License-Identifier: MIT
// The lesson at work: predictions first, then the run, then what happened.
"use strict";

// A text whose *words* are being explained.
const paragraph = (text, attributes = {}) => make("p", attributes, ...text.split("*").map((part, i) =>
    (i % 2 ? make("dfn", {}, part) : part)));

const stage = byId("stage-source").content.firstElementChild;
byId("steps").append(make("div", { class: "stage" }, stage)); // found by its ids from here on

// Shows a variant where it was asked for.
const showVariant = async (key, place) => {
    place.append(stage);
    if (!pair) { paint(); return; }
    stop(); view.inMotion = false; view.now = 0;
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
    byId("state").textContent = data.variants[key].set.join(", ") || "as in the file";
    if (!calm()) await move();
};

const choices = (name, ask, words, chosen) => make("fieldset", {}, make("legend", {}, ask), ...words.map((say, i) =>
    make("label", { class: "choice" }, make("input", { type: "radio", name, value: i, onchange: () => chosen(i) }), make("span", {}, say))));

const makeStep = (step, number) => {
    const place = make("div", { class: "stage" });
    const happened = make("div", { class: "happened", hidden: true, role: "status" });
    const buttons = step.tries.map(([key, words]) => make("button", { type: "button", disabled: true, onclick: () => tryIt(key) }, words));
    const ask = choices(`predict${number}`, `Before it runs: ${step.ask}`, step.options.map((o) => o.say),
        () => { for (const button of buttons) button.disabled = false; });
    const tryIt = async (key) => {
        const said = Number(ask.querySelector("input:checked").value);
        const right = step.options.findIndex((o) => o.right());
        happened.replaceChildren(paragraph(said === right ? "As you said." : right < 0 ? "None of these." : `Not so. What happens: "${step.options[right].say}"`),
            ...step.happened().map((text) => paragraph(text)));
        happened.hidden = false;
        await showVariant(key, place);
    };
    // On paper everything is told.
    addEventListener("beforeprint", () => { if (happened.hidden) happened.replaceChildren(...step.happened().map((text) => paragraph(text))); });
    return make("section", { class: "step", id: `step${number}`, "aria-labelledby": `step${number}-title` },
        make("h2", { id: `step${number}-title` }, `${number} ${step.title}`), ...step.text().map((text) => paragraph(text)),
        ask, make("p", { class: "small" }, "Say what you expect, then:"), make("p", { class: "bar" }, ...buttons), happened, place);
};

const score = new Map();
const makeQuestion = (question, index) => {
    const told = make("div", { class: "told", role: "status", hidden: true });
    const place = make("div", { class: "stage" });
    return make("div", {}, choices(`question${index}`, `${index + 1}. ${question.ask}`, question.options.map(([say]) => say), (i) => {
        const right = question.options[i][1]();
        if (!score.has(index)) score.set(index, right);
        told.hidden = false;
        told.replaceChildren(make("p", {}, make("strong", {}, right ? "Right. " : "No. "), question.told ? question.told() : because(question.key, ...question.sides)),
            make("p", {}, make("button", { type: "button", onclick: () => showVariant(question.key, place) }, "See that run")));
        byId("score").textContent = `${[...score.values()].filter(Boolean).length} of ${score.size} right at the first try.`;
    }), told, place);
};

STEPS_OF_LESSON.forEach((step, i) => {
    byId("contents").append(make("li", {}, make("a", { href: `#step${i + 1}` }, step.title)));
});
byId("steps").prepend(...STEPS_OF_LESSON.map((step, i) => makeStep(step, i + 1)));
byId("asked").append(...QUESTIONS.map(makeQuestion));
byId("step1").querySelector(".stage").append(stage);
startStage().catch((error) => say(error.message));
