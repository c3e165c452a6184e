// SPDX-License-Identifier: MIT
// Sense line against closed forms (E).
#include "models/line.h"
#include "support.h"

static const double PI = 3.14159265358979323846;

static void test_laminar_gas_line_is_hagen_poiseuille(void **state) {
    (void)state;
    // E: w = pi d^4 (p1^2 - p2^2)/(256 mu L R T/M), by hand for air in 2 m of 2 mm tube.
    double mass_constant = 8.31446261815324 * 293.15 / 0.0289647;
    double conductance = flow_laminar_gas_conductance(0.002, 2.0, 1.8e-5, 0.0289647, 293.15);
    struct line line = {.laminar = true, .gas = true, .conductance = conductance};
    struct flow_side a = {2e5, 2.4}, b = {1.9e5, 2.3};
    double expected =
        PI * pow(0.002, 4.0) * (4e10 - 3.61e10) / (256.0 * 1.8e-5 * 2.0 * mass_constant);
    assert_close(line_flow(&line, NULL, a, b), expected, 1e-12, 0.0);
    assert_close(line_flow(&line, NULL, b, a), -expected, 1e-12, 0.0);
}

static void test_laminar_liquid_line(void **state) {
    (void)state;
    // E: Q = pi d^4 dp/(128 mu L).
    double c = flow_laminar_liquid_conductance(0.003, 1.5, 0.001, 1000.0);
    struct line line = {.laminar = true, .conductance = c};
    struct flow_side a = {3e5, 1000.0}, b = {2.99e5, 1000.0};
    double expected = 1000.0 * PI * pow(0.003, 4.0) * 1e3 / (128.0 * 0.001 * 1.5);
    assert_close(line_flow(&line, NULL, a, b), expected, 1e-12, 0.0);
}

static void test_orifice_line_is_the_nozzle(void **state) {
    (void)state;
    struct nozzle nozzle = nozzle_prepare(1.27);
    struct line line = {.gas = true, .flow_area = 1e-6, .laminar_drop = 50.0};
    struct flow_side a = {4e5, 3.0}, b = {3.9e5, 2.9};
    assert_close(line_flow(&line, &nozzle, a, b), flow_nozzle(&nozzle, 1e-6, a, b, 50.0), 0.0, 0.0);
}

// With inertia, the flow at which the rate is zero is the flow without inertia.
static void test_inertia_settles_at_the_steady_flow(void **state) {
    (void)state;
    struct nozzle nozzle = nozzle_prepare(1.27);
    struct flow_side a = {4e5, 1000.0}, b = {3.999e5, 1000.0};
    struct line laminar = {.laminar = true, .gas = true, .conductance = 2e-13, .inertance = 1e6};
    double steady = line_flow(&laminar, &nozzle, a, b);
    assert_close(line_flow_rate(&laminar, a, b, steady), 0.0, 0.0, 1e-12);
    assert_close(line_flow_rate(&laminar, a, b, 0.0), 100.0 / 1e6, 1e-9, 0.0); // dp A/L
    struct line orifice = {.flow_area = 1e-6, .inertance = 1e6, .laminar_drop = 1e-6};
    steady = line_flow(&orifice, &nozzle, a, b);
    assert_close(line_flow_rate(&orifice, a, b, steady), 0.0, 0.0, 1e-11);
    assert_close(line_flow_rate(&orifice, b, a, -steady), 0.0, 0.0, 1e-11);
}

static void test_line_and_cavity_ring_as_a_resonator(void **state) {
    (void)state;
    // E: without loss, dw/dt = (A/L)(p_a - p_b) and dp_b/dt = w c^2/V is an oscillator of
    // omega = c sqrt(A/(L V)). One period by the leap-frog rule brings it back.
    struct line line = {.laminar = true, .conductance = 1e30, .inertance = 2.0 / 1e-5};
    const double sound_square = 9e4, volume = 5e-5;
    const double omega = sqrt(sound_square / (line.inertance * volume));
    struct flow_side a = {4e5, 3.0}, b = {3.999e5, 3.0};
    const int steps = 20000;
    double step = 2.0 * PI / omega / steps, w = 0.0, highest = 0.0;
    for (int i = 0; i < steps; i++) {
        w += 0.5 * step * line_flow_rate(&line, a, b, w);
        b.pressure += step * w * sound_square / volume;
        w += 0.5 * step * line_flow_rate(&line, a, b, w);
        highest = fmax(highest, b.pressure);
    }
    assert_close(b.pressure, 3.999e5, 0.0, 1e-3);
    assert_close(highest, 4.001e5, 0.0, 1e-3);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_laminar_gas_line_is_hagen_poiseuille),
        cmocka_unit_test(test_laminar_liquid_line),
        cmocka_unit_test(test_orifice_line_is_the_nozzle),
        cmocka_unit_test(test_inertia_settles_at_the_steady_flow),
        cmocka_unit_test(test_line_and_cavity_ring_as_a_resonator),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
