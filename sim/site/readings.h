// SPDX-License-Identifier: MIT
// What two gauges and a watch say of a regulator (section `readings` of a scenario): each reading
// turned into a quantity of its parts by an equation of models/README.md, with its uncertainty;
// readings that say the same quantity are reconciled by weighted least squares, or contradict each
// other.
#pragma once

#include "answer/answer.h"
#include "study/study_job.h"

// Two values further apart than so many standard deviations contradict each other.
#define READINGS_APART 3.0

enum readings_quantity {
    READINGS_PRELOAD,     // chamber pressure that balances the preload [Pa]
    READINGS_FIRST,       // that of preload and friction together, when it is read rising only [Pa]
    READINGS_SPAN,        // chamber pressure of the spring over the travel [Pa]
    READINGS_FRICTION,    // chamber pressure that balances the friction [Pa]
    READINGS_DROOP,       // direct: held pressure from just open to fully open [Pa]
    READINGS_STROKE_OPEN, // [s]
    READINGS_STROKE_SHUT, // [s]
    READINGS_BUILD_UP,    // held pressure at the high flow less that at the low flow [Pa]
    READINGS_VOLUME,      // of gas [m3]
    READINGS_COUNT
};

enum { READINGS_SOURCES_MAX = 3 };

struct readings_source {
    const char *name; // of the readings it comes from
    double value, sigma;
};

struct readings_value {
    size_t count; // of sources; 0: nothing was read
    struct readings_source source[READINGS_SOURCES_MAX];
    double value, sigma; // of all, weighted
};

struct readings {
    size_t count; // quantities known
    struct readings_value of[READINGS_COUNT];
    double low_flow, high_flow; // of the build-up [kg/s]
};

// From a resolved case: false after a contradiction, which is reported in `list` with the two
// readings that do not agree.
bool readings_take(struct readings *out, const struct scenario *scenario,
                   const struct scenario_case *resolved, struct diagnostics *list);

// A quantity as a case has it; NaN when it cannot be said.
double readings_of_case(const struct readings *readings, enum readings_quantity quantity,
                        const struct scenario_case *resolved);

// Logarithm of how well a case agrees with what was read; 0: fully.
double readings_fit(const struct readings *readings, const struct scenario_case *resolved);

const char *readings_name(enum readings_quantity quantity);
enum unit_kind readings_kind(enum readings_quantity quantity);

// What the readings give, as `lowlift readings` answers.
enum study_status readings_answer(struct study_job *job, const struct study_asked *asked,
                                  struct answer *answer);
