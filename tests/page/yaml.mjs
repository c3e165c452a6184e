// SPDX-License-Identifier: MIT
// For tests/page.sh: the reader of scenario files that pages have, against the program's own (libfyaml),
// which the pages of the shipped scenarios hold as dumps: the same to the last line and column, and
// what it cannot read is refused. Argument: the folder of the pages.
import { readFileSync, readdirSync } from "node:fs";
import process from "node:process";
import vm from "node:vm";

const place = process.argv[2];
const sandbox = vm.createContext({});
vm.runInContext(`${readFileSync("plots/yaml.js", "utf8")}\n${readFileSync("plots/scenario.js", "utf8")}
    globalThis.toDump = yamlToDump; globalThis.toText = (dump) => yamlText(readDump(dump));`, sandbox);
let failures = 0, same = 0;
const fail = (words) => { failures += 1; console.error(`FAILED: ${words}`); };
const bare = (dump) => dump.split("\n").filter((line) => !line.startsWith("file\t"));
// Without places, for what was written anew.
const words = (dump) => bare(dump).map((line) => { const [kind, , , text] = line.split("\t"); return `${kind} ${text ?? ""}`.replace(/^quoted/, "plain"); }).slice(1);

for (const page of readdirSync(place).filter((name) => name.endsWith(".page.html"))) {
    const stem = page.replace(".page.html", ""), file = `scenarios/${stem}.yaml`;
    const html = readFileSync(`${place}/${page}`, "utf8");
    const data = JSON.parse(/<script type="application\/json" id="lowlift">(.*?)<\/script>/s.exec(html)[1]);
    const native = data.scenarios[0].dump;
    if (data.scenarios[0].name !== file) continue; // made by a test
    const here = bare(sandbox.toDump(readFileSync(file, "utf8"), file)), there = bare(native);
    const at = there.findIndex((line, i) => line !== here[i]);
    if (at >= 0 || here.length !== there.length) fail(`${file}: '${here[at]}', the program '${there[at]}'`);
    const again = sandbox.toDump(sandbox.toText(native), file);
    if (words(again).join("\n") !== words(native).join("\n")) fail(`${file}: written and read again it is another`);
    same += 1;
}
if (same < 30) fail(`only ${same} scenarios`);
for (const text of ["a: {b: 1", "a: &x 1", "a: >-\n  b", "a: 1\n   b: 2", "- 1\nb: 2", "", "a: 'x", "a: [1, 2] 3", "a", "a: \"x\" y", "\ta: 1"]) {
    try { sandbox.toDump(text, "t"); fail(`'${text}' was read`); } catch (error) { if (!/^t:\d+: /.test(error.message)) fail(`'${text}': ${error.message}`); }
}
console.log(`${same} scenarios read as the program reads them`);
process.exit(failures > 0 ? 1 : 0);
