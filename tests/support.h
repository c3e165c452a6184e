// SPDX-License-Identifier: MIT
// cmocka, and a comparison of doubles: its own assert_float_equal casts to float.
#pragma once

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

// Fails unless |actual - expected| <= max(relative |expected|, absolute); not-a-number fails.
#define assert_close(actual, expected, relative, absolute)                                         \
    support_assert_close((actual), (expected), (relative), (absolute),                             \
                         (struct support_place){#actual, __FILE__, __LINE__})

struct support_place {
    const char *what, *file;
    int line;
};

static inline void support_assert_close(double actual, double expected, double relative,
                                        double absolute, struct support_place place) {
    double allowed = fmax(relative * fabs(expected), absolute);
    if (!(fabs(actual - expected) <= allowed)) {
        print_error("%s:%d: %s is %.17g, expected %.17g within %.3g\n", place.file, place.line,
                    place.what, actual, expected, allowed);
        _fail(place.file, place.line);
    }
}
