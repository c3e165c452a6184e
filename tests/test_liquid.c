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
    // E: 1.5 m/s stopped in 1000 kg/m3 with waves of 1173.477 m/s -> 1.760216 MPa.
    assert_close(liquid_surge_pressure(1000.0, 1173.477, 1.5), 1.760216e6, 1e-6, 0.0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_critical_ratio_factor),
        cmocka_unit_test(test_joukowsky_surge),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
