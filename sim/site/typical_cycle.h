// SPDX-License-Identifier: MIT
// A typical cycle of an even signal: where its cycles begin, and the median wave over them.
#pragma once

#include <stdbool.h>
#include <stddef.h>

enum { TYPICAL_CYCLE_PHASES = 24, TYPICAL_CYCLE_CUTS = 2048 };

// Upward crossings of the mean, in samples, into at[TYPICAL_CYCLE_CUTS]; their number.
size_t typical_cycle_cuts(const double *even, size_t count, double *at);

// Value of an even signal between its samples.
double typical_cycle_at(const double *even, size_t count, double at);

// A signal over the cycles of another, the even signal `clock`: medians over the cycles; false with
// fewer than two.
bool typical_cycle_wave(const double *clock, const double *value, size_t count,
                        double wave[TYPICAL_CYCLE_PHASES]);

// Sorts what it is given.
double typical_cycle_median(double *value, size_t count);
