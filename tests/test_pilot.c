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
                                 .supply_diameter = 0.0016,
                                 .supply_area = 3e-6};
    struct pilot_pressures p = {
        .sensed = 4e5, .atmosphere = 1e5, .chamber = 3e5, .exhaust = 2e5, .supply = 4.5e5};
    // E: (3e5 x 2e-3 - 550) - 1e5 x 5e-4 - 1e5 x 1e-4 + 1.5e5 x 3e-6/(1 + 0.25^2), s = 4 y/d.
    double seat = 0.45 / 1.0625;
    assert_close(pilot_force(&pilot, &p, 550.0, 1e-4), 50.0 - 50.0 - 10.0 + seat, 1e-12, 0.0);
    pilot.sign = -1.0; // reducing: the sensed term turns round, the feedback does not
    assert_close(pilot_force(&pilot, &p, 550.0, 1e-4), -50.0 - 50.0 - 10.0 + seat, 1e-12, 0.0);
}

static void test_signs_of_each_pressure(void **state) {
    (void)state;
    for (int duty = -1; duty <= 1; duty += 2) {
        struct pilot_forces pilot = {.sign = (double)duty,
                                     .diaphragm_area = 2e-3,
                                     .feedback_area = 5e-4,
                                     .spring_rate = 1e5,
                                     .supply_diameter = 0.002,
                                     .supply_area = 3e-6};
        struct pilot_pressures p = {4e5, 1e5, 3e5, 2e5, 4.5e5}, q = p;
        double rest = pilot_force(&pilot, &p, 600.0, 0.0);
        q.sensed += 100.0;
        assert_close(pilot_force(&pilot, &q, 600.0, 0.0) - rest, duty * 100.0 * 2e-3, 1e-9, 0.0);
        q = p, q.chamber += 100.0; // loading feedback and seat unbalance both close it
        assert_close(pilot_force(&pilot, &q, 600.0, 0.0) - rest, -100.0 * (5e-4 + 3e-6), 1e-9, 0.0);
    }
}

// A three-way pilot: lap 0.4 mm, both seats wholly unbalanced.
static struct pilot_forces three_way(void) {
    return (struct pilot_forces){.sign = 1.0,
                                 .spring_rate = 1e5,
                                 .supply_diameter = 0.002,
                                 .supply_area = 0.25 * PI * 0.002 * 0.002,
                                 .exhaust_diameter = 0.003,
                                 .exhaust_area = 0.25 * PI * 0.003 * 0.003,
                                 .lap = 4e-4};
}

static void test_both_seats_push_the_same_way(void **state) {
    (void)state;
    // E: with the supply shut the supply pressure less the chamber's acts on its whole seat; with
    // the exhaust shut the chamber's less the exhaust's acts on that one; both open the supply.
    struct pilot_forces pilot = three_way();
    struct pilot_pressures p = {.chamber = 3e5, .exhaust = 1e5, .supply = 6e5};
    double share = 1.0 / (1.0 + pow(4.0 * 4e-4 / 0.003, 2.0));
    assert_close(pilot_force(&pilot, &p, 0.0, 0.0),
                 3e5 * pilot.supply_area + 2e5 * pilot.exhaust_area * share, 1e-12, 0.0);
    share = 1.0 / (1.0 + pow(4.0 * 5e-4 / 0.002, 2.0));
    assert_close(pilot_force(&pilot, &p, 0.0, 5e-4),
                 3e5 * pilot.supply_area * share + 2e5 * pilot.exhaust_area - 1e5 * 5e-4, 1e-12,
                 0.0);
    // Chamber pressure on a shut exhaust seat works against the feedback area.
    pilot.feedback_area = 1e-4;
    struct pilot_pressures q = p;
    q.chamber += 100.0;
    double step = pilot_force(&pilot, &q, 0.0, 5e-4) - pilot_force(&pilot, &p, 0.0, 5e-4);
    assert_close(step, -100.0 * (1e-4 + pilot.supply_area * share - pilot.exhaust_area), 1e-9, 0.0);
}

static void test_exhaust_shuts_smoothly_at_the_lap(void **state) {
    (void)state;
    const double lap = 4e-4;
    assert_close(pilot_exhaust_lift(lap, 0.0), lap, 0.0, 0.0);
    assert_close(pilot_exhaust_lift(lap, 0.5 * lap), 0.5 * lap, 1e-15, 0.0);
    assert_close(pilot_exhaust_lift(lap, 1.03 * lap), 0.0, 0.0, 0.0);
    double h = lap * 1e-4, last = -1.0;
    for (double y = 0.9 * lap; y < 1.1 * lap; y += h) {
        double slope = (pilot_exhaust_lift(lap, y + h) - pilot_exhaust_lift(lap, y)) / h;
        assert_true(slope >= last - 1e-9 && slope - last < 6e-3 && slope <= 0.0);
        last = slope;
    }
}

static void test_rest_lift(void **state) {
    (void)state;
    struct pilot_forces pilot = three_way();
    struct pilot_pressures p = {
        .sensed = 4e5, .atmosphere = 1e5, .chamber = 3e5, .exhaust = 1e5, .supply = 6e5};
    pilot.diaphragm_area = 1e-4;
    double y = pilot_rest_lift(&pilot, &p, 20.0, 1e-3);
    assert_true(y > 0.0 && y < 1e-3);
    assert_close(pilot_force(&pilot, &p, 20.0, y), 0.0, 0.0, 1e-8);
    assert_true(pilot_rest_lift(&pilot, &p, 60.0, 1e-3) <= 0.0);
    assert_true(pilot_rest_lift(&pilot, &p, -300.0, 1e-3) >= 1e-3);
    const double supply = pilot.supply_area, exhaust = pilot.exhaust_area;
    assert_true(supply > 0.0 && exhaust > 0.0);
    for (int one = 0; one < 2; one++) { // a seat alone still bends the balance
        pilot.supply_area = one ? supply : 0.0;
        pilot.exhaust_area = one ? 0.0 : exhaust;
        y = pilot_rest_lift(&pilot, &p, 20.0, 1e-3);
        assert_true(y > 0.0 && y < 1e-3);
        assert_close(pilot_force(&pilot, &p, 20.0, y), 0.0, 0.0, 1e-8);
    }
    pilot.supply_area = pilot.exhaust_area = 0.0; // E: force over spring rate
    assert_close(pilot_rest_lift(&pilot, &p, 20.0, 1e-3), 10.0 / 1e5, 1e-12, 0.0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_seat_area_limits),
        cmocka_unit_test(test_seat_is_shut_below_zero),
        cmocka_unit_test(test_force_terms),
        cmocka_unit_test(test_signs_of_each_pressure),
        cmocka_unit_test(test_both_seats_push_the_same_way),
        cmocka_unit_test(test_exhaust_shuts_smoothly_at_the_lap),
        cmocka_unit_test(test_rest_lift),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
