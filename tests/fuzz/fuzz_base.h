// SPDX-License-Identifier: MIT
// The scenario that hostile files beside a scenario are read for.
#pragma once

#include "fuzz.h"

#include "scenario/scenario.h"

static inline struct scenario *fuzz_base(void) {
    static const char text[] =
        "duty: back-pressure\nactuation: pilot\nfluid: {gravity: 0.65}\nvessel: {volume: 8 ft3}\n"
        "inflow: {rate: 0.15 MMscf/d}\ndownstream: {pressure: 15 psig}\nset: {pressure: 50 psig}\n"
        "trim: {travel: 0.76 in}\ntrims: {full: {port: 2.9 in}, reduced: {port: 1.8 in}}\n"
        "actuator: {diaphragm_area: 38 in2, spring_rate: 1474 lbf/in, preload: about 87 lbf,\n"
        "  moving_mass: 6 lb, chamber_volume: 98 in3}\n"
        "pilot: {moving_mass: 0.3 lb, damping: 60 N s/m, travel: 0.03 in,\n  diaphragm_area: 3.75 "
        "in2,"
        "  spring_rate: 3314 lbf/in, supply_seat: 0.091 in, bleed: 0.1 in}\n"
        "sense: {bore: 0.087 in, cavity_volume: 3 in3}\n";
    static struct scenario *base; // kept for the life of the program
    if (!base) {
        struct diagnostics list = {0};
        base = scenario_load_text("base.yaml", text, sizeof text - 1, &list);
        fuzz_require(base && scenario_check(base, &list) && list.errors == 0);
        diagnostics_free(&list);
    }
    return base;
}
