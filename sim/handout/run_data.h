// SPDX-License-Identifier: MIT
// What a live page is given: scenarios as dumps, and what the program itself makes of their trims,
// for browsers that cannot run the module, and to hold the module against. As JSON; values in SI.
#pragma once

#include "study/comparison.h"

#include <jansson.h>

// One scenario with its runs: its dump, the changed fields, a run for each target of a comparison
// that is done. NULL after a message in the job.
json_t *run_data_scenario(const struct comparison *comparison, struct study_job *job);

// Everything about a page that does not hang on its scenario: version, figures, channels.
json_t *run_data_frame(void);

// One run: verdict, why, figures with their texts, and if wanted a thinned trace. NULL without
// memory.
json_t *run_data_run(const struct simulation *run, const struct scenario_case *scenario,
                     const char *label, bool traced);
