// SPDX-License-Identifier: MIT
// What one run comes to, in a few numbers by which runs are compared and put in order.
#pragma once

#include "judge/verdict.h"
#include "scenario/scenario.h"

// What may come of a run besides a verdict. The last two are no regulator that could stand on site.
enum severity_outcome {
    SEVERITY_FAILED = VERDICT_COUNT, // the solver gave up
    SEVERITY_OUT_OF_REACH, // no travel holds the set pressure at the first flow, as it is said to
    SEVERITY_IMPOSSIBLE,   // the values contradict each other
    SEVERITY_OUTCOMES,
    SEVERITY_COUNTED = SEVERITY_OUT_OF_REACH, // outcomes of a possible regulator
};

// Numbers of one run. NaN where there is none.
enum severity_column {
    SEVERITY_OUTCOME,  // enum verdict, or enum severity_outcome
    SEVERITY_SWING,    // of the pressure [Pa]; 0 when it comes to rest
    SEVERITY_PEAK,     // pressure, absolute [Pa]
    SEVERITY_CONTACTS, // with the seat [1/min]
    SEVERITY_GROWTH,   // of the small motion that grows fastest or dies out slowest
                       // (linearise_leading); below 0 it dies out [1/s]
    SEVERITY_ORDER,    // orders runs from good to bad: by verdict, then by swing, which adds less
                       // than 1; NaN when undecided or no verdict
    SEVERITY_COLUMNS,
};

// Verdict's name, or that of the other outcomes.
const char *severity_outcome_name(size_t outcome);

// Simulate and measure; NULL is a case that does not resolve.
void severity_measure(const struct scenario_case *scenario, double row[SEVERITY_COLUMNS]);

// The same; a run that does not tell is tried once more, four times as long.
void severity_measure_on(const struct scenario_case *scenario, double row[SEVERITY_COLUMNS]);
