// SPDX-License-Identifier: MIT
// A first scenario from the few things a technician knows. Everything else is filled in from the
// table of hardware that exists (hardware.h): a typical value between its low and its high one,
// marked as a guess, with a comment that says why and how to measure it.
#pragma once

#include "base/diagnostic.h"

#include "models/regulator.h"

#include <stdbool.h>
#include <stdio.h>

enum { STARTER_PORTS_MAX = 5 }; // with the full port as many trims as are compared at a time

struct starter_inputs {
    enum regulator_duty duty;
    enum regulator_actuation actuation;
    bool three_way,
        pilot_said;   // a three-way pilot in place of a fixed bleed; whether that was said
    const char *body; // nominal size, such as "3 in"
    const char *full; // port that is in it, or NULL: full for the body
    const char *port[STARTER_PORTS_MAX]; // reduced ports to compare with
    size_t port_count;
    const char *set_pressure;   // such as "50 psig"
    const char *flow;           // of gas, such as "0.15 MMscf/d"
    const char *vessel;         // gas volume, such as "8 ft3", or shell, such as "24 in x 7.5 ft"
    const char *level;          // of liquid in that shell, share of its height, or NULL: a guess
    bool horizontal;            // that shell lies
    bool oriented;              // which was said
    const char *other_pressure; // downstream (back-pressure) or inlet (reducing), or NULL: a guess
    const char *altitude;       // of the site, such as "5500 ft", or NULL: sea level
    const char *limit;          // highest pressure allowed in the vessel, or NULL: none is known
    const char *lowest;         // flows to be served, both or neither
    const char *peak;
    const char *pipe_before; // length of the pipe before the regulator, or NULL: none to speak of
    const char *pipe_after;  // after it
    const char *seen;        // what it does at that flow, such as "hits its seat", or NULL
    const char *quiet_at;    // a flow at which it was quiet, or NULL
};

// Writes the scenario. False after a report (file "<starter>") of what is wrong with an input; then
// nothing has been written. The caller looks at the state of the stream.
bool starter_write(FILE *out, const struct starter_inputs *inputs, struct diagnostics *list);
