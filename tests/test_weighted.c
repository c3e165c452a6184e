// SPDX-License-Identifier: MIT
// What a weighted sample says, against closed forms and against the unweighted functions.
#include "support.h"

#include "maths/statistics.h"
#include "maths/weighted.h"

enum { MANY = 400 };

static void quantiles_are_of_the_weight(void **state) {
    (void)state;
    const double value[] = {3.0, 1.0, 2.0, (double)NAN, (double)INFINITY};
    const double weight[] = {0.2, 0.5, 0.2, 9.0, 0.1};
    assert_true(weighted_quantile(value, weight, 5, 0.5) == 1.0); // E
    assert_true(weighted_quantile(value, weight, 5, 0.51) == 2.0);
    assert_true(weighted_quantile(value, weight, 5, 0.9) == 3.0);
    assert_true(isinf(weighted_quantile(value, weight, 5, 0.95)));
    assert_true(isnan(weighted_quantile(value + 3, weight + 3, 1, 0.5)));
}

// Taken n w times but for less than one, and as many in all as wanted.
static void resampling_keeps_shares(void **state) {
    (void)state;
    struct statistics_stream stream = statistics_stream_open(7, 0);
    double weight[MANY];
    size_t times[MANY];
    double sum = 0.0;
    for (size_t i = 0; i < MANY; i++) {
        weight[i] = i % 5 == 0 ? 0.0 : -log(1.0 - statistics_stream_unit(&stream));
        sum += weight[i];
    }
    weighted_resample(weight, MANY, 90, times);
    size_t taken = 0;
    for (size_t i = 0; i < MANY; i++) {
        taken += times[i];
        assert_true(fabs((double)times[i] - 90.0 * weight[i] / sum) < 1.0);
        assert_true(weight[i] > 0.0 || times[i] == 0);
    }
    assert_int_equal(taken, 90);
}

static void effective_number_is_that_of_equal_weights(void **state) {
    (void)state;
    const double value[] = {1.0, 0.0, 1.0, (double)NAN};
    const double even[] = {0.25, 0.25, 0.25, 0.25};
    const double one[] = {1.0, 0.0, 0.0, 0.0};
    assert_close(weighted_effective(value, even, 4), 3.0, 1e-12, 0.0);
    assert_close(weighted_effective(value, one, 4), 1.0, 1e-12, 0.0);
    assert_close(weighted_mean(value, even, 4), 2.0 / 3.0, 1e-12, 0.0);
    // P, Wilson 1927 as the counted form: 88 of 100.
    const struct statistics_interval a = statistics_wilson(88, 100, 0.95);
    const struct statistics_interval b = statistics_wilson_share(0.88, 100.0, 0.95);
    assert_true(a.low == b.low && a.high == b.high);
    assert_close(a.low, 0.8019, 2e-4, 0.0); // by hand from the formula
    assert_close(a.high, 0.9300, 2e-4, 0.0);
}

// All of the variance of a step goes with the bin it is a step of; none of noise, on average.
static void variance_goes_with_its_cause(void **state) {
    (void)state;
    struct statistics_stream stream = statistics_stream_open(3, 0);
    double cause[MANY], other[MANY], y[MANY], weight[MANY];
    size_t bin[MANY];
    for (size_t i = 0; i < MANY; i++) {
        cause[i] = statistics_stream_unit(&stream);
        other[i] = statistics_stream_unit(&stream);
        weight[i] = 1.0 / MANY;
        y[i] = cause[i] > 0.5;
    }
    size_t bins = weighted_bins(cause, weight, MANY, 6, bin);
    assert_int_equal(bins, 6);
    assert_in_range(100 * (int)(weighted_explained(y, weight, bin, MANY, bins, MANY) > 0.9), 100,
                    100);
    bins = weighted_bins(other, weight, MANY, 6, bin);
    assert_true(fabs(weighted_explained(y, weight, bin, MANY, bins, MANY)) < 0.05);
    // Equal values are never parted, and what never varies says nothing.
    for (size_t i = 0; i < MANY; i++) {
        cause[i] = i % 2 == 0 ? 1.0 : 2.0;
        y[i] = 1.0;
    }
    assert_int_equal(weighted_bins(cause, weight, MANY, 6, bin), 2);
    assert_true(isnan(weighted_explained(y, weight, bin, MANY, 2, MANY)));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(quantiles_are_of_the_weight),
        cmocka_unit_test(resampling_keeps_shares),
        cmocka_unit_test(effective_number_is_that_of_equal_weights),
        cmocka_unit_test(variance_goes_with_its_cause),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
