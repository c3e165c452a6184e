// SPDX-License-Identifier: MIT
// Behind the handles of lowlift.h, for the program itself: what its studies and pictures need of a
// scenario or a run that the header does not offer. Is not installed.
#pragma once

#include "lowlift.h"
#include "run/simulate.h"

// The scenario of a handle, which keeps it; NULL when it could not be read.
struct scenario *inside_scenario(struct lowlift_scenario *handle);

// What could be read of a scenario that is wrong, kept by the handle; NULL when there is none such.
const struct scenario *inside_refused(const struct lowlift_scenario *handle);

// From now on results of lowlift_run keep the simulation that they were read from.
void inside_keep_runs(struct lowlift_scenario *handle);

// Hand over the simulation of a result and the case it was of, both to be freed by the caller;
// false when the result keeps none.
bool inside_take_run(struct lowlift_result *result, struct scenario_case *scenario,
                     struct simulation *simulation);
