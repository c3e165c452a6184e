// SPDX-License-Identifier: MIT
// The ways a run can end other than at its end time: each has a status and leaves its state whole.
#include "fixtures.h"
#include "support.h"

static struct fixture_record record;

// The slamming relief valve (q = 5), from 1.5 times a lift of 1.5 mm.
static struct integrate_result slam(const struct integrate_options *o, double *y,
                                    struct fixture_record *keep) {
    struct regulator_parameters p = fixture_relief_valve(20.0, 1.25, 5.0);
    struct regulator r;
    regulator_prepare(&r, &p);
    struct regulator_mode mode = fixture_rest(&r, 2.2e-3, p.atmosphere + 11.5e5, y);
    return fixture_run(&r, &mode, y, o, keep);
}

static void test_step_ceiling_is_reported(void **state) {
    (void)state;
    double y[REGULATOR_STATES_MAX];
    struct integrate_options o = fixture_options(10.0, 1e-6);
    o.max_steps = 1000;
    struct integrate_result result = slam(&o, y, &record);
    assert_int_equal(result.status, INTEGRATE_FAILED);
    assert_non_null(strstr(result.message, "max_steps"));
    assert_in_range(result.statistics.steps, 1000, 1010);
    assert_true(result.statistics.end_time > 0.0 && result.statistics.end_time < 1.0);
}

static void test_not_a_number_is_a_failure(void **state) {
    (void)state;
    struct regulator_parameters p = fixture_ball(1e-6);
    struct regulator r;
    regulator_prepare(&r, &p);
    for (int i = 0; i < r.layout.mass_in; i++) {
        double y[REGULATOR_STATES_MAX];
        struct regulator_mode mode = fixture_rest(&r, 1.0, p.atmosphere, y);
        y[i] = (double)NAN;
        struct integrate_options o = fixture_options(1.0, 1e-6);
        struct integrate_result result = fixture_run(&r, &mode, y, &o, &record);
        assert_int_equal(result.status, INTEGRATE_FAILED);
        assert_true(strlen(result.message) > 10);
    }
}

static void test_emptied_vessel_is_a_failure_in_time(void **state) {
    (void)state;
    // Rising liquid takes all of the vessel within 1.2 s: honest at that time, no hang.
    struct regulator_parameters p = fixture_routh(10.0, false);
    p.trim.slot_width = 0.0;
    p.flow = schedule_constant(0.0);
    static const double time[] = {0.0, 2.4};
    double level[] = {0.0, 2.0 * p.controlled.volume};
    p.level = (struct schedule){.kind = SCHEDULE_POINTS, .count = 2, .time = time, .value = level};
    struct regulator r;
    regulator_prepare(&r, &p);
    double y[REGULATOR_STATES_MAX];
    struct regulator_mode mode = fixture_rest(&r, 1e-3, 2e5, y);
    struct integrate_options o = fixture_options(10.0, 1e-6);
    struct integrate_result result = fixture_run(&r, &mode, y, &o, &record);
    assert_int_equal(result.status, INTEGRATE_FAILED);
    assert_close(result.statistics.end_time, 1.2, 1e-3, 0.0);
    assert_true(result.statistics.steps < 100000);
}

static bool seen_enough(void *context, double time) {
    (void)context;
    return time >= 0.01;
}

static void test_observer_can_stop_the_run(void **state) {
    (void)state;
    struct regulator_parameters p = fixture_ball(1e-6);
    struct regulator r;
    regulator_prepare(&r, &p);
    double y[REGULATOR_STATES_MAX];
    struct regulator_mode mode = fixture_rest(&r, 1.0, p.atmosphere, y);
    struct integrate_options o = fixture_options(5.0, 1e-6);
    struct integrate_observer observer = {.stop = seen_enough};
    struct integrate_result result = integrate_run(&r, &mode, y, &o, &observer);
    assert_int_equal(result.status, INTEGRATE_STOPPED);
    assert_true(result.statistics.end_time < 1.0);
    if (fixture_rosenbrock) { // whose steps are long: it ends at the sample
        assert_true(result.statistics.end_time < 0.01 + 1.001 * o.sample_interval);
    }
}

// Last of all: the request stays in force for the rest of the process.
static void test_interrupt_ends_the_run(void **state) {
    (void)state;
    double y[REGULATOR_STATES_MAX];
    struct integrate_options o = fixture_options(1.0, 1e-6);
    assert_false(integrate_interrupted());
    integrate_interrupt();
    assert_true(integrate_interrupted());
    struct integrate_result result = slam(&o, y, &record);
    assert_int_equal(result.status, INTEGRATE_INTERRUPTED);
    assert_true(record.sample_count >= 1 && result.statistics.end_time < 1.0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_step_ceiling_is_reported),
        cmocka_unit_test(test_not_a_number_is_a_failure),
        cmocka_unit_test(test_emptied_vessel_is_a_failure_in_time),
        cmocka_unit_test(test_observer_can_stop_the_run),
    };
    const struct CMUnitTest last[] = {
        cmocka_unit_test(test_interrupt_ends_the_run), // as all that would follow
    };
    const int failed = cmocka_run_group_tests_name("by CVODE", tests, NULL, NULL);
    fixture_rosenbrock = true;
    return failed + cmocka_run_group_tests_name("by the one-step method", tests, NULL, NULL) +
           cmocka_run_group_tests_name("interrupted", last, NULL, NULL);
}
