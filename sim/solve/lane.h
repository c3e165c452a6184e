// SPDX-License-Identifier: MIT
// Inside of rosenbrock*.c only: sums of short vectors. They are as long as the next multiple of
// LANE, filled up with zeros, so that a loop over them needs no other end; a matrix likewise, with
// ones on the diagonal of what it is filled up with. The order of rounding is that of plain loops.
#pragma once

enum { LANE = 4 };

// to -= factor x of, from a place on that is rounded down to a lane.
static inline void take_away(double *restrict to, double factor, const double *restrict of,
                             int from, int width) {
    for (int i = from / LANE * LANE; i < width; i += LANE) {
        for (int k = 0; k < LANE; k++) {
            to[i + k] -= factor * of[i + k];
        }
    }
}

// The same from an even place on, in twos: for what grows shorter.
static inline __attribute__((always_inline)) void
take_twos_away(double *restrict to, double factor, const double *restrict of, int from, int width) {
    for (int i = from / 2 * 2; i < width; i += 2) {
        to[i] -= factor * of[i];
        to[i + 1] -= factor * of[i + 1];
    }
}

// out = base + sum of the first `count` vectors of `of`, each by its factor.
static inline void combine(double *restrict out, const double *restrict base,
                           const double *restrict factor, const double *restrict of, int count,
                           int width) {
    for (int i = 0; i < width; i += LANE) {
        double sum[LANE];
        for (int k = 0; k < LANE; k++) {
            sum[k] = base[i + k];
        }
        for (int j = 0; j < count; j++) {
            for (int k = 0; k < LANE; k++) {
                sum[k] += factor[j] * of[j * width + i + k];
            }
        }
        for (int k = 0; k < LANE; k++) {
            out[i + k] = sum[k];
        }
    }
}
