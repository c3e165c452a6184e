// SPDX-License-Identifier: MIT
// Trim: characteristics and the share of the drop, against closed forms and bisection.
#include "models/flow.h"
#include "models/trim.h"
#include "support.h"

static const double PI = 3.14159265358979323846;

static struct trim_parameters plain(enum trim_characteristic characteristic) {
    return (struct trim_parameters){.port_diameter = 0.05,
                                    .rated_travel = 0.02,
                                    .discharge_coefficient = 0.75,
                                    .characteristic = characteristic,
                                    .rangeability = 50.0,
                                    .shutoff_travel = 0.002,
                                    .slot_width = 0.03,
                                    .piping_factor = 1.0};
}

static void test_curtain_is_curtain_and_port_in_series(void **state) {
    (void)state;
    // E: two equal-coefficient openings in series, 1/A^2 = 1/A_c^2 + 1/A_p^2.
    struct trim_parameters p = plain(TRIM_CURTAIN);
    struct trim t = trim_prepare(&p);
    double port = 0.25 * PI * 0.05 * 0.05;
    for (double x = 1e-4; x < 0.05; x *= 1.3) {
        double curtain = PI * 0.05 * x;
        double series = 1.0 / sqrt(1.0 / (curtain * curtain) + 1.0 / (port * port));
        assert_close(t.nozzle_area * trim_opening(&t, x), 0.75 * series, 1e-12, 0.0);
        // w = Cd A sqrt(2 rho dp) = A_v sqrt(rho dp)
        assert_close(t.rated_area * trim_opening(&t, x), 0.75 * series * sqrt(2.0), 1e-12, 0.0);
        assert_close(trim_curtain_ratio(&t, trim_opening(&t, x)), 4.0 * x / 0.05, 1e-10, 0.0);
    }
    p.rated_area = 1.7e-3; // a stated coefficient is the one at rated travel
    t = trim_prepare(&p);
    assert_close(t.rated_area * trim_opening(&t, 0.02), 1.7e-3, 1e-14, 0.0);
}

static void test_characteristics_at_their_points(void **state) {
    (void)state;
    struct trim_parameters p = plain(TRIM_LINEAR);
    struct trim t = trim_prepare(&p);
    assert_close(trim_opening(&t, 0.007), 0.35, 1e-15, 0.0);
    p = plain(TRIM_QUICK_OPENING), t = trim_prepare(&p);
    assert_close(trim_opening(&t, 0.01), 0.75, 1e-15, 0.0);
    assert_close(trim_opening(&t, 0.03), 1.0, 0.0, 0.0);
    // P: R^(h-1): R 50 at h 0.5 0.14142; R 30 0.18257.
    p = plain(TRIM_EQUAL_PERCENTAGE), t = trim_prepare(&p);
    assert_close(trim_opening(&t, 0.01), 0.14142, 0.0, 5e-6);
    p.rangeability = 30.0, t = trim_prepare(&p);
    assert_close(trim_opening(&t, 0.01), 0.18257, 0.0, 5e-6);
    p = plain(TRIM_SLOT), t = trim_prepare(&p);
    assert_close(t.nozzle_area * trim_opening(&t, 0.09), 0.75 * 0.03 * 0.09, 1e-14, 0.0);
}

static void test_every_characteristic_is_shut_whole_and_monotone(void **state) {
    (void)state;
    for (int c = TRIM_CURTAIN; c <= TRIM_SLOT; c++) {
        struct trim_parameters p = plain((enum trim_characteristic)c);
        p.flow_table = (struct trim_table){
            .count = 4, .position = {0.0, 0.3, 0.5, 1.0}, .value = {0.0, 0.05, 0.6, 1.0}};
        p.seat_leak = 1e-4;
        struct trim t = trim_prepare(&p);
        assert_close(trim_opening(&t, 0.0), 1e-4, 1e-12, 0.0);
        assert_close(trim_opening(&t, -0.001), 1e-4, 0.0, 0.0);
        assert_close(trim_opening(&t, 0.02), 1.0, 1e-12, 0.0);
        double last = 1e-4;
        for (int i = 1; i <= 4000; i++) {
            double now = trim_opening(&t, 0.03 * i / 4000.0);
            assert_true(now >= last);
            assert_true(now - last < 0.01 * (1.0 + now)); // no jump
            last = now;
        }
    }
}

