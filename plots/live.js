// SPDX-License-Identifier: MIT
// The live page: the values that can be changed, what is kept of them, and on what it all rests.
"use strict";

const rows = new Map();

// Of which side, where it was changed on one alone and has no name of its own in the scenario.
const tellChange = ([path, text]) => {
    const side = /^(\d):(.*)$/.exec(path);
    return side ? `${side[2].startsWith("trim.") ? `${nameOf(Number(side[1]))}: ` : ""}${side[2]}: ${text}` : `${path}: ${text}`;
};

const showChanges = () => {
    const lines = [...pair.changes].map(tellChange);
    const side = (i) => (view.refused ? `${nameOf(i)}: ${NOT_RUN}` : `${nameOf(i)}: ${judged[i].verdict}${
        judged[i].figures.pressure_swing ? `, swing ${plainFigure("pressure_swing", judged[i])}` : ""}`);
    const told = [`${scenario.name.replace(/.*[/\\]/, "")}, lowlift ${data.version}`,
        ...(lines.length ? lines : ["nothing changed"]), side(0), side(1)];
    byId("changes").value = told.join("\n");
    byId("changes").rows = Math.max(5, told.length + 1); // paper does not scroll
};

let changing = 0;
const change = (path, side) => async (text) => {
    byId("state").textContent = "running";
    changing += 1;
    const answer = await pair.set(path, text, side);
    changing -= 1;
    if (answer.fine) { say(answer.messages); judgeSoon(); } else if (!changing && !view.busy) byId("state").textContent = "";
    return answer;
};

const setControls = async () => {
    rows.clear();
    for (const [form, sheet] of [["controls", FIRST_SHEET], ["more", SECOND_SHEET]]) {
        const found = await pair.fields(sheet.map(([path]) => path));
        byId(form).replaceChildren();
        sheet.forEach(([path, name, kind, each], i) => {
            for (const side of each ? [0, 1] : [0]) {
                const field = found[side][i];
                if (!field || !field.applies) continue;
                const own = each ? side : undefined;
                const row = makeField({ id: `f-${path.replace(/\W/g, "-")}${each ? `-${side}` : ""}`, field, kind,
                    name: each ? `${name}, ${nameOf(side)}` : name, change: change(path, own) });
                rows.set(`${own ?? ""}${path}`, row);
                byId(form).append(row.node);
            }
        });
    }
};

const showGuesses = async () => {
    const guesses = await pair.guesses();
    const named = new Map([...FIRST_SHEET, ...SECOND_SHEET]);
    byId("rests").textContent = guesses.length ? `Guessed: ${guesses.map((path) => (named.get(path) || path).toLowerCase()).join("; ")}.`
        : "Nothing in it is marked as a guess.";
    byId("otherwise").hidden = !guesses.length;
};

// --- Keeping

const saved = () => {
    const tree = readDump(scenario.dump), changes = [], sides = [new Map(), new Map()];
    for (const one of scenario.set) changes.push([one.slice(0, one.indexOf("=")), one.slice(one.indexOf("=") + 1)]);
    for (const [path, text] of pair.changes) {
        const side = /^(\d):(.*)$/.exec(path);
        if (side && side[2].startsWith("trim.")) sides[Number(side[1])].set(side[2].slice(5), text);
        else changes.push([side ? side[2] : path, text]);
    }
    if (pair.changes.size || scenario.set.length) tree.delete("expect"); // what was expected is of the file as it was
    if (sides.some((s) => s.size)) {
        tree.set("trims", new Map(["first", "second"].map((name, i) => [name,
            new Map([...sides[i]].map(([k, text]) => [k, { text, quoted: false }]))])));
    }
    return `# Kept from a live page of lowlift ${data.version}, begun from ${scenario.name.replace(/.*[/\\]/, "")}.\n${
        [...pair.changes].map((one) => `# changed: ${tellChange(one)}\n`).join("").replace(/[^\n\x20-\x7e]/g, " ")
    }${yamlText(changeTree(tree, changes))}`;
};

const save = () => {
    const stem = scenario.name.replace(/.*\//, "").replace(/\.ya?ml$/, "").replace(/[^\w.-]/g, "-");
    const url = URL.createObjectURL(new Blob([saved()], { type: "text/yaml" }));
    const link = make("a", { href: url, download: `${stem || "scenario"}-changed.yaml` });
    document.body.append(link); link.click(); link.remove();
    setTimeout(() => URL.revokeObjectURL(url), 10000);
};

// --- Begin

hooks.judged = showChanges;
hooks.opened = async () => { await setControls(); await showGuesses(); };
hooks.precomputed = () => { byId("save").disabled = true; byId("values").hidden = true; byId("begin").hidden = true; };
byId("save").onclick = save;
byId("copy").onclick = () => {
    byId("changes").focus(); byId("changes").select();
    // The older way works from a file on a disk too; where it does not, the text is marked.
    byId("copy").textContent = document.execCommand("copy") ? "Copied" : "Marked: copy it by hand";
};
byId("print").onclick = () => print();
for (const form of [byId("controls"), byId("more")]) form.onsubmit = (event) => event.preventDefault();
startStage().catch((error) => say(error.message));
