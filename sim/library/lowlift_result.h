// SPDX-License-Identifier: MIT
// The handle of a result: everything a caller may read, copied out of what it came from. Inside of
// sim/library/.
#pragma once

#include "lowlift.h"
#include "run/simulate.h"

#include <stdbool.h>

enum { RESULT_FIGURES_MAX = 64, RESULT_CHANNELS_MAX = 32, RESULT_UNIT_SIZE = 24 };

struct result_figure {
    const char *name; // constant
    char unit[RESULT_UNIT_SIZE];
    double value; // NaN: none
};

struct result_channel {
    const char *name, *unit; // constants
    size_t count;
    double *value; // owned; NULL when empty
};

// A run as the rooms below know it.
struct result_run {
    struct scenario_case scenario;
    struct simulation simulation;
};

struct lowlift_result {
    const char *verdict; // constant
    char reason[400];
    size_t figure_count;
    struct result_figure figure[RESULT_FIGURES_MAX];
    size_t channel_count;
    struct result_channel channel[RESULT_CHANNELS_MAX];
    struct result_run *run; // owned; NULL unless the handle of the scenario keeps runs
};

// NULL is fine.
void result_free_run(struct result_run *run);

// Adds a figure; the unit is `unit` followed by `per`.
void result_add_figure(struct lowlift_result *result, const char *name, double value,
                       const char *unit, const char *per);

// Adds a channel of so many numbers and returns them to be filled; NULL when there are none, or
// without memory.
double *result_add_channel(struct lowlift_result *result, const char *name, const char *unit,
                           size_t count);
