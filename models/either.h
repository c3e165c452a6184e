// SPDX-License-Identifier: MIT
// Larger and smaller of two numbers in one instruction; fmax and fmin are calls, because they ask
// which of the two is not a number. Neither is here.
#pragma once

static inline double either_larger(double a, double b) {
    return a > b ? a : b;
}

static inline double either_smaller(double a, double b) {
    return a < b ? a : b;
}
