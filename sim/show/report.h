// SPDX-License-Identifier: MIT
// What a person reads on the terminal: a run's verdict and figures, a comparison side by side,
// where every value came from, and the cautions that belong to the work.
#pragma once

#include "run/figure.h"

#include <stdio.h>

#define REPORT_COLUMNS_MAX 6

// One run: verdict, reason, figures, cost of the run.
void report_run(FILE *out, const struct scenario_case *scenario, const struct simulation *run);

// Several runs side by side, one column each, verdicts first.
void report_comparison(FILE *out, size_t count, const char *const label[],
                       const struct scenario_case *const scenario[],
                       const struct simulation *const run[]);

// Values given and guessed of one trim; those defaulted are counted by section, or listed when
// `everything`.
void report_inputs(FILE *out, const struct scenario *scenario, size_t trim, bool everything);

// How far each figure of `run` lies from that of a run at a tighter tolerance.
void report_tighter(FILE *out, const struct scenario_case *scenario, const struct simulation *run,
                    const struct simulation *tighter);

// Short reminder that this is a model and that the work itself can hurt.
void report_cautions(FILE *out);
