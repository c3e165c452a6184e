// SPDX-License-Identifier: MIT
// The `expect` rows of a scenario against a run: what was promised, what came out.
#pragma once

#include "run/figure.h"

#include <stdio.h>

struct expect_tally {
    size_t met, missed;
};

// Resolve and simulate a trim; false without memory. Whoever asks frees both, either way.
typedef bool (*expect_run)(void *context, size_t trim, struct scenario_case *scenario,
                           struct simulation *simulation);

// Check every row of a scenario, running its trims as needed (`run` NULL: here); one line each to
// `out`. Rows that expect a refusal are counted by expect_refusal instead.
struct expect_tally expect_check(FILE *out, const struct scenario *scenario, expect_run run,
                                 void *context);

// Rows of a scenario that was refused with these errors, one a line: each expects key words in one.
struct expect_tally expect_refusal(FILE *out, const struct scenario *scenario, const char *errors);

// Whether the scenario expects to be refused.
bool expect_wants_refusal(const struct scenario *scenario);