static void test_equal_percentage_blend_is_smooth(void **state) {
    (void)state;
    // Value and slope meet at the shut-off travel (our own blend; no source).
    struct trim_parameters p = plain(TRIM_EQUAL_PERCENTAGE);
    struct trim t = trim_prepare(&p);
    double x = 0.002, h = 1e-8;
    double below = trim_opening(&t, x - h), at = trim_opening(&t, x);
    double above = trim_opening(&t, x + h);
    assert_close((at - below) / h, (above - at) / h, 1e-5, 0.0);
    assert_close((above - at) / h / at, log(50.0) / 0.02, 1e-5, 0.0); // E: d ln C/dx = ln R/x_r
}

static void test_table_is_monotone_between_monotone_points(void **state) {
    (void)state;
    // Fritsch and Carlson (1980): no overshoot, exact at the points, flat where the data is flat.
    struct trim_table table = {.count = 6,
                               .position = {0.0, 0.1, 0.2, 0.6, 0.7, 1.0},
                               .value = {0.0, 0.0, 0.02, 0.9, 0.91, 1.0}};
    trim_table_prepare(&table);
    for (size_t i = 0; i < table.count; i++) {
        assert_close(trim_table_value(&table, table.position[i]), table.value[i], 0.0, 1e-15);
    }
    double last = -1e-15, h = 1e-6;
    for (double u = -0.1; u < 1.1; u += 1e-4) {
        double now = trim_table_value(&table, u);
        assert_true(now >= last - 1e-15 && now >= 0.0 && now <= 1.0);
        last = now;
        if (u > h && u < 1.0 - h) { // continuous slope
            double left = (now - trim_table_value(&table, u - h)) / h;
            double right = (trim_table_value(&table, u + h) - now) / h;
            assert_close(left, right, 0.0, 1e-3);
        }
    }
    assert_close(trim_table_value(&table, 0.05), 0.0, 0.0, 0.0);
    struct trim_table line = {.count = 3, .position = {0.0, 0.4, 1.0}, .value = {0.0, 0.4, 1.0}};
    trim_table_prepare(&line);
    assert_close(trim_table_value(&line, 0.77), 0.77, 1e-14, 0.0); // a line stays a line
}

static void test_share_of_liquid(void **state) {
    (void)state; // E: 1/(1+s^2), steepest at s = 1/sqrt(3)
    assert_close(trim_drop_share_liquid(0.5), 0.8, 1e-15, 0.0);
    assert_close(trim_drop_share_liquid(1.0), 0.5, 1e-15, 0.0);
    double steepest = 0.0, where = 0.0, h = 1e-4;
    for (double s = h; s < 3.0; s += h) {
        double fall = trim_drop_share_liquid(s - h) - trim_drop_share_liquid(s);
        where = fall > steepest ? s : where;
        steepest = fmax(fall, steepest);
    }
    assert_close(where, 0.577, 0.0, 2e-3);
}

// Mass flow, over area and sqrt(p1 rho1), of an ideal nozzle from the textbook formula.
static double textbook_psi(double k, double r) {
    double critical = pow(2.0 / (k + 1.0), k / (k - 1.0));
    r = fmax(r, critical);
    return sqrt(2.0 * k / (k - 1.0) * (pow(r, 2.0 / k) - pow(r, (k + 1.0) / k)));
}

// Share by bisection on s psi(m) = m psi(r/m), or with the port first psi(m) = s m psi(r/m):
// stagnation temperature is kept, so both density and pressure ahead of the second opening scale
// with the middle pressure m.
static double bisected_share(double k, double s, double r, bool port_first) {
    double low = r, high = 1.0;
    for (int i = 0; i < 200; i++) {
        double m = 0.5 * (low + high);
        double first = textbook_psi(k, m), second = m * textbook_psi(k, r / m);
        bool first_passes_more = port_first ? first > s * second : s * first > second;
        *(first_passes_more ? &low : &high) = m;
    }
    return (port_first ? low - r : 1.0 - low) / (1.0 - r);
}

static void test_share_of_choked_gas(void **state) {
    (void)state;
    // C: r = 29.7/64.7, k 1.27: s 0.5 -> 0.770 (liquid 0.800), s 1 -> 0.343
    // (liquid 0.500).
    struct nozzle n = nozzle_prepare(1.27);
    assert_close(trim_drop_share_gas(&n, 0.5, 29.7 / 64.7, false), 0.770, 0.0, 5e-4);
    assert_close(trim_drop_share_gas(&n, 1.0, 29.7 / 64.7, false), 0.343, 0.0, 5e-4);
}

