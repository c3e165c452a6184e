// SPDX-License-Identifier: MIT
// Numbers that are added without rounding, and results pinned by all their bits.
#pragma once

#include "fixture_pinned.h"
#include "fixtures.h"

#include <math.h>
#include <stdio.h>

static unsigned long long seed;

// A multiple of 2^-20 between -1 and 1, a third of them nothing.
static inline double draw(void) {
    const double number = nearbyint((2.0 * fixture_random(&seed) - 1.0) * 0x1p20) * 0x1p-20;
    return fixture_random(&seed) < 0.33 ? 0.0 : number;
}

static inline void close_bits(const char *name, int i, struct bits *b) {
    char whole[PINNED_NAME];
    snprintf(whole, sizeof whole, "%s %d", name, i);
    pin_bits(whole, b);
    *b = (struct bits){0};
}
