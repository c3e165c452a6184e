// SPDX-License-Identifier: MIT
// Intervals, ranks, correlations and shares of variance against closed forms, published values and
// the functions of GSL.
#include "support.h"

#include "maths/statistics.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_sf_gamma.h>
#include <gsl/gsl_statistics_double.h>

enum { MANY = 4096 };

static double x[MANY], y[MANY];

// The sequence of seed 1234567 that implementations of this generator are commonly checked against
// (common practice, no one source).
static void test_stream(void **state) {
    (void)state;
    static const uint64_t expected[] = {6457827717110365317U, 3203168211198807973U,
                                        9817491932198370423U, 4593380528125082431U,
                                        16408922859458223821U};
    struct statistics_stream stream = {1234567};
    for (size_t i = 0; i < sizeof expected / sizeof expected[0]; i++) {
        assert_true(statistics_stream_next(&stream) == expected[i]);
    }
    struct statistics_stream a = statistics_stream_open(1, 2), b = statistics_stream_open(2, 1);
    assert_true(statistics_stream_next(&a) != statistics_stream_next(&b));
    double sum = 0.0;
    for (size_t i = 0; i < MANY; i++) {
        double unit = statistics_stream_unit(&a);
        assert_true(unit >= 0.0 && unit < 1.0);
        sum += unit / MANY;
    }
    assert_close(sum, 0.5, 0.0, 4.0 / sqrt(12.0 * MANY)); // four standard errors of the mean
}

// E: values by GSL, which computes them in another way.
static void test_normal_quantile(void **state) {
    (void)state;
    for (double p = 1e-9; p < 1.0; p += 0.000987) {
        assert_close(statistics_normal_quantile(p), gsl_cdf_ugaussian_Pinv(p), 1e-12, 1e-13);
    }
    assert_close(statistics_normal_quantile(0.5), 0.0, 0.0, 1e-15);
    assert_close(statistics_normal_quantile(0.975), 1.959963984540054, 1e-14, 0.0);
}

// P: R. G. Newcombe, Statistics in Medicine 17 (1998) 857-872, table I, method 3; four decimals.
static void test_wilson_published(void **state) {
    (void)state;
    static const struct {
        size_t hits, count;
        double low, high;
    } rows[] = {{81, 263, 0.2553, 0.3662},
                {15, 148, 0.0624, 0.1605},
                {0, 20, 0.0, 0.1611},
                {1, 29, 0.0061, 0.1718}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct statistics_interval w = statistics_wilson(rows[i].hits, rows[i].count, 0.95);
        assert_close(w.low, rows[i].low, 0.0, 5.1e-5);
        assert_close(w.high, rows[i].high, 0.0, 5.1e-5);
    }
}

// E: each end q of the interval is where the share seen is z standard errors away from q.
static void test_wilson_defining_equation(void **state) {
    (void)state;
    for (size_t count = 1; count < 300; count += 23) {
        for (size_t hits = 0; hits <= count; hits++) {
            struct statistics_interval w = statistics_wilson(hits, count, 0.90);
            double p = (double)hits / (double)count, z = statistics_normal_quantile(0.95);
            double ends[] = {w.low, w.high};
            for (size_t i = 0; i < 2; i++) {
                double q = ends[i];
                double error = z * sqrt(q * (1.0 - q) / (double)count);
                assert_close(fabs(p - q), error, 1e-9, 1e-12);
            }
            assert_true(w.low >= 0.0 && w.low <= p && p <= w.high && w.high <= 1.0);
        }
    }
    struct statistics_interval none = statistics_wilson(0, 0, 0.95);
    assert_true(none.low == 0.0 && none.high == 1.0);
    assert_true(statistics_wilson(0, 20, 0.95).low == 0.0);
    assert_true(statistics_wilson(20, 20, 0.95).high == 1.0);
}

