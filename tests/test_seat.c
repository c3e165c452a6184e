// SPDX-License-Identifier: MIT
// Pressure over the seat land: limits in closed form (E), and the whole against an integration of
// the momentum equation along the gap, step by step (C).
#include "models/seat.h"
#include "support.h"

static const double PI = 3.14159265358979323846;
static const double VISCOSITY = 1.1e-5, FACTOR = 0.03;

static struct seat_flow liquid(double entry, double exit, bool inward) {
    return (struct seat_flow){entry, exit, 900.0, 0.0, inward};
}

// Share of the drop left over the land.
static double share(const struct seat *seat, double gap, const struct seat_flow *flow) {
    return (seat_land_pressure(seat, gap, flow) - flow->exit) / (flow->entry - flow->exit);
}

static void test_areas(void **state) {
    (void)state;
    struct seat seat = seat_prepare(0.05, 0.002, VISCOSITY);
    assert_close(seat.inner_area, 0.25 * PI * 0.05 * 0.05, 1e-14, 0.0);
    assert_close(seat.inner_area + seat.land_area, 0.25 * PI * 0.054 * 0.054, 1e-14, 0.0);
    seat = seat_prepare(0.05, 0.0, VISCOSITY);
    assert_close(seat.land_area, 0.0, 0.0, 0.0);
}

static void test_slow_flow_falls_as_the_logarithm(void **state) {
    (void)state;
    // E: Poiseuille flow between discs, p linear in ln r; its mean over the area by Simpson's rule.
    const double a = 0.02, b = 0.03;
    struct seat seat = seat_prepare(2.0 * a, b - a, 1e-3);
    double sum = 0.0, weight = 0.0;
    for (int i = 0; i <= 2000; i++) {
        double r = a + (b - a) * i / 2000.0;
        double w = (i == 0 || i == 2000 ? 1.0 : i % 2 ? 4.0 : 2.0) * r;
        sum += w * log(r / a) / log(b / a);
        weight += w;
    }
    struct seat_flow in = liquid(5e5, 1e5, true), out = liquid(5e5, 1e5, false);
    assert_close(share(&seat, 0.0, &in), sum / weight, 1e-10, 0.0);
    assert_close(share(&seat, 0.0, &out), 1.0 - sum / weight, 1e-10, 0.0);
    assert_close(share(&seat, -1e-4, &in), sum / weight, 1e-10, 0.0); // pressed into the seat: shut
    seat = seat_prepare(0.07, 1e-4, 1e-3); // a narrow land sees the middle
    assert_close(share(&seat, 0.0, &in), 0.5, 0.0, 5e-4);
    assert_close(share(&seat, 0.0, &out), 0.5, 0.0, 5e-4);
}

static void test_free_flow_follows_bernoulli(void **state) {
    (void)state;
    // E: p_entry - p = rho u^2/2, u r = constant. Inward the land keeps 1 - (a/r)^2 of the drop;
    // outward the gap is a diffuser and the land lies below the exit pressure by (b/r)^2 - 1.
    const double a = 0.02, b = 0.03, span = b * b - a * a;
    struct seat seat = seat_prepare(2.0 * a, b - a, 0.0);
    double inward = 1.0 - 2.0 * a * a * log(b / a) / span;
    double outward = 1.0 - 2.0 * b * b * log(b / a) / span;
    assert_true(inward > 0.3 && outward < -0.4);
    struct seat_flow in = liquid(5e5, 1e5, true), out = liquid(5e5, 1e5, false);
    assert_close(share(&seat, 1.0, &in), inward, 3e-4, 0.0); // what is left is turbulent friction
    assert_close(share(&seat, 1.0, &out), outward, 6e-4, 0.0);
}

// Drop from entry to exit and mean share over the land for an exit speed, marching along the gap.
static double march(double a, double b, double h, double speed, bool inward, double *mean) {
    enum { N = 20000 };
    const double density = 900.0, viscosity = 1e-3; // oil
    double from = inward ? b : a, to = inward ? a : b;
    double head = speed * to / from;
    double level = -0.5 * density * head * head, p0 = level, sum = 0.0, weight = 0.0; // entry: 0
    for (int i = 0; i < N; i++) { // midpoint rule on dp/ds
        double step = fabs(to - from) / N;
        double r = from + (to - from) * (i + 0.5) / N, u = speed * to / r;
        double grow = inward ? u / r : -u / r; // du/ds
        double slope = -density * u * grow - 12.0 * viscosity * u / (h * h) -
                       FACTOR * density * u * u / (4.0 * h);
        double middle = level + 0.5 * step * slope;
        level += step * slope;
        sum += middle * r;
        weight += r;
    }
    assert_true(level < 0.0 && p0 <= 0.0);
    *mean = (sum / weight - level) / -level;
    return -level;
}

