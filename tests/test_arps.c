// SPDX-License-Identifier: MIT
// The law of Arps against worked numbers, against its own definition, and its limits in b.
#include "support.h"

#include "base/calendar.h"
#include "maths/arps.h"

static void worked_numbers(void **state) {
    (void)state;
    // E: 5000 bbl/d, 70 %/yr effective, exponential, 5 yr of 365.25 d.
    const struct arps exponential = {.rate = 5000.0, .nominal = arps_nominal(0.70, 0.0)};
    assert_close(CALENDAR_YEAR * arps_cumulative(&exponential, 5.0), 1513167.246, 1e-7, 0.0);
    // E: 500 bbl/d, nominal 3.91 a year, b 0.5, 5 yr.
    const struct arps hyperbolic = {.rate = 500.0, .nominal = 3.91, .exponent = 0.5};
    assert_close(arps_rate(&hyperbolic, 5.0), 4.306609, 1e-6, 0.0);
    assert_close(CALENDAR_YEAR * arps_cumulative(&hyperbolic, 5.0), 84744.78, 1e-7, 0.0);
    // E, by hand: a harmonic rate has halved when D t = 1; the cumulative is then q0/D ln 2.
    const struct arps harmonic = {.rate = 10.0, .nominal = 0.25, .exponent = 1.0};
    assert_close(arps_rate(&harmonic, 4.0), 5.0, 1e-15, 0.0);
    assert_close(arps_cumulative(&harmonic, 4.0), 40.0 * log(2.0), 1e-15, 0.0);
    assert_close(arps_time(&harmonic, 5.0), 4.0, 1e-15, 0.0);
}

// E: q = q0 / (1 + b D t)^(1/b) as Arps wrote it, and the cumulative by Simpson's rule.
static void definition(void **state) {
    (void)state;
    static const double exponents[] = {0.05, 0.3, 0.5, 0.999, 1.0, 1.3, 2.0};
    for (size_t i = 0; i < sizeof exponents / sizeof exponents[0]; i++) {
        const double b = exponents[i];
        const struct arps arps = {.rate = 3.0, .nominal = 0.8, .exponent = b};
        const double years = 7.5;
        assert_close(arps_rate(&arps, years), 3.0 * pow(1.0 + b * 0.8 * years, -1.0 / b), 1e-13,
                     0.0);
        const int steps = 4000;
        double sum = 0.0;
        for (int k = 0; k <= steps; k++) {
            const double weight = k == 0 || k == steps ? 1.0 : k % 2 ? 4.0 : 2.0;
            sum += weight * arps_rate(&arps, years * k / steps);
        }
        assert_close(arps_cumulative(&arps, years), sum * years / steps / 3.0, 1e-11, 0.0);
    }
}

static void inverse(void **state) {
    (void)state;
    for (double b = 0.0; b <= 2.0; b += 0.125) {
        const struct arps arps = {.rate = 2.0, .nominal = 0.6, .exponent = b};
        assert_close(arps_time(&arps, arps_rate(&arps, 12.5)), 12.5, 1e-13, 0.0);
        assert_close(arps_time(&arps, arps_rate(&arps, -0.5)), -0.5, 1e-13, 0.0);
        assert_close(arps_time(&arps, 2.0), 0.0, 0.0, 1e-15);
        assert_true(isinf(arps_time(&arps, 0.0)));
        // An effective decline is what is missing after one year.
        const double nominal = arps_nominal(0.35, b);
        const struct arps year = {.rate = 1.0, .nominal = nominal, .exponent = b};
        assert_close(arps_rate(&year, 1.0), 0.65, 1e-14, 0.0);
        assert_close(arps_effective(nominal, b), 0.35, 1e-14, 0.0);
    }
    // E: ln 2 a year is half a year's rate lost, exponential.
    assert_close(arps_nominal(0.5, 0.0), log(2.0), 1e-15, 0.0);
    // Beyond the pole of a hyperbolic law there is no rate.
    const struct arps pole = {.rate = 1.0, .nominal = 1.0, .exponent = 0.5};
    assert_true(isinf(arps_rate(&pole, -2.5)));
}

// b towards 0 and 1 goes over into the exponential and the harmonic law without a jump.
static void limits(void **state) {
    (void)state;
    const double near[] = {1e-9, 1e-12};
    for (size_t i = 0; i < 2; i++) {
        const struct arps exponential = {1.0, 0.5, 0.0};
        const struct arps almost = {1.0, 0.5, near[i]};
        assert_close(arps_rate(&almost, 6.0), arps_rate(&exponential, 6.0), 10.0 * near[i], 0.0);
        assert_close(arps_cumulative(&almost, 6.0), arps_cumulative(&exponential, 6.0),
                     10.0 * near[i], 0.0);
        const struct arps harmonic = {1.0, 0.5, 1.0};
        const struct arps below = {1.0, 0.5, 1.0 - near[i]};
        assert_close(arps_cumulative(&below, 6.0), arps_cumulative(&harmonic, 6.0), 10.0 * near[i],
                     0.0);
    }
}

// Slopes against central differences, on both sides of where their series takes over.
static void slopes(void **state) {
    (void)state;
    static const double exponents[] = {1e-4, 0.01, 0.039, 0.041, 0.5, 1.0, 1.7};
    for (size_t i = 0; i < sizeof exponents / sizeof exponents[0]; i++) {
        const double h = 1e-5;
        struct arps low = {1.0, 0.5, exponents[i]};
        struct arps high = low;
        const struct arps_slope slope = arps_slope_at(&low, 3.0);
        assert_close(slope.fall, -log(arps_rate(&low, 3.0)), 1e-14, 0.0);
        low.nominal *= exp(-h);
        high.nominal *= exp(h);
        const double by_nominal =
            (arps_slope_at(&high, 3.0).fall - arps_slope_at(&low, 3.0).fall) / (2.0 * h);
        assert_close(slope.by_nominal, by_nominal, 1e-9, 0.0);
        low.nominal = high.nominal = 0.5;
        low.exponent -= h;
        high.exponent += h;
        const double by_exponent =
            (arps_slope_at(&high, 3.0).fall - arps_slope_at(&low, 3.0).fall) / (2.0 * h);
        assert_close(slope.by_exponent, by_exponent, 1e-7, 0.0);
    }
    // E: the first term of the series, -(D t)^2/2.
    const struct arps exponential = {1.0, 0.5, 0.0};
    assert_close(arps_slope_at(&exponential, 3.0).by_exponent, -1.125, 1e-15, 0.0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_numbers), cmocka_unit_test(definition), cmocka_unit_test(inverse),
        cmocka_unit_test(limits),         cmocka_unit_test(slopes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