static void test_ranks(void **state) {
    (void)state;
    const double value[] = {3.0, -1.0, 3.0, 7.0, 3.0, -1.0};
    const double expected[] = {4.0, 1.5, 4.0, 6.0, 4.0, 1.5}; // E
    double rank[6];
    size_t order[6];
    assert_int_equal(statistics_ranks(value, 6, rank), 0);
    for (size_t i = 0; i < 6; i++) {
        assert_true(rank[i] == expected[i]);
    }
    const size_t places[] = {1, 5, 0, 2, 4, 3};
    assert_int_equal(statistics_order(value, 6, order), 0);
    assert_memory_equal(order, places, sizeof places);
    assert_int_equal(statistics_ranks(value, 0, rank), 0);
}

static void test_spearman_without_ties(void **state) {
    (void)state;
    const double a[] = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10};
    const double b[] = {1, 6, 8, 7, 10, 9, 3, 5, 2, 4};
    double squares = 0.0;
    for (size_t i = 0; i < 10; i++) {
        squares += (a[i] - b[i]) * (a[i] - b[i]);
    }
    // E: without ties it is 1 - 6 sum d^2 / (n (n^2 - 1)), here -29/165.
    assert_true(squares == 194.0);
    assert_close(statistics_spearman(a, b, 10), -29.0 / 165.0, 1e-14, 0.0);
    assert_close(statistics_spearman(a, a, 10), 1.0, 1e-15, 0.0);
    double reversed[10], curved[10];
    for (size_t i = 0; i < 10; i++) {
        reversed[i] = -exp(a[i]);
        curved[i] = a[i] * a[i] * a[i];
    }
    assert_close(statistics_spearman(a, reversed, 10), -1.0, 1e-15, 0.0);
    assert_close(statistics_spearman(curved, b, 10), -29.0 / 165.0, 1e-14, 0.0);
}

static void test_spearman_with_ties(void **state) {
    (void)state;
    // E: mean ranks (1, 2.5, 2.5, 4) against (1, 2, 3, 4): covariance 4.5, squares 4.5 and 5.
    const double a[] = {1, 2, 2, 3}, b[] = {10, 20, 30, 40}, same[] = {5, 5, 5, 5};
    assert_close(statistics_spearman(a, b, 4), 4.5 / sqrt(4.5 * 5.0), 1e-14, 0.0);
    assert_true(isnan(statistics_spearman(a, same, 4)));
    assert_true(isnan(statistics_spearman(same, a, 4)));
    assert_true(isnan(statistics_spearman(a, b, 2)));
    struct statistics_stream stream = statistics_stream_open(7, 0);
    for (size_t count = 5; count <= 200; count += 39) {
        for (size_t i = 0; i < count; i++) {
            x[i] = floor(8.0 * statistics_stream_unit(&stream));
            y[i] = floor(3.0 * statistics_stream_unit(&stream)) + 0.3 * x[i];
        }
        double work[2 * 200];
        double expected = gsl_stats_spearman(x, 1, y, 1, count, work);
        assert_close(statistics_spearman(x, y, count), expected, 1e-12, 1e-14);
    }
}

static void test_spearman_chance(void **state) {
    (void)state;
    for (double r = -0.998; r < 1.0; r += 0.037) {
        // E: Student's t with 1 and 2 degrees of freedom has closed forms.
        double t = fabs(r) / sqrt(1.0 - r * r);
        assert_close(statistics_spearman_chance(r, 3), 1.0 - 2.0 / acos(-1.0) * atan(t), 1e-12,
                     1e-14);
        t *= sqrt(2.0);
        assert_close(statistics_spearman_chance(r, 4), 1.0 - t / sqrt(2.0 + t * t), 1e-12, 1e-14);
        for (size_t count = 5; count < 12000; count = count * 5 / 3) {
            double expected =
                gsl_sf_beta_inc(0.5 * (double)count - 1.0, 0.5, (1.0 - r) * (1.0 + r));
            assert_close(statistics_spearman_chance(r, count), expected, 1e-10, 1e-12);
        }
    }
    // As printed in every table of Student's t: 2.228 is exceeded by 5 % with 10 degrees of
    // freedom.
    assert_close(statistics_spearman_chance(2.228 / sqrt(2.228 * 2.228 + 10.0), 12), 0.05, 1e-3,
                 0.0);
    assert_true(statistics_spearman_chance(1.0, 10) == 0.0);
    assert_true(statistics_spearman_chance(0.0, 10) == 1.0);
    assert_true(isnan(statistics_spearman_chance((double)NAN, 10)));
    assert_true(isnan(statistics_spearman_chance(0.5, 2)));
}