static void test_share_of_gas_against_bisection(void **state) {
    (void)state;
    const double exponents[] = {1.1, 1.27, 1.4, 1.66};
    for (int port_first = 0; port_first < 2; port_first++) {
        double worst = 0.0;
        for (int i = 0; i < 4; i++) {
            struct nozzle n = nozzle_prepare(exponents[i]);
            for (double s = 0.01; s < 20.0; s *= 1.15) {
                for (double r = 0.02; r < 0.999; r += 0.017) {
                    double exact = bisected_share(exponents[i], s, r, port_first != 0);
                    double share = trim_drop_share_gas(&n, s, r, port_first != 0);
                    worst = fmax(worst, fabs(share - exact));
                }
            }
        }
        print_message("worst error of the gas drop share, %s first: %.2e\n",
                      port_first ? "port" : "curtain", worst);
        assert_close(worst, 0.0, 0.0, 1e-6);
    }
}

static void test_share_where_the_curtain_alone_chokes(void **state) {
    (void)state;
    // E: flow from under the plug, choked in the curtain at the end: s m psi_max = psi(m), whatever
    // the outlet, so the pressure under the plug does not follow it and m is the same for all r.
    struct nozzle n = nozzle_prepare(1.27);
    const double s = 0.4;
    double first = (double)NAN;
    for (double r = 0.05; r < 0.45; r += 0.05) {
        double m = r + (1.0 - r) * trim_drop_share_gas(&n, s, r, true);
        assert_close(textbook_psi(1.27, m), s * m * textbook_psi(1.27, 0.0), 1e-7, 0.0);
        assert_close(m, isnan(first) ? m : first, 1e-9, 0.0);
        first = m;
    }
}

static void test_force_on_a_wide_open_plug_from_under_it(void **state) {
    (void)state;
    // C: 2.9 in port, travel 0.84 in, 44.5 % open, 69.8 psig to 15 psig (k 1.27): 331 lbf from
    // under the plug. With the curtain first it was 262 lbf, which is the force from over the plug.
    struct nozzle n = nozzle_prepare(1.27);
    double s = 4.0 * 0.445 * 0.84 / 2.9, area = 0.25 * PI * 2.9 * 2.9; // in2
    double p1 = 69.8 + 14.696, p2 = 15.0 + 14.696;
    double under = area * (p1 - p2) * trim_drop_share_gas(&n, s, p2 / p1, true);
    double over = area * (p1 - p2) * trim_drop_share_gas(&n, s, p2 / p1, false);
    assert_close(under, 331.0, 0.0, 0.5);
    assert_close(over, 262.0, 0.0, 0.5);
}

static void test_share_tends_to_liquid_and_stays_in_range(void **state) {
    (void)state;
    struct nozzle n = nozzle_prepare(1.3);
    for (double s = 1e-6; s < 1e3; s *= 1.2) {
        for (int port_first = 0; port_first < 2; port_first++) {
            bool first = port_first != 0;
            assert_close(trim_drop_share_gas(&n, s, 1.0 - 1e-5, first), trim_drop_share_liquid(s),
                         2e-5, 1e-9);
            for (double r = 0.0; r <= 1.0; r += 0.01) {
                double share = trim_drop_share_gas(&n, s, r, first);
                assert_true(share >= 0.0 && share <= 1.0);
            }
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_curtain_is_curtain_and_port_in_series),
        cmocka_unit_test(test_characteristics_at_their_points),
        cmocka_unit_test(test_every_characteristic_is_shut_whole_and_monotone),
        cmocka_unit_test(test_equal_percentage_blend_is_smooth),
        cmocka_unit_test(test_table_is_monotone_between_monotone_points),
        cmocka_unit_test(test_share_of_liquid),
        cmocka_unit_test(test_share_of_choked_gas),
        cmocka_unit_test(test_share_of_gas_against_bisection),
        cmocka_unit_test(test_share_where_the_curtain_alone_chokes),
        cmocka_unit_test(test_force_on_a_wide_open_plug_from_under_it),
        cmocka_unit_test(test_share_tends_to_liquid_and_stays_in_range),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
