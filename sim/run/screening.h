// SPDX-License-Identifier: MIT
// A study's runs are tried by the quick one-step method first. CVODE stays the judge: what lies
// near a boundary, is not decided or fails is run again with it, and so is a sample of the rest,
// which tells how often the quick method is wrong. Knows nothing of what a study asks.
#pragma once

#include "run/simulate.h"

#include <stdatomic.h>

// Of a study, shared by its threads.
struct screening {
    atomic_ulong runs;      // tried by the quick method
    atomic_ulong again;     // of these, run again because they were not clear
    atomic_ulong sampled;   // of the clear ones, run again to see
    atomic_ulong differing; // of these, with another answer
};

// Whether this case is screened at all, and what is then run in its place: the quick method at a
// tolerance thirty times as wide (3e-5), where a contact's time and speed come out closer
// than CVODE's at 1e-6.
bool screening_applies(const struct scenario_case *scenario);
struct scenario_case screening_quick(const struct scenario_case *scenario);

enum screening_next {
    SCREENING_KEEP,   // clear
    SCREENING_SAMPLE, // clear, but drawn
    SCREENING_AGAIN,  // not clear
};

// What to do after a quick run that has been judged: it is clear when its verdict is decided, is
// not "irregular" and stays the same, or undecided, with each limit of rest, of a repeating cycle
// and of chatter moved by a quarter either way. `sure` adds what the asker itself knows. Counts it.
enum screening_next screening_after(const struct scenario_case *scenario,
                                    const struct simulation *quick, bool sure);

// The same where the asker knew the answer before the run's end, and by its own margin.
enum screening_next screening_after_told(const struct scenario_case *scenario);

// Count a sample.
void screening_compare(const struct scenario_case *scenario, bool same);

// Run a case, screened where that applies; the answer is the verdict.
void screening_run(const struct scenario_case *scenario, const struct simulation_manner *manner,
                   struct simulation *out);
