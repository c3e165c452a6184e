// SPDX-License-Identifier: MIT
// Schedules: values, slopes and the pieces they are cut into. All expectations are closed forms
// (E).
#include "models/schedule.h"
#include "support.h"

static const double PI = 3.14159265358979323846;

// A step at t = 2 (two points at one time), then a ramp from 2 to 4.
static const double TIMES[] = {0.0, 2.0, 2.0, 4.0};
static const double VALUES[] = {1.0, 1.0, 3.0, 7.0};

static struct schedule points(void) {
    return (struct schedule){.kind = SCHEDULE_POINTS, .count = 4, .time = TIMES, .value = VALUES};
}

static double value_at(const struct schedule *s, double time) {
    return schedule_value(s, schedule_piece(s, time), time);
}

static void test_constant_has_one_endless_piece(void **state) {
    (void)state;
    struct schedule s = schedule_constant(4.25);
    assert_int_equal(schedule_piece(&s, 1e9), 0);
    assert_close(schedule_value(&s, 0, -3.0), 4.25, 0.0, 0.0);
    assert_close(schedule_slope(&s, 0, 7.0), 0.0, 0.0, 0.0);
    assert_true(isinf(schedule_piece_end(&s, 0)));
}

static void test_points_are_straight_between_and_held_outside(void **state) {
    (void)state;
    struct schedule s = points();
    assert_close(value_at(&s, -1.0), 1.0, 0.0, 0.0);
    assert_close(value_at(&s, 1.0), 1.0, 0.0, 1e-15);
    assert_close(value_at(&s, 3.0), 5.0, 1e-15, 0.0);
    assert_close(value_at(&s, 9.0), 7.0, 0.0, 0.0);
    assert_close(schedule_slope(&s, schedule_piece(&s, 3.0), 3.0), 2.0, 1e-15, 0.0);
    assert_close(schedule_slope(&s, schedule_piece(&s, 9.0), 9.0), 0.0, 0.0, 0.0);
}

static void test_value_after_a_step_is_the_new_one(void **state) {
    (void)state;
    struct schedule s = points();
    assert_close(value_at(&s, 2.0), 3.0, 0.0, 0.0);
    size_t before = schedule_piece(&s, nextafter(2.0, 0.0));
    assert_close(schedule_piece_end(&s, before), 2.0, 0.0, 0.0);
    // The piece's own value runs on smoothly beyond its end: the solver may look past a step.
    assert_close(schedule_value(&s, before, 2.5), 1.0, 0.0, 1e-15);
    size_t ramp = schedule_piece(&s, 3.0); // only the slope changes at its end, t = 4
    assert_close(schedule_value(&s, ramp, 5.0), 9.0, 1e-15, 0.0);
}

static void test_one_point_is_a_constant(void **state) {
    (void)state;
    const double t = 5.0, v = 2.0;
    struct schedule s = {.kind = SCHEDULE_POINTS, .count = 1, .time = &t, .value = &v};
    assert_close(value_at(&s, 0.0), 2.0, 0.0, 0.0);
    assert_close(value_at(&s, 5.0), 2.0, 0.0, 0.0);
    assert_close(value_at(&s, 6.0), 2.0, 0.0, 0.0);
}

static void test_slug_repeats(void **state) {
    (void)state;
    struct schedule s = {.kind = SCHEDULE_SLUG,
                         .base = 1.0,
                         .peak = 5.0,
                         .start = 10.0,
                         .period = 4.0,
                         .duration = 1.5};
    assert_close(value_at(&s, 0.0), 1.0, 0.0, 0.0);
    for (int i = 0; i < 1000; i++) {
        double begin = 10.0 + 4.0 * i;
        assert_close(value_at(&s, begin), 5.0, 0.0, 0.0);
        assert_close(value_at(&s, begin + 1.4), 5.0, 0.0, 0.0);
        assert_close(value_at(&s, begin + 1.5), 1.0, 0.0, 0.0);
        assert_close(value_at(&s, begin + 3.9), 1.0, 0.0, 0.0);
        size_t piece = schedule_piece(&s, begin);
        assert_close(schedule_piece_end(&s, piece), begin + 1.5, 1e-15, 0.0);
    }
}

static void test_slug_pieces_follow_each_other(void **state) {
    (void)state;
    // A period that is not a binary fraction: rounding must neither skip nor repeat a piece.
    struct schedule s = {.kind = SCHEDULE_SLUG,
                         .base = 0.0,
                         .peak = 1.0,
                         .start = 0.1,
                         .period = 0.3,
                         .duration = 0.1};
    size_t piece = schedule_piece(&s, 0.0);
    for (int i = 0; i < 5000; i++) {
        double end = schedule_piece_end(&s, piece);
        assert_int_equal(schedule_piece(&s, end), piece + 1);
        assert_int_equal(schedule_piece(&s, nextafter(end, 0.0)), piece);
        piece++;
    }
}

static void test_sine_value_and_slope(void **state) {
    (void)state;
    struct schedule s = {
        .kind = SCHEDULE_SINE, .base = 2.0, .peak = 3.0, .start = 0.25, .period = 2.0};
    assert_close(schedule_value(&s, 0, 0.25), 5.0, 1e-15, 0.0);
    assert_close(schedule_value(&s, 0, 1.25), -1.0, 1e-15, 0.0);
    assert_close(schedule_value(&s, 0, 0.75), 2.0, 0.0, 1e-14);
    assert_close(schedule_slope(&s, 0, 0.75), -3.0 * PI, 1e-14, 0.0);
    assert_true(isinf(schedule_piece_end(&s, 0)));
}

static void test_slope_is_the_derivative(void **state) {
    (void)state;
    struct schedule s[] = {points(),
                           {.kind = SCHEDULE_SINE, .base = 1.0, .peak = 2.0, .period = 3.0}};
    for (int k = 0; k < 2; k++) {
        for (double t = 0.25; t < 4.0; t += 0.5) {
            size_t piece = schedule_piece(&s[k], t);
            double h = 1e-5;
            double difference =
                (schedule_value(&s[k], piece, t + h) - schedule_value(&s[k], piece, t - h)) /
                (2.0 * h);
            assert_close(schedule_slope(&s[k], piece, t), difference, 1e-8, 1e-8);
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_constant_has_one_endless_piece),
        cmocka_unit_test(test_points_are_straight_between_and_held_outside),
        cmocka_unit_test(test_value_after_a_step_is_the_new_one),
        cmocka_unit_test(test_one_point_is_a_constant),
        cmocka_unit_test(test_slug_repeats),
        cmocka_unit_test(test_slug_pieces_follow_each_other),
        cmocka_unit_test(test_sine_value_and_slope),
        cmocka_unit_test(test_slope_is_the_derivative),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
