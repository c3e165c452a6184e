// SPDX-License-Identifier: MIT
// What a sample of unequal weight says: quantiles, fewer draws in place of many, and how much of an
// outcome's doubt goes with one value. Weights are 0 or more. Plain functions of arrays.
#pragma once

#include <stddef.h>

// Smallest value up to which at least a share `q` of the weight lies; infinite values count, NaN is
// left out. NaN when nothing is left, or without memory.
double weighted_quantile(const double *value, const double *weight, size_t count, double q);

// How often each of `count` is taken so that `wanted` are, evenly along the sum of the weights:
// nobody's share is off by one or more. Source: J. Carpenter, P. Clifford, P. Fearnhead, IEE Proc.
// Radar Sonar Navig. 146 (1999) 2-7, systematic resampling, begun at the middle of a step.
void weighted_resample(const double *weight, size_t count, size_t wanted, size_t *times);

// (sum w)^2 / sum w^2 over what is known (not NaN) of `value`; so many equal ones say as much.
double weighted_effective(const double *value, const double *weight, size_t count);

// Mean of what is known; NaN if nothing is.
double weighted_mean(const double *value, const double *weight, size_t count);

// Bin of each value, 0 to bins - 1, of nearly equal weight, equal values in one. Returns the number
// of bins in use, or 0 without memory.
size_t weighted_bins(const double *value, const double *weight, size_t count, size_t bins,
                     size_t *bin);

// Share of the variance of y that knowing the bin takes away, less what chance adds to it by
// `effective` equal draws; below 0 for chance, NaN when y does not vary.
// Source: M. Ezekiel, Methods of Correlation Analysis, 1930 (the adjusted ratio).
double weighted_explained(const double *y, const double *weight, const size_t *bin, size_t count,
                          size_t bins, double effective);
