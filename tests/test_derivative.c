// SPDX-License-Identifier: MIT
// Slopes by a ladder of differences, against closed forms. Marks: E exact algebra.
#include "support.h"

#include "maths/derivative.h"

#include <float.h>

struct signed_root {
    double base, knee; // [Pa], as it were
};

// Beside a large base, the root of a drop that turns straight below a knee, as flow through an
// opening does; an exponential; a straight line; what does not depend on x at all.
static int curves(void *context, double x, double *value) {
    const struct signed_root *s = context;
    double drop = x * 1.27 - s->base * 1.27; // with its rounding, 5e-10 of the base
    value[0] = drop / sqrt(sqrt(drop * drop + s->knee * s->knee));
    value[1] = exp(3.0 * x / s->base);
    value[2] = 7.0 * x - 2.0;
    value[3] = 1e9;
    return 0;
}

static void test_each_component_finds_its_own_step(void **state) {
    (void)state;
    for (double knee = 0.1; knee <= 1e4; knee *= 10.0) {
        struct signed_root s = {2.1e6 + 1.0 / 3.0, knee};
        const struct derivative_of of = {curves, &s, 4};
        double slope[4], error[4];
        derivative_find(&of, s.base, 1e-3 * s.base, slope, error);
        const double exact[4] = {1.27 / sqrt(knee), 3.0 * exp(3.0) / s.base, 7.0, 0.0}; // E
        const double allowed[4] = {1e-5, 1e-9, 1e-12, 0.0};
        for (int i = 0; i < 4; i++) {
            print_message("knee %g, component %d: off by %.2g, estimate %.2g\n", knee, i,
                          fabs(slope[i] - exact[i]), error[i]);
            assert_close(slope[i], exact[i], allowed[i], 0.0);
            // The estimate may be smaller than the error by rounding only.
            assert_true(fabs(slope[i] - exact[i]) <= error[i] + 1e-7 * fabs(exact[i]));
        }
    }
}

static void test_a_bend_too_narrow_for_any_step_is_met_by_the_shortest(void **state) {
    (void)state;
    // Longer steps agree better with each other, as they all miss the bend: that is no accuracy.
    // The shortest, a 8^7th of the longest, sees 1.27/sqrt(1.27 x 1e-3).
    struct signed_root s = {2.1e6 + 1.0 / 3.0, 1e-6};
    const struct derivative_of of = {curves, &s, 4};
    double slope[4], error[4], shortest = 1e-3;
    derivative_find(&of, s.base, shortest * 2097152.0, slope, error);
    double there = 1.27 / sqrt(1.27 * shortest);
    print_message("%g, of which the shortest step sees %g; estimate %g\n", slope[0], there,
                  error[0]);
    assert_true(slope[0] >= there && error[0] > 0.5 * slope[0]);
}

// A corner beside the point, and no value at all beyond it.
static int cornered(void *context, double x, double *value) {
    const double *corner = context;
    value[0] = x < *corner ? x * x : 1e3;
    return x < 2.0 * *corner ? 0 : 1;
}

static void test_steps_over_a_corner_drop_out(void **state) {
    (void)state;
    for (double corner = 1.0 + 1e-4; corner < 2.0; corner = 1.0 + 10.0 * (corner - 1.0)) {
        const struct derivative_of of = {cornered, &corner, 1};
        double slope, error;
        derivative_find(&of, 1.0, 10.0, &slope, &error);
        print_message("corner %g behind the point: %.12g +- %.2g\n", corner - 1.0, slope, error);
        assert_close(slope, 2.0, 1e-7, 0.0); // E
        assert_true(fabs(slope - 2.0) <= error + 1e-12);
    }
}

static int nowhere(void *context, double x, double *value) {
    (void)context, (void)x;
    value[0] = 1.0;
    return 1;
}

static int no_number(void *context, double x, double *value) {
    (void)context, (void)x;
    value[0] = (double)NAN;
    value[1] = x;
    return 0;
}

static void test_what_has_no_slope_says_so(void **state) {
    (void)state;
    double slope[2], error[2];
    derivative_find(&(struct derivative_of){nowhere, NULL, 1}, 1.0, 1.0, slope, error);
    assert_true(isnan(slope[0]) && isnan(error[0]));
    derivative_find(&(struct derivative_of){no_number, NULL, 2}, 1.0, 1.0, slope, error);
    assert_true(isnan(slope[0]) && isnan(error[0]));
    assert_close(slope[1], 1.0, 4.0 * DBL_EPSILON, 0.0); // the other one has
    derivative_find(&(struct derivative_of){no_number, NULL, 2}, 1.0, 1.0, slope, NULL);
    assert_close(slope[1], 1.0, 4.0 * DBL_EPSILON, 0.0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_each_component_finds_its_own_step),
        cmocka_unit_test(test_a_bend_too_narrow_for_any_step_is_met_by_the_shortest),
        cmocka_unit_test(test_steps_over_a_corner_drop_out),
        cmocka_unit_test(test_what_has_no_slope_says_so),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
