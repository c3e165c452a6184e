// SPDX-License-Identifier: MIT
// What becomes of a swing, told before the run's end: made-up records on either side of what may be
// told, and runs of the main demo (invented) against the same runs followed to the end. No outside
// source: a fate that is told must be the one that comes.
#include "fixture_case.h"

#include "steady/fate.h"
#include "steady/steadiness.h"

#include <math.h>

static const double PI = 3.14159265358979;
static const double PSI = 6894.757293168361;

enum { PER_CYCLE = 40, CYCLES = 60 };

static double kicked; // [swings of rest]

// A record of a second a cycle whose swing from crest to trough is size(t) [in swings of rest].
static bool lives(double (*size)(double time)) {
    static double value[PER_CYCLE * CYCLES];
    struct fate_watch watch = fate_begin(1.0, kicked);
    const struct series all = {value, PER_CYCLE * CYCLES, 0.0, 1.0 / PER_CYCLE};
    for (size_t i = 0; i < all.count; i++) {
        const double t = series_time(&all, i);
        value[i] = 100.0 + 0.5 * size(t) * cos(2.0 * PI * t);
    }
    // As it grows, a cycle at a time.
    for (size_t cycles = 1; cycles <= CYCLES; cycles++) {
        struct series so_far = all;
        so_far.count = cycles * PER_CYCLE;
        if (fate_lives(&watch, &so_far)) {
            return true;
        }
    }
    return false;
}

static double grows(double t) {
    return 60.0 * exp(0.02 * t);
}

static double grows_into_a_cycle(double t) {
    return 90.0 - 30.0 * exp(-0.05 * t);
}

static double grows_hardly(double t) { // 0.05 % a cycle: as good as standing still
    return 60.0 * exp(0.0005 * t);
}

static double comes_back_to_where_it_was(double t) { // two tones that part and meet again
    return 60.0 * (0.6 + 0.4 * cos(2.0 * PI * t / CYCLES));
}

static double stands(double t) {
    return 60.0 + 0.0 * t;
}

static double decays(double t) { // slower and slower in size: may yet stand still
    return 60.0 * exp(-0.02 * t);
}

static double falls_into_a_cycle(double t) {
    return 50.0 + 10.0 * exp(-0.05 * t);
}

static double dry_friction_stops(double t) { // past where it had nearly stood still
    return fmax(60.0 - 0.2 * t - 0.005 * t * t, 0.0);
}

static double friction_stirs(double t) { // gathers pace, at a fraction of a percent a cycle
    return 60.0 - 0.05 * t - 0.001 * t * t;
}

static double falls_evenly(double t) {
    return 60.0 - 0.2 * t;
}

static void test_growth_is_told_and_standing_still_is_not(void **state) {
    (void)state;
    assert_true(lives(grows));
    assert_true(lives(grows_into_a_cycle));
    assert_false(lives(grows_hardly));
    assert_false(lives(stands));
    assert_false(lives(comes_back_to_where_it_was));
}

// Ripple of the first moments, and then a swing a hundred times as large that dies out.
static double ripples_first(double t) {
    return t < 3.0 ? 0.5 + 0.1 * t : 60.0 * exp(-0.3 * (t - 3.0));
}

static void test_ripple_before_the_swing_is_no_growth(void **state) {
    (void)state;
    kicked = 0.0; // what is guarded against
    assert_true(lives(ripples_first));
    kicked = 60.0;
    assert_false(lives(ripples_first));
    assert_true(lives(grows));
    kicked = 0.0;
}

static void test_no_fall_is_told(void **state) {
    (void)state;
    assert_false(lives(dry_friction_stops));
    assert_false(lives(decays));
    assert_false(lives(falls_into_a_cycle));
    assert_false(lives(friction_stirs));
    assert_false(lives(falls_evenly));
}

// Runs of which some grow, some hit the seat and some die out; some are told early.
static void test_what_is_told_is_what_comes(void **state) {
    (void)state;
    struct fixture_case c;
    fixture_case_open(&c, decline, "full", NULL);
    struct steadiness early;
    assert_true(steadiness_prepare(&c.resolved, &early));
    struct steadiness patient = early;
    patient.patient = true;
    static const double times[] = {1.0, 18.0, 20.0, 21.0, 22.0, 24.0};
    size_t living = 0, dying = 0;
    for (size_t i = 0; i < sizeof times / sizeof times[0]; i++) {
        for (int sign = -1; sign <= 1; sign += 2) {
            const double flow = times[i] * early.flow, kick = sign * 3.0 * PSI;
            const enum steadiness_motion told = steadiness_kicked_once(&early, flow, kick);
            const enum steadiness_motion came = steadiness_kicked_once(&patient, flow, kick);
            assert_int_equal(told == STEADINESS_DIES_OUT, came == STEADINESS_DIES_OUT);
            *(told == STEADINESS_DIES_OUT ? &dying : &living) += 1;
        }
    }
    assert_true(living >= 3 && dying >= 3);
    fixture_case_close(&c);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_growth_is_told_and_standing_still_is_not),
        cmocka_unit_test(test_ripple_before_the_swing_is_no_growth),
        cmocka_unit_test(test_no_fall_is_told),
        cmocka_unit_test(test_what_is_told_is_what_comes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
