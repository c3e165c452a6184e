// SPDX-License-Identifier: MIT
// What a proof counts: how often the 90 % intervals of a match hold the hidden values, and how well
// its shares predict what a trim does.
#pragma once

#include "proof_services.h"
#include "site/match_inside.h"

#include <stdio.h>

struct tally {
    const char *name;
    size_t held, values;               // 90 % intervals
    size_t learnt_held, learnt_values; // of values that were narrowed or pinned down
    size_t truths, rests, nothing;     // of the truths, those quiet today; those nothing fits
    size_t dropped;                    // those that their eigenvalues would drop from the draws
    double brier[TRIMS], cured[TRIMS];
    double seconds, longest, effective; // CPU of a match, all threads [s]
};

// One for each service, then of all, then by what was told.
enum { TALLY_ALL = SERVICES, TALLY_RECORD, TALLY_MOVES, TALLY_QUIET, TALLIES };

void proof_tally_coverage(struct tally *tally, const struct match *match, const double *truth);

// Values held; a line for each into a file, unless that is NULL.
size_t proof_tally_places(const struct match *match, const double *truth, size_t name, FILE *out);

// Shares of the draws that each trim cures, against whether it cures the hidden one (1 or 0).
void proof_tally_cure(struct tally *tally, const double share[TRIMS], const double cured[TRIMS]);

void proof_tally_tell(const struct tally *tally);
