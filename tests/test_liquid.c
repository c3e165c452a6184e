// SPDX-License-Identifier: MIT
// Liquid properties and surge. Marks: P published, E exact algebra.
#include "models/liquid.h"
#include "support.h"

static void test_critical_ratio_factor(void **state) {
    (void)state;
    // P: IEC 60534-2-1 water example: pv 70.1 kPa, pc 22120 kPa -> FF 0.944238.
    struct liquid_properties water = {.vapour_pressure = 70.1e3, .critical_pressure = 22120e3};
    assert_close(liquid_critical_ratio_factor(&water), 0.944238, 0.0, 5e-7);
    water.vapour_pressure = 0.0; // E
    assert_close(liquid_critical_ratio_factor(&water), 0.96, 1e-15, 0.0);
}

static void test_joukowsky_surge(void **state) {
    (void)state;
    // E: D 0.6 m, wall 12 mm, K 2.1 GPa, E 200 GPa, rho 1000 -> 1173.477 m/s, and
    // 1.5 m/s stopped -> 1.760216 MPa.
    double a = liquid_wave_speed(1000.0, 2.1e9, 0.6, 0.012, 200e9);
    assert_close(a, 1173.477, 1e-6, 0.0);
    assert_close(liquid_surge_pressure(1000.0, a, 1.5), 1.760216e6, 1e-6, 0.0);
}

static void test_rigid_wall_gives_the_liquid_sound_speed(void **state) {
    (void)state; // E: sqrt(K/rho)
    assert_close(liquid_wave_speed(998.0, 2.2e9, 0.1, 1.0, 1e30), sqrt(2.2e9 / 998.0), 1e-14, 0.0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_critical_ratio_factor),
        cmocka_unit_test(test_joukowsky_surge),
        cmocka_unit_test(test_rigid_wall_gives_the_liquid_sound_speed),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
