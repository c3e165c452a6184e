// SPDX-License-Identifier: MIT
// A first scenario from the few things a technician knows. Everything else is filled in by scaling
// one invented 3 in regulator, marked as a guess, with a comment that says where it comes from.
#pragma once

#include "base/diagnostic.h"

#include "models/regulator.h"

#include <stdbool.h>
#include <stdio.h>

enum { STARTER_PORTS_MAX = 5 }; // with the full port as many trims as are compared at a time

struct starter_inputs {
    enum regulator_duty duty;
    enum regulator_actuation actuation;
    const char *body;                    // nominal size, such as "3 in"
    const char *port[STARTER_PORTS_MAX]; // reduced ports to compare with
    size_t port_count;
    const char *set_pressure;   // such as "50 psig"
    const char *flow;           // of gas, such as "0.15 MMscf/d"
    const char *vessel;         // gas volume, such as "8 ft3"
    const char *other_pressure; // downstream (back-pressure) or inlet (reducing), or NULL: a guess
    const char *altitude;       // of the site, such as "5500 ft", or NULL: sea level
    const char *limit;          // highest pressure allowed in the vessel, or NULL: none is known
    const char *lowest;         // flows to be served, both or neither
    const char *peak;
};

// Writes the scenario. False after a report (file "<starter>") of what is wrong with an input; then
// nothing has been written. The caller looks at the state of the stream.
bool starter_write(FILE *out, const struct starter_inputs *inputs, struct diagnostics *list);
