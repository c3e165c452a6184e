// SPDX-License-Identifier: MIT
// Two numbers that are worked on at once where the machine can; each is rounded as it would be
// alone, so that the digits are those of a plain loop.
#pragma once

// May lie anywhere, and a result may take the place of what it is made of.
typedef double pair __attribute__((vector_size(16), aligned(8), may_alias));

static inline pair *pair_at(double *p, long i) {
    return (pair *)(p + i);
}

static inline pair pair_of(const double *p, long i) {
    return *(const pair *)(p + i);
}
