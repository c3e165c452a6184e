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
    // E: far above the Reynolds number at which friction counts it is the plain nozzle, subsonic
    // and choked, in both directions.
    struct nozzle nozzle = nozzle_prepare(1.27);
    struct line line = {.gas = true, .flow_area = 1e-6, .creep = 1.0};
    struct flow_side a = {4e5, 3.0}, b = {3.9e5, 2.9}, c = {1e5, 0.8};
    assert_close(line_flow(&line, &nozzle, a, b), flow_nozzle(&nozzle, 1e-6, a, b, 1e-9), 1e-6,
                 0.0);
    assert_close(line_flow(&line, &nozzle, a, c), flow_nozzle(&nozzle, 1e-6, a, c, 1e-9), 1e-6,
                 0.0);
    assert_close(line_flow(&line, &nozzle, c, a), -line_flow(&line, &nozzle, a, c), 1e-14, 0.0);
    struct line liquid = {.flow_area = 1e-6};
    struct flow_side d = {4e5, 1000.0}, e = {3e5, 1000.0};
    assert_close(line_flow(&liquid, NULL, d, e), 1e-6 * sqrt(2.0 * 1000.0 * 1e5), 1e-14, 0.0);
    assert_close(line_flow(&liquid, NULL, d, d), 0.0, 0.0, 0.0);
}

static void test_slow_flow_through_a_hole(void **state) {
    (void)state;
    // E: Sampson (1891), a thin wall: Q = d^3 dp/(24 mu); Poiseuille, a long tube: pi d^4 dp/(128
    // mu L). Water and gas alike, and Cd = sqrt(Re/(12 pi)) for the thin wall.
    const double d = 0.004, mu = 1e-3, density = 1000.0;
    struct flow_side a = {1e5 + 1e-7, density}, b = {1e5, density};
    double drop = a.pressure - b.pressure; // as rounded
    struct line thin = {.flow_area = 0.8 * 0.25 * PI * d * d, .creep = flow_creep(d, 0.0, mu)};
    double expected = density * d * d * d * drop / (24.0 * mu);
    assert_close(line_flow(&thin, NULL, a, b), expected, 1e-4, 0.0);
    double speed = expected / density / (0.25 * PI * d * d), reynolds = density * speed * d / mu;
    assert_close(speed / sqrt(2.0 * drop / density), sqrt(reynolds / (12.0 * PI)), 1e-10, 0.0);
    struct line tube = thin;
    tube.creep = flow_creep(d, 100.0, mu);
    expected = density * PI * pow(d, 4.0) * drop / (128.0 * mu * 100.0);
    assert_close(line_flow(&tube, NULL, a, b), expected, 1e-4, 0.0);
    tube.gas = true;
    struct nozzle nozzle = nozzle_prepare(1.3);
    assert_close(line_flow(&tube, &nozzle, a, b), expected, 1e-4, 0.0);
}

static void test_orifice_turns_linear_at_its_reynolds_number(void **state) {
    (void)state;
    // E: at Re = (12 pi + 64 L/d) Cd^2 both losses are equal: the flow is sqrt(2) below the root
    // law.
    const double d = 0.0038, mu = 1.1e-5, density = 4.0, discharge = 0.8;
    for (double bores = 0.0; bores < 100.0; bores = 4.0 * bores + 5.0) {
        double reynolds = (12.0 * PI + 64.0 * bores) * discharge * discharge;
        double area = 0.25 * PI * d * d, flow = reynolds * mu / d * area;
        double root_drop = pow(flow / (discharge * area), 2.0) / (2.0 * density);
        struct line line = {.flow_area = discharge * area, .creep = flow_creep(d, bores * d, mu)};
        struct flow_side a = {4e5 + 2.0 * root_drop, density}, b = {4e5, density};
        assert_close(line_flow(&line, NULL, a, b), flow, 1e-6, 0.0);
    }
}

static void test_orifice_is_smooth_through_zero(void **state) {
    (void)state;
    struct nozzle nozzle = nozzle_prepare(1.27);
    struct line line = {.gas = true, .flow_area = 1e-5, .creep = flow_creep(0.0038, 0.076, 1.1e-5)};
    struct flow_side a = {4e5, 4.0}, b = {4e5, 4.0};
    double last = (double)NAN, h = 1e-4;
    for (double drop = -0.2; drop < 0.2; drop += h) {
        b.pressure = 4e5 - drop;
        double low = line_flow(&line, &nozzle, a, b);
        b.pressure = 4e5 - drop - h;
        double slope = (line_flow(&line, &nozzle, a, b) - low) / h;
        assert_true(slope > 0.0 && (isnan(last) || fabs(slope / last - 1.0) < 0.01));
        last = slope;
    }
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
    struct line orifice = {.flow_area = 1e-6, .inertance = 1e6, .creep = 1e9};
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
        cmocka_unit_test(test_slow_flow_through_a_hole),
        cmocka_unit_test(test_orifice_turns_linear_at_its_reynolds_number),
        cmocka_unit_test(test_orifice_is_smooth_through_zero),
        cmocka_unit_test(test_inertia_settles_at_the_steady_flow),
        cmocka_unit_test(test_line_and_cavity_ring_as_a_resonator),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
