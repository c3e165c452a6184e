// SPDX-License-Identifier: MIT
// What a technician typed for a first scenario, read and held against each other. Does not fill in
// what is not known.
#pragma once

#include "scenario/starter.h"
#include "units/units.h"

// What was given, in SI.
struct starter_known {
    bool us;                  // written in US units
    struct unit_context site; // with a common gas
    double body;              // [m]
    double set;               // [Pa]
    double other;             // downstream or inlet [Pa]; NaN if not given
};

// The common separator gas that stands in for one nobody has analysed.
#define STARTER_GRAVITY 0.65
// Full port over body of the regulator that everything is scaled from.
#define STARTER_PORT_SHARE 0.967

// False after a report of what is wrong.
bool starter_read(const struct starter_inputs *inputs, struct starter_known *known,
                  struct diagnostics *list);
