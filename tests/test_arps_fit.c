// SPDX-License-Identifier: MIT
// Fits of the decline law: exact records give their parameters back, noisy ones are judged by how
// often the stated interval holds the truth, over many seeded records.
#include "support.h"

#include "maths/arps_fit.h"
#include "maths/statistics.h"
#include "maths/student.h"

enum { RATES_MAX = 64 };

struct made {
    double years[RATES_MAX];
    double rate[RATES_MAX];
    struct arps_record record;
};

// Monthly rates with a relative scatter, normal in ln(rate).
static void make(struct made *m, const struct arps *truth, size_t count, double scatter,
                 struct statistics_stream *stream) {
    for (size_t i = 0; i < count; i++) {
        m->years[i] = (double)i / 12.0;
        const double chance = stream ? statistics_stream_unit(stream) : 0.5;
        const double normal = statistics_normal_quantile(fmin(fmax(chance, 1e-12), 1.0 - 1e-12));
        m->rate[i] = arps_rate(truth, m->years[i]) * exp(scatter * normal);
    }
    m->record = (struct arps_record){count, m->years, m->rate};
}

static void student_table(void **state) {
    (void)state;
    // P: E. S. Pearson, H. O. Hartley, Biometrika Tables for Statisticians I (1954), table 12, 95 %
    // two-sided; value from memory.
    static const struct {
        long freedom;
        double t;
    } rows[] = {{1, 12.706}, {2, 4.303},  {3, 3.182},  {4, 2.776},  {5, 2.571},
                {9, 2.262},  {10, 2.228}, {30, 2.042}, {60, 2.000}, {120, 1.980}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        assert_close(student_quantile(0.95, rows[i].freedom), rows[i].t, 0.0, 5.1e-4);
    }
    // E: one degree of freedom is Cauchy's distribution, tan(pi/2 x 0.95).
    assert_close(student_quantile(0.95, 1), 12.706204736174705, 1e-12, 0.0);
    // E: two give t = s sqrt(2/(1 - s^2)).
    assert_close(student_quantile(0.95, 2), 0.95 * sqrt(2.0 / (1.0 - 0.95 * 0.95)), 1e-12, 0.0);
    assert_close(student_quantile(0.95, 100001), statistics_normal_quantile(0.975), 3e-5, 0.0);
}

// E: without scatter every law gives its own parameters back, by either residual.
static void exact_records(void **state) {
    (void)state;
    static const struct {
        enum arps_model model;
        struct arps truth;
    } rows[] = {
        {ARPS_EXPONENTIAL, {0.7, 0.42, 0.0}}, {ARPS_HARMONIC, {5e3, 1.3, 1.0}},
        {ARPS_HYPERBOLIC, {1e-3, 0.9, 0.5}},  {ARPS_HYPERBOLIC, {500.0, 3.91, 0.5}},
        {ARPS_HYPERBOLIC, {12.0, 2.0, 1.5}},  {ARPS_HYPERBOLIC, {12.0, 0.8, 0.15}},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        for (int residual = ARPS_LOG_RATE; residual <= ARPS_RATE; residual++) {
            struct made m;
            struct arps_fit fit;
            make(&m, &rows[i].truth, 48, 0.0, NULL);
            arps_fit(&m.record, rows[i].model, (enum arps_residual)residual, &fit);
            assert_int_equal(fit.status, ARPS_FITTED);
            assert_close(fit.curve.rate, rows[i].truth.rate, 1e-7, 0.0);
            assert_close(fit.curve.nominal, rows[i].truth.nominal, 1e-6, 0.0);
            assert_close(fit.curve.exponent, rows[i].truth.exponent, 1e-6, 1e-9);
        }
    }
}

