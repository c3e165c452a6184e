// SPDX-License-Identifier: MIT
// The state a run starts from: at rest, or shut in, with the kick the scenario asks for. Also turns
// the set screw when the set pressure is meant at flow.
#pragma once

#include "scenario/scenario.h"
#include "solve/equilibrium.h"

enum start_outcome {
    START_READY,
    START_SET_OUT_OF_REACH, // no travel holds the set pressure at the first flow: the screw is left
                            // where the regulator begins to open at the set pressure
};

struct start {
    struct regulator regulator;
    struct regulator_mode mode;
    struct equilibria rest; // all points of rest at time 0
    double state[REGULATOR_STATES_MAX];
    double kick_end; // last time at which the user disturbs anything [s]
};

// Prepare regulator, set force, mode and state; complete whatever the outcome.
enum start_outcome start_prepare(const struct scenario_case *scenario, struct start *out);
