// SPDX-License-Identifier: MIT
// Nonsense scenarios by their seed: a scenario of ours with one to three fields at their limits,
// and what must hold of whatever the program makes of it. The fields are those of the field table,
// so that a new one takes part by itself.
#pragma once

#include "scenario/scenario.h"

#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>

enum { NONSENSE_CHANGES_MAX = 8, NONSENSE_TEXT = 400, NONSENSE_STUDY_EVERY = 8 };

struct nonsense {
    unsigned long seed;
    const char *path; // of the scenario that is changed
    size_t count;     // of changes, those that bound the work included
    char change[NONSENSE_CHANGES_MAX][NONSENSE_TEXT]; // as --set takes them
};

// The scenario of a seed. The first NONSENSE_SINGLES() seeds change one field each: every field in
// every way; those after them two or three, at random.
void nonsense_make(unsigned long seed, struct nonsense *out);
unsigned long nonsense_singles(void);

// xorshift64*, the same numbers everywhere.
struct nonsense_dice {
    uint64_t state;
};
size_t nonsense_below(struct nonsense_dice *dice, size_t count);
double nonsense_share(struct nonsense_dice *dice); // 0 to 1

// What is found: a line for each promise that is broken.
struct nonsense_findings {
    const struct nonsense *of;
    const char *during; // "run", or a study's command line
    size_t count;
    size_t accepted, refused, given_up; // scenarios that ran, were refused, whose run gave up
    size_t rounded; // runs that hold so much more than went through that rounding is more than the
                    // limit
    unsigned long most_calls;        // of the derivative, in one run or study ...
    unsigned long most_seed;         // ... of this seed
    double mass_error, energy_error; // largest of the runs that ended
    unsigned long mass_seed, energy_seed;
};
void nonsense_finding(struct nonsense_findings *findings, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

// Read it, run every trim, and hold the run to what lowlift promises.
void nonsense_run(const struct nonsense *nonsense, struct nonsense_findings *findings);

// Ask a study of it as the command line does: the exit code and what is printed and written. Which
// of the studies follows from the seed; as they take long, not every scenario is asked one.
// `folder` is an empty one to write to.
void nonsense_study(const struct nonsense *nonsense, const char *folder,
                    struct nonsense_findings *findings);

// Calls of the derivative so far, and the number of them at which a run or study counts as one that
// hangs: the process ends with NONSENSE_HANGS.
enum { NONSENSE_HANGS = 99 };
extern unsigned long nonsense_calls;