// E: for the exponential law in ln(rate) the fit is a straight line, whose formulas are elementary.
static void straight_line(void **state) {
    (void)state;
    const struct arps truth = {2.0, 0.5, 0.0};
    struct statistics_stream stream = statistics_stream_open(3, 0);
    struct made m;
    struct arps_fit fit;
    const size_t n = 25;
    make(&m, &truth, n, 0.2, &stream);
    arps_fit(&m.record, ARPS_EXPONENTIAL, ARPS_LOG_RATE, &fit);
    double t = 0.0;
    double y = 0.0;
    for (size_t i = 0; i < n; i++) {
        t += m.years[i] / (double)n;
        y += log(m.rate[i]) / (double)n;
    }
    double tt = 0.0;
    double ty = 0.0;
    double yy = 0.0;
    for (size_t i = 0; i < n; i++) {
        tt += (m.years[i] - t) * (m.years[i] - t);
        ty += (m.years[i] - t) * (log(m.rate[i]) - y);
        yy += (log(m.rate[i]) - y) * (log(m.rate[i]) - y);
    }
    const double variance = (yy - ty * ty / tt) / ((double)n - 2.0);
    assert_close(fit.curve.nominal, -ty / tt, 1e-9, 0.0);
    assert_close(log(fit.curve.rate), y - ty / tt * t, 0.0, 1e-9);
    assert_close(fit.scatter, sqrt(variance), 1e-9, 0.0);
    // The covariance is of ln D.
    assert_close(fit.curve.nominal * sqrt(fit.covariance[1][1]), sqrt(variance / tt), 1e-9, 0.0);
    assert_close(fit.covariance[0][0], variance * (1.0 / (double)n + t * t / tt), 1e-9, 0.0);
    // The band of a straight line, and the interval as its inverse.
    double low;
    double high;
    const double at = 4.0;
    arps_fit_band(&fit, at, &low, &high);
    const double width = student_quantile(0.95, (long)n - 2) *
                         sqrt(variance * (1.0 / (double)n + (at - t) * (at - t) / tt));
    assert_close(log(high / low), 2.0 * width, 1e-8, 0.0);
    double early;
    double late;
    arps_fit_interval(&fit, low, 50.0, &early, &late);
    assert_close(early, at, 1e-9, 0.0);
    arps_fit_interval(&fit, high, 50.0, &early, &late);
    assert_close(late, at, 1e-9, 0.0);
}

static void refusals(void **state) {
    (void)state;
    struct made m;
    struct arps_fit fit;
    make(&m, &(struct arps){1.0, 0.5, 0.0}, 5, 0.0, NULL);
    arps_fit(&m.record, ARPS_EXPONENTIAL, ARPS_LOG_RATE, &fit);
    assert_int_equal(fit.status, ARPS_FITTED);
    arps_fit(&m.record, ARPS_HYPERBOLIC, ARPS_LOG_RATE, &fit);
    assert_int_equal(fit.status, ARPS_TOO_FEW);
    m.record.count = 4;
    arps_fit(&m.record, ARPS_EXPONENTIAL, ARPS_LOG_RATE, &fit);
    assert_int_equal(fit.status, ARPS_TOO_FEW);
    assert_int_equal(arps_fit_best(&fit, 1), 1);
    for (size_t i = 0; i < 12; i++) { // all at one time
        m.years[i] = 1.0;
        m.rate[i] = 1.0 + (double)i;
    }
    m.record.count = 12;
    arps_fit(&m.record, ARPS_EXPONENTIAL, ARPS_LOG_RATE, &fit);
    assert_int_equal(fit.status, ARPS_TOO_FEW);
    for (size_t i = 0; i < 12; i++) { // rising
        m.years[i] = (double)i;
    }
    arps_fit(&m.record, ARPS_HARMONIC, ARPS_LOG_RATE, &fit);
    assert_int_equal(fit.status, ARPS_NOT_DECLINING);
}

// Which law a record was made by is found again.
static size_t chosen(const struct arps *truth, double scatter, uint64_t branch,
                     struct arps_fit fits[ARPS_MODEL_COUNT]) {
    struct statistics_stream stream = statistics_stream_open(11, branch);
    struct made m;
    make(&m, truth, 60, scatter, &stream);
    for (int k = 0; k < ARPS_MODEL_COUNT; k++) {
        arps_fit(&m.record, (enum arps_model)k, ARPS_LOG_RATE, &fits[k]);
    }
    return arps_fit_best(fits, ARPS_MODEL_COUNT);
}

