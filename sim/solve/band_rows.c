// SPDX-License-Identifier: MIT
// Not in twos: a number read with its neighbour, just written, would have to wait for it.
#include "solve/band_rows.h"

#include <stdbool.h>

#define INLINE static inline __attribute__((always_inline))

// The usual lines: gas with heat, and what has two states a cell. Row i of L reaches back over
// `back[i % period]` places, one of U forward over `on[i % period]`.
static const struct reach {
    int below, above, period, back[3], on[3];
} usual[] = {{8, 7, 3, {6, 1, 8}, {6, 5, 7}}, {4, 4, 2, {4, 1, 0}, {4, 3, 0}}};

static bool is_within(const struct band_rows *b, const struct reach *reach) {
    bool within =
        b->below == reach->below && b->above == reach->above && b->count % reach->period == 0;
    for (int i = 0; within && i < b->count; i++) {
        const int k = i % reach->period;
        within = i - b->first[i] <= reach->back[k] && b->last[i] - i <= reach->on[k];
    }
    return within;
}

void band_rows_look(struct band_rows *b) {
    b->usual = is_within(b, &usual[0]) ? 1 : is_within(b, &usual[1]) ? 2 : 0;
}

INLINE double less(double sum, const double *v, const double *of, const int reached) {
#pragma GCC unroll 8
    for (int t = 0; t < reached; t++) {
        sum -= v[t] * of[t];
    }
    return sum;
}

// The same from behind.
INLINE double less_back(double sum, const double *v, const double *of, const int reached) {
#pragma GCC unroll 8
    for (int t = 0; t < reached; t++) {
        sum -= v[-t] * of[t];
    }
    return sum;
}

INLINE void forward_regular(int n, double *v, const double *lower, const struct reach *reach) {
    for (int i = 0; i < n; i += reach->period) {
#pragma GCC unroll 3
        for (int k = 0; k < reach->period; k++) {
            const int back = reach->back[k];
            lower += reach->below;
            v[i + k] = less(v[i + k], v + i + k - back, lower - back, back);
        }
    }
}

INLINE void backward_regular(int n, double *v, const double *upper, const double *inverse,
                             const struct reach *reach) {
    for (int i = n - reach->period; i >= 0; i -= reach->period) {
#pragma GCC unroll 3
        for (int k = reach->period - 1; k >= 0; k--) {
            const int on = reach->on[k];
            const double *row = upper + (i + k + 1) * reach->above - on;
            v[i + k] = less_back(v[i + k], v + i + k + on, row, on) * inverse[i + k];
        }
    }
}

void band_rows_forward(const struct band_rows *b, double *v) {
    if (b->usual == 1) {
        forward_regular(b->count, v, b->lower, &usual[0]);
    } else if (b->usual == 2) {
        forward_regular(b->count, v, b->lower, &usual[1]);
    }
    for (int i = 0; b->usual == 0 && i < b->count; i++) {
        const int back = i - b->first[i];
        v[i] = less(v[i], v + i - back, b->lower + (i + 1) * b->below - back, back);
    }
}

void band_rows_back(const struct band_rows *b, double *v) {
    if (b->usual == 1) {
        backward_regular(b->count, v, b->upper, b->inverse, &usual[0]);
    } else if (b->usual == 2) {
        backward_regular(b->count, v, b->upper, b->inverse, &usual[1]);
    }
    for (int i = b->count - 1; b->usual == 0 && i >= 0; i--) {
        const int on = b->last[i] - i;
        const double *row = b->upper + (i + 1) * b->above - on;
        v[i] = less_back(v[i], v + i + on, row, on) * b->inverse[i];
    }
}
