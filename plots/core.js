// SPDX-License-Identifier: MIT
// The model's module, wrapped: texts in and out, one object for each scenario opened. Runs in a
// worker. Knows no page.
"use strict";

const makeCore = (bytes) => {
    const refused = (name) => () => { throw new Error(`the module asked for ${name}`); };
    const wasi = {};
    for (const name of ["fd_write", "fd_seek", "fd_close", "fd_fdstat_get"]) wasi[name] = refused(name);
    const module = new WebAssembly.Module(bytes);
    const core = new WebAssembly.Instance(module, { wasi_snapshot_preview1: wasi }).exports;
    core._initialize();

    const text = (pointer) => {
        const all = new Uint8Array(core.memory.buffer, pointer);
        return new TextDecoder().decode(all.slice(0, all.indexOf(0)));
    };
    const withText = (value, call) => {
        const all = new TextEncoder().encode(`${value}\0`);
        const room = core.page_room(all.length);
        new Uint8Array(core.memory.buffer, room, all.length).set(all);
        const result = call(room, all.length - 1);
        core.page_room_free(room);
        return result;
    };
    const names = (count, name) => Array.from({ length: count }, (_, i) => text(name(i)));
    const channels = names(core.page_channels(), core.page_channel_name);
    const figures = names(core.page_figures(), core.page_figure_name);

    const open = (dump) => {
        const page = withText(dump, core.page_open);
        const fields = core.page_fields();
        const at = new Map(Array.from({ length: fields },
            (_, i) => [text(core.page_field_path(page, i)), i]));
        return {
            paths: () => [...at.keys()],
            close: () => core.page_close(page),
            ready: () => core.page_ready(page) !== 0,
            messages: () => text(core.page_messages(page)),
            trims: () => names(core.page_trims(page), (i) => core.page_trim_name(page, i)),
            set: (assignment) => withText(assignment, (a) => core.page_set(page, a)) !== 0,
            start: (trim) => core.page_start(page, trim) !== 0,
            goOn: () => core.page_go_on(page) !== 0,
            kick: (drop) => core.page_kick(page, drop),
            advance: (until) => core.page_advance(page, until) !== 0,
            time: () => core.page_time(page),
            finish: () => core.page_finish(page) !== 0,
            samples: () => core.page_samples(page),
            step: () => core.page_sample_interval(page),
            // A copy of samples of a channel, every `stride`-th of them.
            channel: (name, from, to, stride = 1) => {
                const all = new Float64Array(core.memory.buffer,
                    core.page_channel(page, channels.indexOf(name)), to);
                if (stride === 1) return all.slice(from, to);
                return Float64Array.from({ length: Math.ceil((to - from) / stride) },
                    (_, i) => all[from + i * stride]);
            },
            contacts: (from) => {
                const found = [];
                for (let i = from; i < core.page_contacts(page); i++) {
                    found.push([core.page_contact_time(page, i), core.page_contact_speed(page, i),
                        core.page_contact_force(page, i)]);
                }
                return found;
            },
            contactCount: () => core.page_contacts(page),
            verdict: () => text(core.page_verdict(page)),
            reason: () => text(core.page_reason(page)),
            figures: () => {
                const found = {};
                figures.forEach((name, i) => {
                    const value = core.page_figure(page, i);
                    if (Number.isFinite(value)) {
                        found[name] = [value, text(core.page_figure_text(page, i))];
                    }
                });
                return found;
            },
            units: () => Object.fromEntries(channels.map((name, i) => {
                const none = core.page_channel_shown(page, i, 0);
                return [name, [text(core.page_channel_unit(page, i)),
                    core.page_channel_shown(page, i, 1) - none, none]];
            })),
            field: (path, trim) => {
                const i = at.get(path);
                return i === undefined ? null : {
                    path, help: text(core.page_field_help(i)),
                    words: text(core.page_field_words(page, i)).split(" ").filter(Boolean),
                    text: text(core.page_field_text(page, trim, i)),
                    source: core.page_field_source(page, trim, i),
                    applies: core.page_field_applies(page, trim, i) !== 0,
                    si: core.page_field_si(page, trim, i),
                };
            },
        };
    };
    const starter = (inputs) => {
        const made = withText(inputs, core.page_starter_open);
        const found = { text: text(core.page_starter_text(made)), messages: text(core.page_starter_messages(made)) };
        core.page_starter_close(made);
        return found;
    };
    return { open, starter, figures, channels };
};
