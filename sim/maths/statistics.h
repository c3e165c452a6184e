// SPDX-License-Identifier: MIT
// What a sample says, and how surely: a share with its interval, and how strongly one column goes
// with another. Plain functions of arrays, which know nothing of regulators.
#pragma once

#include <stddef.h>
#include <stdint.h>

// Numbers that look random, one stream for each seed. Not for secrets.
// Source: G. L. Steele, D. Lea, C. H. Flood, "Fast splittable pseudorandom number generators",
// OOPSLA 2014: a counter stepped by the golden ratio, and a mixing of its bits.
struct statistics_stream {
    uint64_t counter;
};

// A stream of its own for every pair of seed and branch.
struct statistics_stream statistics_stream_open(uint64_t seed, uint64_t branch);
uint64_t statistics_stream_next(struct statistics_stream *stream);

// The next number in [0, 1), on a grid of 2^-53.
double statistics_stream_unit(struct statistics_stream *stream);

// x for which a normal variable is below x with the given probability, 0 < probability < 1.
double statistics_normal_quantile(double probability);

struct statistics_interval {
    double low, high;
};

// Interval of a probability after `hits` in `count` trials, at a confidence such as 0.95. [0, 1]
// without a trial. Source: E. B. Wilson, J. Amer. Statist. Assoc. 22 (1927) 209-212, without
// continuity correction.
struct statistics_interval statistics_wilson(size_t hits, size_t count, double confidence);

// The same for a share of weighted trials, whose weights are worth `effective` equal ones.
struct statistics_interval statistics_wilson_share(double share, double effective,
                                                   double confidence);

// Places of the values from the smallest to the largest; equal values in the order they stand in.
// Returns 0, or -1 without memory.
int statistics_order(const double *value, size_t count, size_t *order);

// Ranks from 1; equal values share the mean of the ranks they take up. Returns 0, or -1 without
// memory.
int statistics_ranks(const double *value, size_t count, double *rank);

// Spearman's rank correlation, -1 to 1, ties by mean ranks; NaN when there are fewer than three
// pairs, when either column holds one value only, or without memory.
double statistics_spearman(const double *x, const double *y, size_t count);

// Probability that unrelated columns of that length correlate at least as strongly, either way, by
// Student's t with count - 2 degrees of freedom: good from about ten pairs on. NaN of NaN.
double statistics_spearman_chance(double correlation, size_t count);

// Share of the variance of y that goes with x alone (Sobol's first-order index), whatever the shape
// of the dependence: the variance of the means of y in `bins` equally filled bins along x, less
// what chance adds to it. Below 0 for chance; NaN when y does not vary, or without memory.
// Needs at least two values a bin.
double statistics_first_order(const double *x, const double *y, size_t count, size_t bins);
