// SPDX-License-Identifier: MIT
// Hysteresis: the flow stepped slowly up and down again, the motion carried over from one step to
// the next. Where going up and going down differ, a regulator may be steady or hunt at one and the
// same flow, depending on where it comes from.
#pragma once

#include "judge/verdict.h"
#include "steady/steadiness.h"

struct sweep_step {
    double flow; // [kg/s]
    enum verdict verdict;
    double pressure_swing; // high less low, once decided [Pa]; NaN: the run failed
    double travel_swing;   // [m]
    double frequency;      // [Hz]; NaN when it rests
    double seat_rate;      // contacts [1/min]; NaN without any
};

// Up through flow[0..count-1] [kg/s] into up[], then down from the last into down[], where down[i]
// too is at flow[i]. Each step is held until it rests or its cycle is known (steadiness_limits),
// for four times the scenario's longest run at most. It begins at the point of rest of flow[0] with
// the scenario's kicks. After a run that failed, the next step begins at its own point of rest.
void sweep_run(const struct steadiness *subject, const double *flow, size_t count,
               struct sweep_step *up, struct sweep_step *down);
