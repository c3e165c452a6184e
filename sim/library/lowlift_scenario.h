// SPDX-License-Identifier: MIT
// The handle of a scenario and what is said of it. Inside of sim/library/.
#pragma once

#include "base/diagnostic.h"
#include "lowlift.h"
#include "scenario/scenario.h"

struct lowlift_scenario {
    struct scenario *scenario; // NULL: it could not be read, and `errors` says why for good
    const char *errors;        // "", a constant, or `text`
    char *text;
    struct scenario *refused; // read, but wrong; NULL when `scenario` is there, or nothing is
    bool keep_runs;           // a result keeps the simulation it was read from (library/inside.h)
};

// Takes what was found as the text of the errors and frees the list. Returns the number of errors.
int scenario_keep_errors(struct lowlift_scenario *handle, struct diagnostics *list);

// The same for lack of memory alone; NULL is fine.
void scenario_keep_no_memory(struct lowlift_scenario *handle);

// Resolves one trim for a run of any kind, and forgets the errors of the call before. False after
// errors; free the case either way.
bool scenario_ready(struct lowlift_scenario *handle, size_t trim, struct scenario_case *out);