static void choice(void **state) {
    (void)state;
    static const struct {
        struct arps truth;
        enum arps_model expected;
    } rows[] = {
        {{1.0, 1.2, 0.0}, ARPS_EXPONENTIAL},
        {{1.0, 1.2, 1.0}, ARPS_HARMONIC},
        {{1.0, 1.2, 0.5}, ARPS_HYPERBOLIC},
    };
    struct arps_fit fits[ARPS_MODEL_COUNT];
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        // Without scatter hyperbolic fits as well as the others, and costs a parameter more.
        assert_int_equal(chosen(&rows[i].truth, 0.0, 0, fits), rows[i].expected);
        assert_close(fits[rows[i].expected].curve.nominal, rows[i].truth.nominal, 1e-6, 0.0);
        // With scatter the criterion takes a needless parameter when chi-squared of one degree
        // exceeds about 2.2, in one of seven records (P: Hurvich and Tsai; E: the share).
        size_t right = 0;
        for (uint64_t branch = 0; branch < 100; branch++) {
            right += chosen(&rows[i].truth, 0.02, branch, fits) == (size_t)rows[i].expected;
        }
        assert_true(right >= 75);
    }
    // A record that falls ever faster is none of these laws: the exponent stops at 0.
    struct made m;
    struct arps_fit fit;
    make(&m, &(struct arps){1.0, 0.6, 0.0}, 60, 0.0, NULL);
    for (size_t i = 0; i < 60; i++) {
        m.rate[i] *= exp(-0.05 * m.years[i] * m.years[i]);
    }
    arps_fit(&m.record, ARPS_HYPERBOLIC, ARPS_LOG_RATE, &fit);
    assert_int_equal(fit.status, ARPS_FITTED);
    assert_true(fit.at_bound);
    assert_close(fit.curve.exponent, 0.0, 0.0, 0.0);
}

struct coverage {
    double share; // of seeded records whose interval holds the true time of crossing
    size_t open;  // intervals without a later end
};

static struct coverage coverage(const struct arps *truth, enum arps_model model, size_t count,
                                double scatter, double rate, size_t draws) {
    size_t held = 0, open = 0;
    for (size_t i = 0; i < draws; i++) {
        struct statistics_stream stream = statistics_stream_open(2026, i);
        struct made m;
        struct arps_fit fit;
        double early;
        double late;
        make(&m, truth, count, scatter, &stream);
        arps_fit(&m.record, model, ARPS_LOG_RATE, &fit);
        assert_int_equal(fit.status, ARPS_FITTED);
        arps_fit_interval(&fit, rate, 500.0, &early, &late);
        const double when = arps_time(truth, rate);
        held += early <= when && when <= late;
        open += isinf(late) ? 1 : 0;
    }
    return (struct coverage){(double)held / (double)draws, open};
}

static void intervals(void **state) {
    (void)state;
    // E: exact for a straight line with normal scatter, so 95 % within three standard errors of
    // 1500 draws, 1.7 %.
    const struct arps line = {1.0, 0.4, 0.0};
    struct coverage of_line = coverage(&line, ARPS_EXPONENTIAL, 24, 0.15, 0.1, 1500);
    assert_close(of_line.share, 0.95, 0.0, 0.017);
    assert_int_equal(of_line.open, 0);
    assert_close(coverage(&line, ARPS_EXPONENTIAL, 7, 0.05, 0.5, 1500).share, 0.95, 0.0, 0.017);
    // Not exact any more, but close to it where the law is hardly curved in its parameters.
    const struct arps harmonic = {1.0, 0.8, 1.0};
    assert_close(coverage(&harmonic, ARPS_HARMONIC, 36, 0.1, 0.15, 600).share, 0.95, 0.0, 0.03);
    const struct arps hyperbolic = {1.0, 1.5, 0.6};
    assert_close(coverage(&hyperbolic, ARPS_HYPERBOLIC, 60, 0.05, 0.1, 300).share, 0.95, 0.0, 0.04);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(student_table), cmocka_unit_test(exact_records),
        cmocka_unit_test(straight_line), cmocka_unit_test(refusals),
        cmocka_unit_test(choice),        cmocka_unit_test(intervals),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
