// SPDX-License-Identifier: MIT
// Inflow and demand that depend on pressure, against closed forms (E).
#include "models/flow.h"
#include "models/inflow.h"
#include "support.h"

static void test_constant_demand_fades(void **state) {
    (void)state; // E: whole above the last 5 %, half-way through its blend at half, nothing below
    assert_close(inflow_constant_demand(2.0, 4e5, 4e5, 1e5), 2.0, 0.0, 0.0);
    assert_close(inflow_constant_demand(2.0, 1.15e5, 4e5, 1e5), 2.0, 1e-12, 0.0);
    assert_close(inflow_constant_demand(2.0, 1.075e5, 4e5, 1e5), 1.0, 1e-12, 0.0);
    assert_close(inflow_constant_demand(2.0, 0.9e5, 4e5, 1e5), 0.0, 0.0, 0.0);
}

static void test_productivity_line(void **state) {
    (void)state;
    // E: straight through the rate at the reference and zero at shut-in; a check valve beyond.
    assert_close(inflow_productivity(0.04, 4e5, 4e5, 9e5), 0.04, 1e-15, 0.0);
    assert_close(inflow_productivity(0.04, 6.5e5, 4e5, 9e5), 0.02, 1e-14, 0.0);
    assert_close(inflow_productivity(0.04, 1.5e5, 4e5, 9e5), 0.06, 1e-14, 0.0);
    assert_close(inflow_productivity(0.04, 9e5, 4e5, 9e5), 0.0, 0.0, 1e-18);
    assert_close(inflow_productivity(0.04, 12e5, 4e5, 9e5), 0.0, 0.0, 0.0);
    assert_close(inflow_productivity(0.04, 12e5, 4e5, 0.0), 0.04, 0.0, 0.0); // no dependence
}

static void test_choked_demand_follows_pressure(void **state) {
    (void)state;
    struct nozzle nozzle = nozzle_prepare(1.4);
    // E: choked flow at one temperature is proportional to pressure.
    assert_close(inflow_orifice_demand(&nozzle, 0.1, 4e5, 4e5, 1e5, 1.0), 0.1, 1e-15, 0.0);
    assert_close(inflow_orifice_demand(&nozzle, 0.1, 3e5, 4e5, 1e5, 1.0), 0.075, 1e-14, 0.0);
    // E: subsonic, w ~ p psi(outlet/p), psi^2 = 2k/(k-1) (r^(2/k) - r^((k+1)/k)).
    double r = 1.0 / 1.2, s = 1.0 / 1.5, k = 1.4;
    double psi_now = sqrt(pow(r, 2.0 / k) - pow(r, (k + 1.0) / k));
    double psi_rated = sqrt(pow(s, 2.0 / k) - pow(s, (k + 1.0) / k));
    double expected = 0.1 * 1.2 * psi_now / (1.5 * psi_rated);
    assert_close(inflow_orifice_demand(&nozzle, 0.1, 1.2e5, 1.5e5, 1e5, 1.0), expected, 1e-8, 0.0);
}

static void test_liquid_demand_is_a_root(void **state) {
    (void)state; // E
    assert_close(inflow_orifice_demand_liquid(2.0, 5e5, 5e5, 1e5, 1e-3), 2.0, 1e-15, 0.0);
    assert_close(inflow_orifice_demand_liquid(2.0, 2e5, 5e5, 1e5, 1e-3), 1.0, 1e-12, 0.0);
    assert_close(inflow_orifice_demand_liquid(2.0, 1e5, 5e5, 1e5, 1e-3), 0.0, 0.0, 1e-15);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_constant_demand_fades),
        cmocka_unit_test(test_productivity_line),
        cmocka_unit_test(test_choked_demand_follows_pressure),
        cmocka_unit_test(test_liquid_demand_is_a_root),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