static void test_first_order_of_simple_functions(void **state) {
    (void)state;
    struct statistics_stream stream = statistics_stream_open(11, 0);
    for (size_t i = 0; i < MANY; i++) {
        x[i] = 2.0 * statistics_stream_unit(&stream) - 1.0;
        y[i] = x[i] * x[i];
    }
    // A valley has no rank correlation, yet x alone decides it.
    assert_close(statistics_spearman(x, y, MANY), 0.0, 0.0, 0.06);
    assert_close(statistics_first_order(x, y, MANY, 32), 1.0, 0.0, 0.01);
    for (size_t i = 0; i < MANY; i++) {
        y[i] = statistics_stream_unit(&stream);
    }
    // Four standard errors of an unrelated column: sqrt(2 (bins - 1))/count.
    assert_close(statistics_first_order(x, y, MANY, 32), 0.0, 0.0, 4.0 * sqrt(62.0) / MANY);
    assert_true(isnan(statistics_first_order(x, y, 10, 8)));
    assert_true(isnan(statistics_first_order(x, y, 10, 1)));
    for (size_t i = 0; i < MANY; i++) {
        y[i] = 3.0;
    }
    assert_true(isnan(statistics_first_order(x, y, MANY, 32)));
}

// E: Ishigami and Homma (1990), sin a + 7 sin^2 b + 0.1 c^4 sin a on (-pi, pi)^3: first-order
// indices 0.3139, 0.4424 and 0.
static void test_first_order_of_ishigami(void **state) {
    (void)state;
    static double z[MANY], value[MANY];
    const double pi = acos(-1.0);
    double sums[3] = {0.0};
    enum { REPEATS = 20 };
    for (uint64_t repeat = 0; repeat < REPEATS; repeat++) {
        struct statistics_stream stream = statistics_stream_open(13, repeat);
        for (size_t i = 0; i < MANY; i++) {
            x[i] = pi * (2.0 * statistics_stream_unit(&stream) - 1.0);
            y[i] = pi * (2.0 * statistics_stream_unit(&stream) - 1.0);
            z[i] = pi * (2.0 * statistics_stream_unit(&stream) - 1.0);
            value[i] = sin(x[i]) + 7.0 * sin(y[i]) * sin(y[i]) + 0.1 * pow(z[i], 4.0) * sin(x[i]);
        }
        sums[0] += statistics_first_order(x, value, MANY, 64) / REPEATS;
        sums[1] += statistics_first_order(y, value, MANY, 64) / REPEATS;
        sums[2] += statistics_first_order(z, value, MANY, 64) / REPEATS;
    }
    assert_close(sums[0], 0.3139, 0.0, 0.01);
    assert_close(sums[1], 0.4424, 0.0, 0.01);
    assert_close(sums[2], 0.0, 0.0, 0.01);
}

int main(void) {
    gsl_set_error_handler_off(); // it would abort where a tail underflows to 0
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_stream),
        cmocka_unit_test(test_normal_quantile),
        cmocka_unit_test(test_wilson_published),
        cmocka_unit_test(test_wilson_defining_equation),
        cmocka_unit_test(test_ranks),
        cmocka_unit_test(test_spearman_without_ties),
        cmocka_unit_test(test_spearman_with_ties),
        cmocka_unit_test(test_spearman_chance),
        cmocka_unit_test(test_first_order_of_simple_functions),
        cmocka_unit_test(test_first_order_of_ishigami),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
