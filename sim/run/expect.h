// SPDX-License-Identifier: MIT
// The `expect` rows of a scenario against a run: what was promised, what came out.
#pragma once

#include "run/figure.h"

#include <stdio.h>

struct expect_tally {
    size_t met, missed;
};

// Check every row of a scenario, simulating its trims as needed; one line each to `out`. Rows that
// expect a refusal are counted by expect_refusal instead.
struct expect_tally expect_check(FILE *out, const struct scenario *scenario);

// Rows of a scenario that was refused with these diagnostics: each expects key words in them.
struct expect_tally expect_refusal(FILE *out, const struct scenario *scenario,
                                   const struct diagnostics *list);

// Whether the scenario expects to be refused.
bool expect_wants_refusal(const struct scenario *scenario);
