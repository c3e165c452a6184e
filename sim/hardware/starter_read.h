// SPDX-License-Identifier: MIT
// What a technician typed for a first scenario, read and held against each other. Does not fill in
// what is not known.
#pragma once

#include "hardware/starter.h"
#include "units/units.h"

// What was given, in SI.
struct starter_known {
    bool us;                  // written in US units
    struct unit_context site; // with a common gas
    double body;              // [m]
    double port;              // full one [m]
    // Gas space of a vessel whose shell was given [m3]; 0 if a volume was. low = high where the
    // level was given too.
    double gas_space, gas_low, gas_high;
    double set;   // [Pa]
    double other; // downstream or inlet [Pa]; NaN if not given
};

// The common separator gas that stands in for one nobody has analysed.
#define STARTER_GRAVITY 0.65
// Level of the liquid in a vessel where nobody has looked, share of its height.
#define STARTER_LEVEL_LOW (1.0 / 6.0)
#define STARTER_LEVEL (1.0 / 3.0)
#define STARTER_LEVEL_HIGH (2.0 / 3.0)

// False after a report of what is wrong.
bool starter_read(const struct starter_inputs *inputs, struct starter_known *known,
                  struct diagnostics *list);
