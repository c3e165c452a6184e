// SPDX-License-Identifier: MIT
// Signals whose swing, frequency and shape are known exactly (E), as a logger might have taken
// them. The regularity index is N. F. Thornhill's, the shape index after Q. P. He et al., Ind. Eng.
// Chem. Res. 46, 2007, from a secondary source: above 0.6 triangular, below 0.4 sinusoidal.
#include "site/site_record.h"
#include "support.h"

#include <stdlib.h>

enum { MOST = 4000 };

static const double PI = 3.14159265358979323846;
static double time_of[MOST], value[MOST], work[3 * MOST];

static struct record_judgement judge(size_t count, double rest) {
    struct record_judgement out;
    record_judge(time_of, value, count, rest, work, &out);
    return out;
}

static double noise(void) { // evenly between -1 and 1, the same everywhere
    static unsigned long state = 12345;
    state = state * 6364136223846793005UL + 1442695040888963407UL;
    return (double)(state >> 11) / (double)(1UL << 52) - 1.0;
}

static double round_to(double number, double step) {
    return step > 0.0 ? step * floor(number / step + 0.5) : number;
}

// A wave of swing 4 about 50 with a drift of 3 over the record.
static size_t wave(double frequency, double interval, double span, bool triangle, double step) {
    size_t count = 0;
    for (double t = 0.0; t <= span && count < MOST; t = interval * (double)count) {
        const double u = frequency * t - floor(frequency * t);
        const double w =
            triangle ? (u < 0.7 ? u / 0.35 - 1.0 : 1.0 - (u - 0.7) / 0.15) : sin(2.0 * PI * u);
        time_of[count] = t;
        value[count++] = round_to(50.0 + 2.0 * w + 3.0 * t / span, step);
    }
    return count;
}

static void test_sine(void **state) {
    (void)state;
    const struct record_judgement r = judge(wave(0.5, 0.05, 60.0, false, 0.0), 0.5);
    assert_int_equal(r.verdict, RECORD_REPEATING);
    assert_close(r.motion.frequency, 0.5, 1e-3, 0.0);
    assert_close(r.motion.swing, 4.0, 0.02, 0.0);
    assert_close(r.motion.drift, 3.0, 0.05, 0.0);
    assert_true(r.motion.shape < 0.4);
    assert_true(r.motion.regularity > 10.0);
    assert_int_equal(r.doubts, 0);
    assert_true(r.confidence > 0.9 && r.confidence < 1.0);
}

// 70 % of the time it rises by 4 in 0.7 periods: 4/0.7 x 0.4 Hz = 2.2857 /s.
static void test_triangle(void **state) {
    (void)state;
    const struct record_judgement r = judge(wave(0.4, 0.05, 60.0, true, 0.0), 0.5);
    assert_int_equal(r.verdict, RECORD_REPEATING);
    assert_close(r.motion.frequency, 0.4, 2e-3, 0.0);
    assert_true(r.motion.shape > 0.6);
    assert_close(r.motion.rise, 4.0 / 0.7 * 0.4 + 3.0 / 60.0, 0.03, 0.0);
    assert_close(r.motion.rising, 0.7, 0.05, 0.0);
}

static void test_quiet_and_drifting(void **state) {
    (void)state;
    for (size_t i = 0; i < 1000; i++) {
        time_of[i] = 0.1 * (double)i;
        value[i] = round_to(50.0 + 0.08 * noise(), 0.1);
    }
    struct record_judgement r = judge(1000, 0.5);
    assert_int_equal(r.verdict, RECORD_QUIET);
    assert_close(r.sampling.quantum, 0.1, 1e-6, 0.0);
    for (size_t i = 0; i < 1000; i++) {
        time_of[i] = 0.1 * (double)i;
        value[i] = round_to(50.0 + 0.05 * (double)i, 0.1);
    }
    r = judge(1000, 0.5);
    assert_int_equal(r.verdict, RECORD_DRIFTING);
    assert_close(r.motion.drift, 50.0, 0.01, 0.0);
}

// Sampled once a second, 1.3 Hz looks like 0.3 Hz (the sampling theorem): it must be doubted.
static void test_slow_sampling(void **state) {
    (void)state;
    const struct record_judgement r = judge(wave(1.3, 1.0, 300.0, false, 0.0), 0.5);
    assert_close(r.motion.frequency, 0.3, 0.02, 0.0);
    assert_true(r.doubts & DOUBT_SLOW_SAMPLING);
    assert_true(r.confidence < 0.5);
}

