// SPDX-License-Identifier: MIT
// Inside of equilibrium.c only: one point of rest, brought to all digits by SUNDIALS KINSOL (the
// only file that calls it) on the full set of rates.
#pragma once

#include "solve/equilibrium.h"

struct equilibrium_place {
    const struct regulator *regulator;
    const struct regulator_mode *mode;
    double time; // [s]
};

// Polish a point found by the scan; keep the scan's own values where KINSOL makes it no better.
// False without memory, which leaves the scan's own values.
bool equilibrium_polish(const struct equilibrium_place *at, const struct regulator_static *guess,
                        bool travel_free, struct equilibrium *out);
