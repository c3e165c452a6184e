// SPDX-License-Identifier: MIT
// Draws of several uncertain numbers at once: a Latin hypercube, so that few draws cover every
// range evenly. Seeded: the same seed gives the same draws on any machine. Knows no fields and no
// units.
#pragma once

#include "maths/statistics.h"

#include <stdbool.h>

enum sample_shape {
    SAMPLE_TRIANGULAR,  // most likely at the stated value, nothing at the ends
    SAMPLE_UNIFORM,     // equally likely from end to end
    SAMPLE_LOG_UNIFORM, // the same in the logarithm: for a value known to a factor only
};

enum { SAMPLE_SHAPE_COUNT = SAMPLE_LOG_UNIFORM + 1 };

// "triangular", "uniform", "log-uniform".
const char *sample_shape_name(enum sample_shape shape);
bool sample_shape_parse(const char *name, enum sample_shape *shape);

// low < high; triangular: low <= middle <= high; log-uniform: low > 0.
struct sample_range {
    enum sample_shape shape;
    double low, middle, high;
};

// The value below which a draw lies with the given probability in [0, 1].
double sample_quantile(const struct sample_range *range, double probability);

// Fill probability[count][width], row-major: each column has exactly one entry in each of `count`
// equal parts of (0, 1), at a place drawn within the part, in an order drawn for the column. A
// column depends on count, the seed and its own index only, so that a further column leaves the
// others as they are. Source: M. D. McKay, R. J. Beckman, W. J. Conover, Technometrics 21 (1979)
// 239-245.
void sample_plan_fill(double *probability, size_t count, size_t width, uint64_t seed);

// Rearrange the columns, each within itself, so that their rank correlations come near those
// wanted: wanted[width][width], symmetric, ones on its diagonal. The strata stay. Returns 0; 1 when
// the wanted correlations contradict each other (not positive definite), or when there are too few
// draws (count <= width); -1 without memory. Source: R. L. Iman, W. J. Conover, Comm. Statist. B 11
// (1982) 311-334.
int sample_plan_correlate(double *probability, size_t count, size_t width, const double *wanted);
