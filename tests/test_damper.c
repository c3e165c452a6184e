// SPDX-License-Identifier: MIT
// Oil damper against its closed forms (E): laminar and entrance loss, inertia, fill.
#include "models/damper.h"
#include "support.h"

static const double PI = 3.14159265358979323846;

static const struct oil_damper_parameters FULL = {.displaced_area = 0.01,
                                                  .hole_diameter = 0.003,
                                                  .hole_length = 0.02,
                                                  .oil_density = 870.0,
                                                  .oil_viscosity = 0.05,
                                                  .discharge = 0.7,
                                                  .level = 0.01};

static void test_slow_oil_is_poiseuille(void **state) {
    (void)state;
    // E: F = 8 pi mu L v (A_h/a)^2 for laminar flow; at 1e-9 m/s the entrance loss is nothing.
    double hole = 0.25 * PI * 0.003 * 0.003;
    double expected = 8.0 * PI * 0.05 * 0.02 * 1e-9 * pow(0.01 / hole, 2.0);
    assert_close(damper_oil_force(&FULL, 1e-9), expected, 1e-6, 0.0);
}

static void test_fast_oil_is_an_orifice(void **state) {
    (void)state;
    // E: drop rho u^2/(2 Cd^2) over A_h, with a viscosity of nothing.
    struct oil_damper_parameters thin = FULL;
    thin.oil_viscosity = 0.0;
    double u = 0.1 * 0.01 / (0.25 * PI * 0.003 * 0.003);
    double expected = 0.01 * 870.0 * u * u / (2.0 * 0.49);
    assert_close(damper_oil_force(&thin, 0.1), expected, 1e-12, 0.0);
    assert_close(damper_oil_force(&thin, -0.1), -expected, 1e-12, 0.0);
}

static void test_oil_force_always_opposes(void **state) {
    (void)state;
    double last = 0.0;
    for (double v = 1e-6; v < 10.0; v *= 1.5) { // odd, and rising with speed
        double force = damper_oil_force(&FULL, v);
        assert_true(force > last);
        assert_close(damper_oil_force(&FULL, -v), -force, 1e-15, 0.0);
        last = force;
    }
    assert_close(damper_oil_force(&FULL, 0.0), 0.0, 0.0, 0.0);
}

static void test_oil_mass_is_kinetic_energy_of_the_hole(void **state) {
    (void)state;
    // E: half m v^2 = half rho a L u^2 with u = v A_h/a. A 3 mm hole carries tens of plug masses.
    double hole = 0.25 * PI * 0.003 * 0.003;
    assert_close(damper_oil_mass(&FULL), 870.0 * 0.02 * 1e-4 / hole, 1e-12, 0.0);
    assert_true(damper_oil_mass(&FULL) > 100.0);
}

static void test_fill_ramps_over_the_hole(void **state) {
    (void)state;
    struct oil_damper_parameters oil = FULL;
    const double level[] = {-0.001, 0.0, 0.00075, 0.0015, 0.003, 1.0};
    const double fill[] = {0.0, 0.0, 0.25, 0.5, 1.0, 1.0};
    for (int i = 0; i < 6; i++) {
        oil.level = level[i];
        assert_close(damper_fill(&oil), fill[i], 1e-14, 0.0);
        assert_close(damper_oil_force(&oil, 0.02), fill[i] * damper_oil_force(&FULL, 0.02), 1e-14,
                     0.0);
        assert_close(damper_oil_mass(&oil), fill[i] * damper_oil_mass(&FULL), 1e-14, 0.0);
    }
}

static void test_no_damper(void **state) {
    (void)state; // all zero means absent, not a division by zero
    struct oil_damper_parameters none = {.displaced_area = 0.0};
    assert_close(damper_fill(&none), 0.0, 0.0, 0.0);
    assert_close(damper_oil_force(&none, 1.0), 0.0, 0.0, 0.0);
    assert_close(damper_oil_mass(&none), 0.0, 0.0, 0.0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_slow_oil_is_poiseuille),
        cmocka_unit_test(test_fast_oil_is_an_orifice),
        cmocka_unit_test(test_oil_force_always_opposes),
        cmocka_unit_test(test_oil_mass_is_kinetic_energy_of_the_hole),
        cmocka_unit_test(test_fill_ramps_over_the_hole),
        cmocka_unit_test(test_no_damper),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
