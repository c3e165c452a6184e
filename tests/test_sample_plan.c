// SPDX-License-Identifier: MIT
// Latin hypercubes: every stratum once, same seed same draws, shapes by their closed forms, and
// rank correlations as asked for.
#include "support.h"

#include "maths/sample_plan.h"

enum { COUNT = 500, WIDTH = 6 };

static double plan[COUNT * WIDTH], other[COUNT * WIDTH];

static void assert_stratified(const double *probability, size_t count, size_t width) {
    for (size_t j = 0; j < width; j++) {
        bool seen[COUNT] = {false};
        for (size_t i = 0; i < count; i++) {
            double p = probability[i * width + j];
            assert_true(p >= 0.0 && p < 1.0);
            size_t stratum = (size_t)(p * (double)count);
            assert_true(stratum < count && !seen[stratum]);
            seen[stratum] = true;
        }
    }
}

static double correlation(const double *probability, size_t a, size_t b) {
    double x[COUNT], y[COUNT];
    for (size_t i = 0; i < COUNT; i++) {
        x[i] = probability[i * WIDTH + a];
        y[i] = probability[i * WIDTH + b];
    }
    return statistics_spearman(x, y, COUNT);
}

static void test_strata(void **state) {
    (void)state;
    for (size_t count = 1; count <= COUNT; count = count * 3 + 1) {
        for (size_t width = 1; width <= WIDTH; width += 2) {
            sample_plan_fill(plan, count, width, 20 + count);
            assert_stratified(plan, count, width);
        }
    }
}

static void test_seed(void **state) {
    (void)state;
    sample_plan_fill(plan, COUNT, WIDTH, 1);
    sample_plan_fill(other, COUNT, WIDTH, 1);
    assert_memory_equal(plan, other, sizeof plan);
    sample_plan_fill(other, COUNT, WIDTH, 2);
    assert_memory_not_equal(plan, other, sizeof plan);
    // A further column leaves the others as they are.
    sample_plan_fill(other, COUNT, WIDTH - 1, 1);
    for (size_t i = 0; i < COUNT; i++) {
        for (size_t j = 0; j + 1 < WIDTH; j++) {
            assert_true(other[i * (WIDTH - 1) + j] == plan[i * WIDTH + j]);
        }
    }
    // Columns do not repeat each other: four standard errors of an unrelated pair.
    for (size_t j = 1; j < WIDTH; j++) {
        assert_close(correlation(plan, 0, j), 0.0, 0.0, 4.0 / sqrt(COUNT));
    }
}

// E: the mean of a triangular variable is (a + b + c)/3, its variance
// (a^2 + b^2 + c^2 - ab - ac - bc)/18; a uniform one's are the middle and span^2/12.
static void test_shapes(void **state) {
    (void)state;
    const struct sample_range triangular = {SAMPLE_TRIANGULAR, 2.0, 8.0, 20.0};
    const struct sample_range uniform = {SAMPLE_UNIFORM, 2.0, 8.0, 20.0};
    const struct sample_range log_uniform = {SAMPLE_LOG_UNIFORM, 2.0, 8.0, 200.0};
    const struct sample_range all[] = {triangular, uniform, log_uniform};
    for (size_t k = 0; k < 3; k++) {
        assert_close(sample_quantile(&all[k], 0.0), all[k].low, 1e-14, 0.0);
        assert_close(sample_quantile(&all[k], 1.0), all[k].high, 1e-14, 0.0);
        double last = -1.0;
        for (double p = 0.0; p <= 1.0; p += 1.0 / 256.0) {
            double value = sample_quantile(&all[k], p);
            assert_true(value > last);
            last = value;
        }
    }
    enum { STEPS = 20000 };
    double mean[2] = {0.0}, square[2] = {0.0};
    for (size_t i = 0; i < STEPS; i++) {
        for (size_t k = 0; k < 2; k++) {
            double value = sample_quantile(&all[k], ((double)i + 0.5) / STEPS);
            mean[k] += value / STEPS;
            square[k] += value * value / STEPS;
        }
    }
    assert_close(mean[0], 10.0, 1e-6, 0.0);
    assert_close(square[0] - mean[0] * mean[0], 252.0 / 18.0, 1e-4, 0.0);
    assert_close(mean[1], 11.0, 1e-6, 0.0);
    assert_close(square[1] - mean[1] * mean[1], 27.0, 1e-4, 0.0);
    assert_close(sample_quantile(&triangular, 6.0 / 18.0), 8.0, 1e-14, 0.0);
    assert_close(sample_quantile(&log_uniform, 0.5), 20.0, 1e-14, 0.0);
    // A value at the end of its own range, and a negative one.
    const struct sample_range edge = {SAMPLE_TRIANGULAR, -20.0, -20.0, -10.0};
    assert_close(sample_quantile(&edge, 0.0), -20.0, 0.0, 0.0);
    assert_close(sample_quantile(&edge, 0.75), -15.0, 1e-14, 0.0);
}

static void test_shape_names(void **state) {
    (void)state;
    enum sample_shape shape;
    for (int i = 0; i < SAMPLE_SHAPE_COUNT; i++) {
        assert_true(sample_shape_parse(sample_shape_name((enum sample_shape)i), &shape));
        assert_int_equal(shape, i);
    }
    assert_false(sample_shape_parse("triangle", &shape));
}

static void test_correlate(void **state) {
    (void)state;
    double wanted[WIDTH * WIDTH] = {0.0};
    for (size_t j = 0; j < WIDTH; j++) {
        wanted[j * WIDTH + j] = 1.0;
    }
    wanted[0 * WIDTH + 1] = wanted[1 * WIDTH + 0] = 0.8;
    wanted[2 * WIDTH + 4] = wanted[4 * WIDTH + 2] = -0.5;
    sample_plan_fill(plan, COUNT, WIDTH, 3);
    assert_int_equal(sample_plan_correlate(plan, COUNT, WIDTH, wanted), 0);
    assert_stratified(plan, COUNT, WIDTH);
    for (size_t a = 0; a < WIDTH; a++) {
        for (size_t b = 0; b < a; b++) {
            // E: of two normal scores that correlate by r, the ranks correlate by 6/pi asin(r/2).
            double expected = 6.0 / acos(-1.0) * asin(0.5 * wanted[a * WIDTH + b]);
            assert_close(correlation(plan, a, b), expected, 0.0, 0.03);
        }
    }
}

static void test_correlations_that_cannot_be(void **state) {
    (void)state;
    // a goes with b, and b with c, but a against c: no three columns can.
    const double wanted[] = {1.0, 0.9, -0.9, 0.9, 1.0, 0.9, -0.9, 0.9, 1.0};
    sample_plan_fill(plan, COUNT, 3, 4);
    memcpy(other, plan, sizeof plan);
    assert_int_equal(sample_plan_correlate(plan, COUNT, 3, wanted), 1);
    assert_int_equal(sample_plan_correlate(plan, 3, 3, wanted), 1);
    assert_memory_equal(plan, other, sizeof plan);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_strata),    cmocka_unit_test(test_seed),
        cmocka_unit_test(test_shapes),    cmocka_unit_test(test_shape_names),
        cmocka_unit_test(test_correlate), cmocka_unit_test(test_correlations_that_cannot_be),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
