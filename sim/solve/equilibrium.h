// SPDX-License-Identifier: MIT
// Points of rest of a regulator: every root of the force on the plug in travel, each polished with
// SUNDIALS KINSOL on the full set of rates, and what that means.
#pragma once

#include "models/regulator_static.h"

#include <stddef.h>

#define EQUILIBRIUM_MAX 16

enum equilibrium_kind {
    EQUILIBRIUM_OPEN,      // plug between its stops
    EQUILIBRIUM_SHUT,      // plug on its seat, and what flows passes elsewhere
    EQUILIBRIUM_WIDE_OPEN, // plug at its stop: the trim cannot hold the pressure at this flow
};

struct equilibrium {
    enum equilibrium_kind kind;
    bool restoring;               // the force drives the plug back (static stability only)
    bool polished;                // KINSOL reached the residual wanted
    double travel, pilot_travel;  // [m]
    double pressure[NODE_COUNT];  // [Pa]
    double line_flow[LINE_COUNT]; // toward the regulator [kg/s]
    double residual;              // largest scaled rate left [-]
    double state[REGULATOR_STATES_MAX];
};

struct equilibria {
    size_t count;
    struct equilibrium at[EQUILIBRIUM_MAX]; // by ascending travel
    bool can_shut;  // the closing force holds the plug on its seat when it should be shut
    bool truncated; // more roots than fit
    bool no_memory; // some point could not be polished for lack of it
};

// All points of rest at a time [s] with the schedules of the mode.
struct equilibria equilibrium_find(const struct regulator *regulator,
                                   const struct regulator_mode *mode, double time);

// The same, ended behind the point that equilibrium_choose takes: what lies beyond is not looked
// for, in a half of the time or less.
struct equilibria equilibrium_first(const struct regulator *regulator,
                                    const struct regulator_mode *mode, double time);

// The point of rest a run starts from: the first restoring open one, else the first of any kind;
// NULL when there is none.
const struct equilibrium *equilibrium_choose(const struct equilibria *found);

// "open", "shut", "wide open".
const char *equilibrium_kind_name(enum equilibrium_kind kind);
