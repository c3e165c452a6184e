// SPDX-License-Identifier: MIT
// Another scenario in the same page: from a few questions, those of `lowlift starter`, or from a file.
"use strict";

const STARTER = [["body", "Body, nominal size", "3 in"], ["port", "Port that is in it, if not full", ""],
    ["reduced-port", "Reduced port to compare with", "1 1/2 in"], ["set-pressure", "Set pressure", "50 psig"],
    ["flow", "Gas flow today", "0.15 MMscf/d"], ["vessel", "Gas volume, or shell of the vessel", "24 in x 7.5 ft"],
    ["orientation", "The shell", ["", "vertical", "horizontal"]], ["level", "Liquid in it, share of its height", "1/3"],
    ["other-pressure", "Pressure after it (before it when reducing)", "15 psig"], ["pipe-before", "Pipe between vessel and regulator, length", ""],
    ["pipe-after", "Pipe after the regulator, length", ""], ["altitude", "Altitude of the site", ""],
    ["limit", "Highest pressure allowed in the vessel", ""], ["duty", "It holds the pressure", ["back-pressure", "reducing"]],
    ["actuation", "It is moved by", ["pilot", "direct"]], ["pilot", "The pilot empties the chamber by", ["", "bleed", "three-way"]]];
const NEEDED = ["body", "set-pressure", "flow", "vessel"]; // without these the program makes no scenario
const STARTER_WORDS = { "back-pressure": "before it (back-pressure)", reducing: "after it (reducing)",
    direct: "the pressure itself (direct)", "": "not known", "three-way": "a second seat (three-way)", bleed: "a bleed" };

// Takes a dump's place as the page's own scenario.
const takeScenario = async (dump, name) => {
    const sides = [...trims], before = { dump: scenario.dump, name: scenario.name, set: scenario.set };
    Object.assign(scenario, { dump, name, set: [] });
    const found = await pair.peek();
    if (!found.ready) {
        Object.assign(scenario, before);
        [trims[0], trims[1]] = sides;
        return found.messages || "it cannot be run";
    }
    trims[0] = 0; trims[1] = found.trims.length > 1 ? 1 : 0;
    await reset();
    showSpeeds();
    const root = readDump(dump), title = root.get("title");
    document.querySelector("h1").textContent = title ? title.text : name;
    document.querySelector("header p").textContent = root.get("teaches") ? root.get("teaches").text : "";
    document.title = `${title ? title.text : name} - lowlift`;
    byId("play").scrollIntoView({ block: "start" });
    return found.messages;
};

// By the words of the form, where the program names an answer by its option; the first is gone to.
const tellStarter = (words) => {
    let first = null;
    byId("starter-wrong").textContent = words.replace(/^(?:<starter>: )?([a-z -]+)(?=:| is missing)/gm, (all, name) => {
        const asked = STARTER.find(([option]) => option === name.replace(/ /g, "-"));
        if (!asked) return name;
        first = first || byId(`s-${asked[0]}`);
        return asked[1];
    });
    byId("starter-wrong").hidden = !words;
    if (first) first.focus();
};

const beginOwn = async () => {
    const lines = STARTER.map(([name]) => [name, byId(`s-${name}`).value.trim()]).filter(([, text]) => text)
        .map(([name, text]) => `${name}\t${text.replace(/[\t\n]/g, " ")}\n`).join("");
    const { text, messages } = await pair.starter(lines);
    tellStarter(messages);
    if (!text) return;
    tellStarter(await takeScenario(yamlToDump(text, "my-well.yaml"), "my-well.yaml") || "");
    if (pair.trims.length < 2 && byId("said").hidden) {
        say("The same port stands on both sides now. Change the port of the second below, and see what comes of it beside the first.");
    }
};

const openFile = async () => {
    const [file] = byId("file").files;
    if (!file) return;
    try {
        if (file.size > 1 << 20) throw new Error(`${file.name}: ${file.size} bytes; allowed 1 MiB`);
        const messages = await takeScenario(yamlToDump(await file.text(), file.name), file.name);
        if (messages) say(messages);
    } catch (error) { say(error.message); }
    byId("file").value = "";
};

byId("starter").append(...STARTER.map(([name, words, given]) => make("div", { class: "field" },
    make("label", { for: `s-${name}` }, words), Array.isArray(given)
        ? make("select", { id: `s-${name}` }, ...given.map((word) => make("option", { value: word }, STARTER_WORDS[word] || word)))
        : make("input", { id: `s-${name}`, type: "text", placeholder: given ? `${NEEDED.includes(name) ? "needed, " : ""}such as ${given}` : "not known" }))));
byId("starter").onsubmit = (event) => event.preventDefault();
byId("starter-go").onclick = () => beginOwn().catch((error) => tellStarter(error.message));
byId("file").onchange = openFile;
