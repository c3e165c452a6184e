// SPDX-License-Identifier: MIT
// Motion under a schedule that repeats, such as slugs: does the motion repeat with it, and is
// there an oscillation in each period that the schedule does not explain?
#pragma once

#include "judge/verdict.h"

struct verdict_schedule_view {
    struct motion motion; // since the schedule began to repeat
    double end;           // [s]
    double pressure_rest; // swing that counts as rest [Pa]
    double travel_rest;   // [m]
};

// Compares the motion with itself one (or two) schedule periods earlier, over the last
// `schedule_periods` of them. `window` is the one or two periods after which it repeats [s].
bool verdict_schedule_repeats(const struct verdict_schedule_view *view, double period,
                              const struct verdict_limits *limits, double *window);

// Frequency of an oscillation of sustained_swings even swings within the last window that hardly
// decays [Hz]; 0 when there is none.
double verdict_schedule_sustained(const struct verdict_schedule_view *view, double window,
                                  const struct verdict_limits *limits);
