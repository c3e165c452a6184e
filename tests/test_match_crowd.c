// SPDX-License-Identifier: MIT
// How many independent draws a crowd is worth whose draws descend from each other, and how wide an
// interval few draws make. E: by hand, and against a simulated series of known correlation.
#include "support.h"

#include "site/match_crowd.h"

#include <stdlib.h>
#include <string.h>

static void test_kin(void **state) {
    (void)state;
    static const size_t parents[] = {0, 0, 1, 1};
    static const size_t strangers[] = {0, 1, 2, 3};
    double weight[] = {1.0, 1.0, 1.0, 1.0};
    struct crowd c;
    assert_true(match_crowd_open(&c, 4, 3, 0));
    assert_close(match_crowd_effective(&c, weight), 4.0, 1e-12, 0.0); // no kin known
    match_crowd_born(&c, parents);
    assert_close(match_crowd_effective(&c, weight), 2.0, 1e-12, 0.0);
    // Each keeps half of what it was: siblings correlate by a quarter. 16/(4 + 4/4).
    for (size_t i = 0; i < 4; i++) {
        c.bond[i] = 0.5;
    }
    assert_close(match_crowd_effective(&c, weight), 3.2, 1e-12, 0.0);
    // Picked anew as they are, then moved: what they kept before still counts. 16/(4 + 4/16).
    match_crowd_born(&c, strangers);
    for (size_t i = 0; i < 4; i++) {
        c.bond[4 + i] = 0.5;
    }
    assert_close(match_crowd_effective(&c, weight), 16.0 / 4.25, 1e-12, 0.0);
    weight[1] = weight[2] = weight[3] = 0.0;
    assert_close(match_crowd_effective(&c, weight), 1.0, 1e-12, 0.0);
    match_crowd_close(&c);
}

// The number is what it says: the mean of kin draws scatters as that of so many strangers.
static void test_kin_scatter(void **state) {
    (void)state;
    enum { COUNT = 24, TIMES = 4000 };
    const double step = 0.6;
    const double keep = sqrt(1.0 - step * step);
    size_t from[COUNT];
    double weight[COUNT];
    struct crowd c;
    struct statistics_stream stream = statistics_stream_open(1, 1);
    assert_true(match_crowd_open(&c, COUNT, 1, 0));
    for (size_t i = 0; i < COUNT; i++) {
        from[i] = i / 6; // four of six siblings
        weight[i] = 1.0;
    }
    match_crowd_born(&c, from);
    for (size_t i = 0; i < COUNT; i++) {
        c.bond[i] = keep;
    }
    double square = 0.0;
    for (size_t t = 0; t < TIMES; t++) {
        double mean = 0.0;
        double parent = 0.0;
        for (size_t i = 0; i < COUNT; i++) {
            parent =
                i % 6 == 0 ? statistics_normal_quantile(statistics_stream_unit(&stream)) : parent;
            const double own = statistics_normal_quantile(statistics_stream_unit(&stream));
            mean += (keep * parent + step * own) / COUNT;
        }
        square += mean * mean / TIMES;
    }
    // 1/n of a normal variable; of so many times its scatter is 2.2 %.
    assert_close(match_crowd_effective(&c, weight), 1.0 / square, 0.08, 0.0);
    match_crowd_close(&c);
}

static void test_pick(void **state) {
    (void)state;
    const double fit[] = {log(1.0), -HUGE_VAL, log(3.0)};
    size_t index[4];
    match_crowd_pick(fit, 3, 1.0, &(struct match_picking){1, 1, 4, index});
    assert_int_equal(index[0], 0);
    assert_int_equal(index[1], 2);
    assert_int_equal(index[3], 2);
}

// E: of n even draws the next lies below the least with a chance of 1/(n + 1).
static void test_intervals(void **state) {
    (void)state;
    enum { MANY = 99, FEW = 4 };
    double place[MANY];
    double weight[MANY];
    struct match match = {.count = MANY, .weight = weight};
    for (size_t i = 0; i < MANY; i++) {
        place[i] = (double)(i + 1) / (MANY + 1);
        weight[i] = 1.0 / MANY;
    }
    assert_close(match_space_place(place, &match, 0.05), 0.05, 0.0, 1e-9);
    assert_close(match_space_place(place, &match, 0.5), 0.5, 0.0, 1e-9);
    assert_close(match_space_place(place, &match, 0.95), 0.95, 0.0, 1e-9);
    // Four draws in the middle: a fifth of the belief lies below them, down to the end of the
    // range.
    match.count = FEW;
    for (size_t i = 0; i < FEW; i++) {
        place[i] = 0.5 + 0.01 * (double)i;
        weight[i] = 1.0 / FEW;
    }
    assert_close(match_space_place(place, &match, 0.05), 0.125, 0.0, 1e-9);
    assert_close(match_space_place(place, &match, 0.2), 0.5, 0.0, 1e-9);
    assert_close(match_space_place(place, &match, 0.95), 0.53 + 0.47 * 0.75, 0.0, 1e-9);
    // As many that descend from one: they say no more than that one.
    match.kin = 1.0;
    assert_true(match_space_place(place, &match, 0.05) < 0.11);
    assert_true(match_space_place(place, &match, 0.95) > 0.89);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_kin),
        cmocka_unit_test(test_kin_scatter),
        cmocka_unit_test(test_pick),
        cmocka_unit_test(test_intervals),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
