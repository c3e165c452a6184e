// SPDX-License-Identifier: MIT
// A scenario's file read in a page: what lowlift itself writes, and most of what people do. Mappings
// by their indent, lists of values, flow mappings and lists, plain and quoted scalars,
// comments. What goes beyond is refused with its line. The result is a dump, which the scenario's own
// reader takes from there; lines and columns stay those of the file.
"use strict";

const escapeDump = (text) => text.replace(/\\/g, "\\\\").replace(/\n/g, "\\n").replace(/\t/g, "\\t").replace(/\r/g, "\\r");

const yamlToDump = (text, name) => {
    const out = [`lowlift-dump\t1\t${escapeDump(name)}`];
    const lines = text.replace(/^\ufeff/, "").split(/\r?\n/);
    const fail = (line, words) => { throw new Error(`${name}:${line + 1}: ${words}`); };
    const scalar = (line, column, value, quoted) =>
        out.push(`${quoted ? "quoted" : "plain"}\t${line + 1}\t${column + 1}\t${escapeDump(value)}`);

    // A value from a place on; returns [line, column] behind it. flow: inside brackets, which may go on
    // over several lines.
    const value = (line, at, flow) => {
        const skip = () => {
            while (lines[line][at] === " ") at++;
            while (flow && (at >= lines[line].length || (lines[line][at] === "#" && (at === 0 || lines[line][at - 1] === " ")))) {
                if (++line >= lines.length) fail(lines.length - 1, "a bracket does not end");
                for (at = 0; lines[line][at] === " ";) at++;
            }
        };
        skip();
        const open = lines[line][at];
        if (open === "{" || open === "[") {
            const close = open === "{" ? "}" : "]";
            const within = (from) => { [line, at] = value(line, from, true); };
            out.push(`${open === "{" ? "map" : "list"}\t${line + 1}\t${at + 1}`);
            flow = true;
            for (at++, skip(); lines[line][at] !== close; skip()) {
                if (open === "{") {
                    const key = /^("(?:[^"\\]|\\.)*"|[^:,{}[\]]+?)\s*:(?=[ ,}]|$)/.exec(lines[line].slice(at));
                    if (!key) fail(line, `found '${lines[line].slice(at, at + 20)}'; allowed key: value`);
                    out.push(`key\t${line + 1}\t${at + 1}\t${escapeDump(key[1].startsWith("\"") ? JSON.parse(key[1]) : key[1])}`);
                    at += key[0].length;
                }
                within(at);
                skip();
                if (lines[line][at] === ",") { at++; skip(); } else if (lines[line][at] !== close) fail(line, `found '${lines[line][at]}'; allowed , or ${close}`);
            }
            out.push("end");
            return [line, at + 1];
        }
        const all = lines[line];
        if (open === "\"" || open === "'") {
            const found = (open === "\"" ? /^"(?:[^"\\]|\\.)*"/ : /^'(?:[^']|'')*'/).exec(all.slice(at));
            if (!found) fail(line, "a quote does not end on this line");
            scalar(line, at, open === "\"" ? JSON.parse(found[0]) : found[0].slice(1, -1).replace(/''/g, "'"), true);
            return [line, at + found[0].length];
        }
        if (/[&*!|>%@`]/.test(open || "")) fail(line, `a value that begins with ${open} is read by the program only`);
        const rest = all.slice(at).replace(/(^|\s)#.*$/, "");
        const plain = (flow ? /^[^,{}[\]]*/.exec(rest)[0] : rest).trimEnd();
        scalar(line, at, plain, false);
        return [line, at + plain.length];
    };
    const end = (line, at) => {
        if (!/^\s*(#.*)?$/.test(lines[line].slice(at))) fail(line, `found '${lines[line].slice(at).trim()}' behind a value`);
    };
    // A value up to its line's end; returns the line behind.
    const whole = (line, at) => { const [last, behind] = value(line, at, false); end(last, behind); return last + 1; };
    const blank = (line) => /^\s*(#.*)?$/.test(lines[line]) || /^(---|%YAML.*)\s*$/.test(lines[line]);
    const next = (line) => { while (line < lines.length && blank(line)) line++; return line; };
    const indent = (line) => (line < lines.length ? /^ */.exec(lines[line])[0].length : -1);

    // A block from a line on; returns the line behind it.
    const block = (first, depth) => {
        let line = first;
        const list = lines[line][depth] === "-";
        out.push(`${list ? "list" : "map"}\t${line + 1}\t${depth + 1}`);
        for (line = next(line); line < lines.length && indent(line) === depth; line = next(line)) {
            if (lines[line].includes("\t")) fail(line, "a tab; allowed blanks");
            if (list) {
                if (!/^- /.test(lines[line].slice(depth))) fail(line, "allowed a line that begins with a dash");
                line = whole(line, depth + 2);
                continue;
            }
            const key = /^("(?:[^"\\]|\\.)*"|[^\s#:'"{[-][^:#]*?)\s*:(?= |$)/.exec(lines[line].slice(depth));
            if (!key) fail(line, `found '${lines[line].trim()}'; allowed key: value`);
            out.push(`key\t${line + 1}\t${depth + 1}\t${escapeDump(key[1].startsWith("\"") ? JSON.parse(key[1]) : key[1])}`);
            const at = depth + key[0].length, below = next(line + 1);
            if (!/^\s*(#.*)?$/.test(lines[line].slice(at))) line = whole(line, at);
            else if (indent(below) > depth || (indent(below) === depth && lines[below][depth] === "-")) line = block(below, indent(below));
            else { scalar(line, at, "", false); line++; }
        }
        if (next(line) < lines.length && indent(next(line)) > depth) fail(next(line), "indented otherwise than the lines above");
        out.push("end");
        return next(line);
    };
    const first = next(0);
    if (first >= lines.length) fail(0, "an empty file");
    const behind = block(first, indent(first));
    if (behind < lines.length) fail(behind, "indented otherwise than the lines above");
    return `${out.join("\n")}\n`;
};