static void test_coarse_gauge(void **state) {
    (void)state;
    const struct record_judgement r = judge(wave(0.5, 0.05, 60.0, false, 1.0), 0.5);
    assert_true(r.doubts & DOUBT_COARSE_GAUGE);
    assert_close(r.motion.frequency, 0.5, 0.02, 0.0);
}

static void test_dying(void **state) {
    (void)state;
    const size_t count = wave(0.5, 0.05, 60.0, false, 0.0);
    for (size_t i = 0; i < count; i++) {
        value[i] = 50.0 + (value[i] - 50.0) * exp(-0.08 * time_of[i]);
    }
    assert_int_equal(judge(count, 0.01).verdict, RECORD_DYING);
}

// Jumps at random times.
static void test_restless(void **state) {
    (void)state;
    double level = 1.0;
    double next = 0.0;
    for (size_t i = 0; i < 3000; i++) {
        time_of[i] = 0.05 * (double)i;
        if (time_of[i] >= next) {
            level = -level;
            next = time_of[i] - 2.5 * log(0.5 + 0.5 * noise() + 1e-9);
        }
        value[i] = round_to(50.0 + 2.0 * level + 0.1 * noise(), 0.01);
    }
    const struct record_judgement r = judge(3000, 0.5);
    assert_int_equal(r.verdict, RECORD_RESTLESS);
    assert_true(r.motion.regularity < 1.0);
}

static void test_spikes_gaps_and_bad_samples(void **state) {
    (void)state;
    const size_t count = wave(0.5, 0.05, 60.0, false, 0.0);
    value[300] += 30.0;
    value[700] -= 30.0;
    value[500] = (double)NAN;
    time_of[800] = time_of[799];
    for (size_t i = 900; i < count; i++) {
        time_of[i] += 40.0;
    }
    const struct record_judgement r = judge(count, 0.5);
    assert_int_equal(r.sampling.spikes, 2);
    assert_int_equal(r.sampling.dropped, 2);
    assert_int_equal(r.sampling.gaps, 1);
    assert_close(r.sampling.longest_gap, 40.05, 1e-6, 0.0);
    assert_close(r.sampling.span, 44.95, 1e-6, 0.0);
    assert_int_equal(r.verdict, RECORD_REPEATING);
    assert_close(r.motion.frequency, 0.5, 0.01, 0.0);
    assert_true(r.doubts & DOUBT_GAPS);
}

static void test_uneven(void **state) {
    (void)state;
    double t = 0.0;
    for (size_t i = 0; i < 1500; i++) {
        time_of[i] = t;
        value[i] = 50.0 + 2.0 * sin(2.0 * PI * 0.5 * t);
        t += 0.05 * (1.0 + 0.8 * noise());
    }
    const struct record_judgement r = judge(1500, 0.5);
    assert_int_equal(r.verdict, RECORD_REPEATING);
    assert_close(r.motion.frequency, 0.5, 0.01, 0.0);
    assert_close(r.motion.swing, 4.0, 0.05, 0.0);
    assert_true(r.doubts & DOUBT_UNEVEN);
}

static void test_next_to_nothing(void **state) {
    (void)state;
    for (size_t count = 0; count < 10; count++) {
        for (size_t i = 0; i < count; i++) {
            time_of[i] = (double)i;
            value[i] = 50.0;
        }
        const struct record_judgement r = judge(count, 0.5);
        assert_true(r.enough == (count >= 8));
        assert_true(r.verdict == (count >= 8 ? RECORD_QUIET : RECORD_UNCLEAR));
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_sine),
        cmocka_unit_test(test_triangle),
        cmocka_unit_test(test_quiet_and_drifting),
        cmocka_unit_test(test_slow_sampling),
        cmocka_unit_test(test_coarse_gauge),
        cmocka_unit_test(test_dying),
        cmocka_unit_test(test_restless),
        cmocka_unit_test(test_spikes_gaps_and_bad_samples),
        cmocka_unit_test(test_uneven),
        cmocka_unit_test(test_next_to_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