static void test_liquid_against_the_momentum_equation(void **state) {
    (void)state;
    double worst = 0.0;
    for (int inward = 0; inward < 2; inward++) {
        for (double width = 2e-4; width < 2e-2; width *= 4.0) {
            for (double h = 3e-6; h < 3e-3; h *= 2.0) {
                double a = 0.025, b = a + width, mean, speed = 15.0;
                double drop = march(a, b, h, speed, inward != 0, &mean);
                struct seat seat = seat_prepare(2.0 * a, width, 1e-3);
                struct seat_flow flow = liquid(1e5 + drop, 1e5, inward != 0);
                worst = fmax(worst, fabs(share(&seat, h, &flow) - mean));
            }
        }
    }
    print_message("worst error of the land's share, liquid: %.2e\n", worst);
    assert_close(worst, 0.0, 0.0, 1e-6);
}

static void test_slow_gas_falls_as_the_square(void **state) {
    (void)state;
    // E: isothermal Poiseuille flow of a gas, p^2 linear across a narrow land; mean of its root.
    struct seat seat = seat_prepare(0.07, 1e-4, VISCOSITY);
    const double p1 = 4.5e5, p2 = 1.2e5;
    struct seat_flow flow = {p1, p2, 4.0, 0.55, true};
    double mean = 2.0 / 3.0 * (p1 * p1 * p1 - p2 * p2 * p2) / (p1 * p1 - p2 * p2);
    assert_close(seat_land_pressure(&seat, 0.0, &flow), mean, 6e-4, 0.0);
}

static void test_choked_gas_keeps_the_critical_pressure(void **state) {
    (void)state;
    // E: a narrow gap without friction passes its entry at the critical pressure, not at the
    // exit's.
    struct seat seat = seat_prepare(0.07, 1e-5, 0.0);
    struct seat_flow flow = {4e5, 0.5e5, 4.0, 0.55, true};
    assert_close(seat_land_pressure(&seat, 0.1, &flow), 0.55 * 4e5, 1e-3, 0.0);
    flow.exit = 3e5; // not choked
    assert_close(seat_land_pressure(&seat, 0.1, &flow), 3e5, 1e-3, 0.0);
}

static void test_smooth_through_zero_and_through_choking(void **state) {
    (void)state;
    struct seat seat = seat_prepare(0.07, 0.002, VISCOSITY);
    for (int inward = 0; inward < 2; inward++) {
        double last_slope = (double)NAN, h = 50.0;
        for (double p = 0.3e5; p < 3.99e5; p += h) { // nearer to no drop friction takes over
            struct seat_flow low = {4e5, p, 4.0, 0.55, inward != 0}, high = low;
            high.exit = p + h;
            double slope =
                (seat_land_pressure(&seat, 2e-4, &high) - seat_land_pressure(&seat, 2e-4, &low)) /
                h;
            assert_true(isnan(last_slope) || fabs(slope - last_slope) < 5e-3);
            last_slope = slope;
        }
        struct seat_flow none = {4e5, 4e5, 4.0, 0.55, inward != 0};
        assert_close(seat_land_pressure(&seat, 2e-4, &none), 4e5, 1e-14, 0.0);
        assert_close(seat_land_pressure(&seat, 0.0, &none), 4e5, 1e-14, 0.0);
    }
}

// The finding: what an inward-flow land does to the force falls within hundredths of its width and
// holds the plug off its seat; beyond that nothing changes with the gap. The steepest change of the
// force is not that of an area running from outer to inner diameter over the width of the land.
static void test_land_is_weak_beyond_its_friction(void **state) {
    (void)state;
    const double width = 0.0015;
    struct seat seat = seat_prepare(0.0737, width, VISCOSITY);
    struct seat_flow in = {4.5e5, 3.0e5, 3.5, 0.552, true};
    double last = share(&seat, 0.0, &in);
    for (double h = 1e-6; h < 3.0 * width; h *= 1.2) {
        double now = share(&seat, h, &in);
        assert_true(now <= last + 1e-12); // the closing push grows with the gap: it holds it off
        last = now;
    }
    double tenth = share(&seat, 0.1 * width, &in), twice = share(&seat, 2.0 * width, &in);
    assert_true(tenth - twice < 0.08 && share(&seat, 0.0, &in) - tenth > 0.4);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_areas),
        cmocka_unit_test(test_slow_flow_falls_as_the_logarithm),
        cmocka_unit_test(test_free_flow_follows_bernoulli),
        cmocka_unit_test(test_liquid_against_the_momentum_equation),
        cmocka_unit_test(test_slow_gas_falls_as_the_square),
        cmocka_unit_test(test_choked_gas_keeps_the_critical_pressure),
        cmocka_unit_test(test_smooth_through_zero_and_through_choking),
        cmocka_unit_test(test_land_is_weak_beyond_its_friction),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
