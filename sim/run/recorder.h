// SPDX-License-Identifier: MIT
// What a run leaves behind as it goes on: samples of every channel, events, contacts that count.
// Inside of a simulation only; does not judge.
#pragma once

#include "run/simulate.h"

struct recorder {
    const struct scenario_case *scenario;
    struct simulation *out;
    struct verdict_limits limits;
    struct verdict_input input;
    size_t next_judgement;
    bool brief;                                    // only what the verdict reads...
    int read[REGULATOR_GLANCE_STATES];             // ...which asks for these states
    double farthest_from_seat, farthest_from_stop; // since the last counted contact [m]
    bool no_memory;
};

// Where the integration hands its samples, events and steps; `stop` is left to the caller.
struct integrate_observer recorder_observer(struct recorder *recorder);
