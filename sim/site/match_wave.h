// SPDX-License-Identifier: MIT
// Cycles of an even signal: where they begin, and what a signal does over a typical one of them.
#pragma once

#include <stdbool.h>
#include <stddef.h>

enum { MATCH_PHASES = 24, MATCH_CUTS_MAX = 2048 };

// Upward crossings of the mean, in samples: at most MATCH_CUTS_MAX of them into at[].
size_t match_wave_cuts(const double *even, size_t count, double *at);

// A signal over a typical cycle of another, the even signal `clock`, at MATCH_PHASES phases:
// medians over the cycles; false with fewer than two.
bool match_wave_of(const double *clock, const double *value, size_t count,
                   double wave[MATCH_PHASES]);

// Value of an even signal between its samples.
double match_wave_at(const double *even, size_t count, double at);

// Middle of values, which are put in order.
double match_wave_median(double *value, size_t count);
