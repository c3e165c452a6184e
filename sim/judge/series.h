// SPDX-License-Identifier: MIT
// A view of evenly spaced samples and the statistics of it. It owns nothing and judges nothing.
#pragma once

#include <stdbool.h>
#include <stddef.h>

struct series {
    const double *value; // samples, in the unit of the caller; owned by the caller
    size_t count;
    double start; // time of the first sample [s]
    double step;  // spacing, positive [s]
};

// Time of sample i [s].
double series_time(const struct series *series, size_t index);

// The part at or after the given time, and the last stretch of the given length [s]. Both may be
// empty; the stretch is never longer than the series.
struct series series_after(const struct series *series, double time);
struct series series_last(const struct series *series, double seconds);

// The samples whose times lie in [from, to].
struct series series_between(const struct series *series, double from, double to);

// Length in time between the first and the last sample [s].
double series_span(const struct series *series);

// Largest, smallest, and largest minus smallest sample; 0 when empty.
double series_high(const struct series *series);
double series_low(const struct series *series);
double series_swing(const struct series *series);

double series_mean(const struct series *series);

// Root mean square about the mean.
double series_deviation(const struct series *series);

// Sum of the absolute changes: the way travelled.
double series_path(const struct series *series);

// Slope of a straight line through the samples [unit/s], weighted toward the middle so that an
// oscillation of a few periods hardly leaks into it (with even weights the leak falls only as
// 1/periods).
double series_slope(const struct series *series);

// Index of the first sample that is not a finite number, or count when all are.
size_t series_first_bad(const struct series *series);
