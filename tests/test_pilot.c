// SPDX-License-Identifier: MIT
// Pilot seat area and force balance against closed forms (E).
#include "models/pilot.h"
#include "support.h"

static const double PI = 3.14159265358979323846;

static void test_seat_area_limits(void **state) {
    (void)state;
    const double d = 0.0023;
    // E: the curtain pi d y near the seat, the port pi d^2/4 far from it, in series between.
    assert_close(pilot_seat_area(d, 1e-8), PI * d * 1e-8, 1e-9, 0.0);
    assert_close(pilot_seat_area(d, 100.0 * d), 0.25 * PI * d * d, 1e-5, 0.0);
    double curtain = PI * d * 4e-4, port = 0.25 * PI * d * d;
    double series = 1.0 / sqrt(1.0 / (curtain * curtain) + 1.0 / (port * port));
    assert_close(pilot_seat_area(d, 4e-4), series, 1e-13, 0.0);
}

static void test_seat_is_shut_below_zero(void **state) {
    (void)state;
    assert_close(pilot_seat_area(0.002, 0.0), 0.0, 0.0, 0.0);
    assert_close(pilot_seat_area(0.002, -1e-3), 0.0, 0.0, 0.0);
    assert_close(pilot_seat_area(0.0, 1e-3), 0.0, 0.0, 0.0);
    double last = 0.0;
    for (double y = 1e-6; y < 0.01; y *= 1.3) {
        double area = pilot_seat_area(0.002, y);
        assert_true(area > last);
        last = area;
    }
}

static void test_force_terms(void **state) {
    (void)state;
    struct pilot_forces pilot = {.sign = 1.0,
                                 .diaphragm_area = 2e-3,
                                 .feedback_area = 5e-4,
                                 .spring_rate = 1e5,
                                 .unbalance_area = 3e-6};
    struct pilot_pressures p = {
        .sensed = 4e5, .atmosphere = 1e5, .chamber = 3e5, .exhaust = 2e5, .supply = 4.5e5};
    // E: (3e5 x 2e-3 - 550) - 1e5 x 5e-4 - 1e5 x 1e-4 + 1.5e5 x 3e-6 = 50 - 50 - 10 + 0.45.
    assert_close(pilot_force(&pilot, &p, 550.0, 1e-4), -9.55, 1e-12, 0.0);
    pilot.sign = -1.0; // reducing: the sensed term turns round, the feedback does not
    assert_close(pilot_force(&pilot, &p, 550.0, 1e-4), -109.55, 1e-12, 0.0);
}

static void test_signs_of_each_pressure(void **state) {
    (void)state;
    for (int duty = -1; duty <= 1; duty += 2) {
        struct pilot_forces pilot = {(double)duty, 2e-3, 5e-4, 1e5, 3e-6};
        struct pilot_pressures p = {4e5, 1e5, 3e5, 2e5, 4.5e5}, q = p;
        double rest = pilot_force(&pilot, &p, 600.0, 0.0);
        q.sensed += 100.0;
        assert_close(pilot_force(&pilot, &q, 600.0, 0.0) - rest, duty * 100.0 * 2e-3, 1e-9, 0.0);
        q = p, q.chamber += 100.0; // loading feedback and seat unbalance both close it
        assert_close(pilot_force(&pilot, &q, 600.0, 0.0) - rest, -100.0 * (5e-4 + 3e-6), 1e-9, 0.0);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_seat_area_limits),
        cmocka_unit_test(test_seat_is_shut_below_zero),
        cmocka_unit_test(test_force_terms),
        cmocka_unit_test(test_signs_of_each_pressure),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
