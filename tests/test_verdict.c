// SPDX-License-Identifier: MIT
// The verdict on synthetic records: rest, decay, growth, drift, and input that cannot be judged.
// Sources: the signals are closed forms (E); the limits that separate the verdicts are this
// program's own definitions (sim/judge/verdict_table.c), so their edges are tested on both sides.
#include "judge/cycles.h"
#include "judge/turning.h"
#include "verdict_record.h"

// Damped oscillation of 3 Hz (undamped natural) from amplitude 2 %.
static double damping_ratio;
static double damped(double time) {
    double natural = 2.0 * PI * 3.0;
    double omega = natural * sqrt(1.0 - damping_ratio * damping_ratio);
    return 0.02 * exp(-damping_ratio * natural * time) * cos(omega * time) + noise(time);
}

static double damped_travel(double time) {
    return 0.5 + damped(time + 0.02);
}

static void test_decrement_is_recovered(void **state) {
    (void)state;
    const double ratios[] = {0.005, 0.018, 0.022, 0.05, 0.1};
    for (size_t i = 0; i < sizeof ratios / sizeof ratios[0]; ++i) {
        damping_ratio = ratios[i];
        // E: log decrement 2 pi zeta / sqrt(1 - zeta^2).
        double decrement = 2.0 * PI * ratios[i] / sqrt(1.0 - ratios[i] * ratios[i]);
        double end = 1.2 + 0.1 / ratios[i];
        end = end > 8.0 ? 8.0 : end;
        record_make(damped, damped_travel, 0.012, end);
        assert_verdict(ratios[i] < 0.02 ? VERDICT_RINGING : VERDICT_STEADY, true);
        assert_close(record.result.figures.log_decrement, decrement, 0.01, 0.0);
        assert_close(record.result.figures.damping_ratio, ratios[i], 0.01, 0.0);
        assert_close(record.result.figures.frequency, 3.0, 0.01, 0.0);
    }
}

// Long after the end of the motion the verdict must still be the same as early on.
static void test_damping_edge_at_rest(void **state) {
    (void)state;
    damping_ratio = 0.019;
    record_make(damped, damped_travel, 0.012, 40.0);
    assert_verdict(VERDICT_RINGING, true);
    damping_ratio = 0.021;
    record_make(damped, damped_travel, 0.012, 40.0);
    assert_verdict(VERDICT_STEADY, true);
    // E: amplitude 0.02 e^(-s t) falls to 0.001 (the band about the mean) at ln(20)/s.
    assert_close(record.result.figures.settling_time, log(20.0) / (0.021 * 6.0 * PI), 0.05, 0.0);
}

static void test_decay_is_decided_early(void **state) {
    (void)state;
    damping_ratio = 0.05;
    record_make(damped, damped_travel, 0.012, 2.0);
    assert_verdict(VERDICT_STEADY, true);
    assert_close(record.result.figures.settling_time, log(40.0) / (0.05 * 6.0 * PI), 0.05, 0.0);
    record_make(damped, damped_travel, 0.012, 0.6);
    assert_verdict(VERDICT_UNDECIDED, false);
}

static double edge_amplitude;
static double edge(double time) {
    return edge_amplitude * sin(2.0 * PI * 2.0 * time);
}

static void test_rest_threshold_both_sides(void **state) {
    (void)state;
    edge_amplitude = 0.00049;
    record_make(edge, half_open, 0.01, 20.0);
    assert_verdict(VERDICT_STEADY, true);
    edge_amplitude = 0.00051;
    record_make(edge, half_open, 0.01, 20.0);
    assert_verdict(VERDICT_HUNTING, true);
    // The same swings of the plug alone.
    record_make(zero, edge, 0.01, 20.0);
    assert_verdict(VERDICT_HUNTING, true);
    edge_amplitude = 0.00049;
    record_make(zero, edge, 0.01, 20.0);
    assert_verdict(VERDICT_STEADY, true);
}

// Van der Pol-like growth into a limit cycle: amplitude a of da/dt = s a (1 - (a/a0)^2), in closed
// form a = a0/sqrt(1 + (a0^2/a1^2 - 1) e^(-2 s t)) (E).
static double cycle_amplitude(double time) {
    double ratio = 0.03 / 0.0001;
    return 0.03 / sqrt(1.0 + (ratio * ratio - 1.0) * exp(-2.0 * 0.8 * time));
}

static double growing(double time) {
    return cycle_amplitude(time) * sin(2.0 * PI * 1.5 * time);
}

static double growing_travel(double time) {
    return 0.5 + 3.0 * cycle_amplitude(time) * cos(2.0 * PI * 1.5 * time);
}

static void test_growth_is_waited_for(void **state) {
    (void)state;
    const double ends[] = {2.5, 4.0, 6.0, 7.5};
    for (size_t i = 0; i < sizeof ends / sizeof ends[0]; ++i) {
        record_make(growing, growing_travel, 0.02, ends[i]);
        assert_verdict(VERDICT_UNDECIDED, false);
    }
    record_make(growing, growing_travel, 0.02, 25.0);
    assert_verdict(VERDICT_HUNTING, true);
    const struct verdict_figures *figures = &record.result.figures;
    assert_true(figures->periodic);
    assert_close(figures->frequency, 1.5, 1e-3, 0.0);
    assert_close(figures->pressure_swing, 0.06 * SCALE, 0.01, 0.0);
    assert_close(figures->travel_swing, 0.18 * RATED, 0.01, 0.0);
    // E: a sine travels twice its swing a period.
    assert_close(figures->travel_worn, 2.0 * 0.18 * RATED * 1.5 * 86400.0, 0.01, 0.0);
}

static void test_growth_at_the_limit_hunts(void **state) {
    (void)state;
    record_make(growing, growing_travel, 0.02, 6.0);
    record.input.limit = 6.0;
    assert_verdict(VERDICT_HUNTING, true);
    assert_non_null(strstr(record.result.reason, "growing"));
    // E: the growth rate of the small oscillation is 0.8 1/s.
    assert_close(record.result.figures.growth_rate, 0.8, 0.05, 0.0);
}

// A large swing that dies out fast, but has not yet when the run ends: the word for slow decays is
// not for it, whatever the run was too short for.
static double large(double time) {
    return 25.0 * damped(time);
}

static void test_a_fast_decay_cut_off_is_not_ringing(void **state) {
    (void)state;
    const double ratios[] = {0.015, 0.05};
    const double ends[] = {6.0, 2.0};
    for (size_t i = 0; i < sizeof ratios / sizeof ratios[0]; ++i) {
        damping_ratio = ratios[i];
        record_make(large, half_open, 0.012, ends[i]);
        record.input.limit = ends[i];
        const bool slow = ratios[i] < verdict_limits_default().ringing_damping;
        assert_verdict(slow ? VERDICT_RINGING : VERDICT_UNDECIDED, false);
        assert_true(slow || strstr(record.result.reason, "still decaying"));
    }
}

// A decay too slow to show between five cycles must not pass for a limit cycle.
static double slow_rate;
static double slowly(double time) {
    return 0.02 * exp(slow_rate * time) * sin(2.0 * PI * 2.0 * time);
}

static void test_slow_decay_is_no_cycle(void **state) {
    (void)state;
    slow_rate = -0.0015 * 2.0; // 0.15 % a cycle
    record_make(slowly, half_open, 0.02, 10.0);
    assert_verdict(VERDICT_UNDECIDED, false);
    record_make(slowly, half_open, 0.02, 30.0);
    assert_verdict(VERDICT_UNDECIDED, false);
    record.input.limit = 30.0;
    assert_verdict(VERDICT_RINGING, true);
    slow_rate = 0.0;
    record_make(slowly, half_open, 0.02, 30.0);
    assert_verdict(VERDICT_HUNTING, true);
}

// A large swing that closes in on a small cycle, as friction and play make it: da/dt = -s (a - a0).
static double closing_size;
static double closing(double time) {
    return (closing_size + 0.02 * exp(-0.6 * time)) * sin(2.0 * PI * 2.0 * time);
}

static void test_decay_to_a_small_cycle_is_no_rest(void **state) {
    (void)state;
    closing_size = 0.0012; // a swing of 2.4 times rest
    for (int k = 10; k < 300; ++k) {
        record_make(closing, half_open, 0.02, 0.1 * k);
        enum verdict verdict = record_judge();
        if (verdict != VERDICT_HUNTING && verdict != VERDICT_UNDECIDED) {
            fail_msg("%s at %g s: %s", verdict_name(verdict), 0.1 * k, record.result.reason);
        }
    }
    assert_verdict(VERDICT_HUNTING, true);
    assert_close(record.result.figures.pressure_swing, 0.0024 * SCALE, 0.01, 0.0);
}

// Contacts of the start-up only.
static void test_early_contacts_do_not_slam(void **state) {
    (void)state;
    damping_ratio = 0.05;
    record_make(damped, damped_travel, 0.012, 10.0);
    record_add_contact(0.1, 0.3);
    record_add_contact(0.4, 0.2);
    assert_verdict(VERDICT_STEADY, true);
    assert_int_equal(record.result.figures.seat_contacts, 2);
    assert_close(record.result.figures.seat_rate, 0.0, 0.0, 0.0);
}

static void test_schedule_ahead(void **state) {
    (void)state;
    record_make(zero, half_open, 0.02, 30.0);
    record.input.schedule_changing = true;
    assert_verdict(VERDICT_UNDECIDED, false);
    record.input.schedule_changing = false;
    assert_verdict(VERDICT_STEADY, true);
}

static double drift_rate; // share of set a second
static double drifting(double time) {
    return drift_rate * time;
}

// A stuck plug under a creeping pressure: the limit is 0.1 % a minute.
static void test_drift_threshold_both_sides(void **state) {
    (void)state;
    drift_rate = 0.00095 / 60.0;
    record_make(drifting, half_open, 0.02, 30.0);
    assert_verdict(VERDICT_STEADY, true);
    drift_rate = 0.00105 / 60.0;
    record_make(drifting, half_open, 0.02, 30.0);
    assert_verdict(VERDICT_UNDECIDED, false);
    record.input.limit = 30.0;
    assert_verdict(VERDICT_UNDECIDED, false);
}

// A slow decay with a fast ripple that dies sooner, and one that does not.
static double ripple_rate;
static double two_modes(double time) {
    return 0.02 * exp(-0.4 * time) * cos(2.0 * PI * 0.8 * time) +
           0.004 * exp(-ripple_rate * time) * sin(2.0 * PI * 17.0 * time);
}

static void test_two_frequencies(void **state) {
    (void)state;
    ripple_rate = 3.0;
    record_make(two_modes, half_open, 0.004, 8.0);
    assert_verdict(VERDICT_STEADY, true);
    assert_close(record.result.figures.log_decrement, 0.4 / 0.8, 0.02, 0.0);
    ripple_rate = 0.0;
    record_make(two_modes, half_open, 0.004, 30.0);
    assert_verdict(VERDICT_HUNTING, true);
    assert_close(record.result.figures.frequency, 17.0, 0.01, 0.0);
}

static void test_bad_input_is_refused(void **state) {
    (void)state;
    struct verdict_limits limits = verdict_limits_default();
    record_make(zero, half_open, 0.02, 10.0);
    record.travel[100] = (double)NAN;
    assert_false(verdict_judge(&record.input, &limits, &record.result));
    assert_int_equal(record.result.verdict, VERDICT_UNDECIDED);
    assert_non_null(strstr(record.result.reason, "travel is not a number at 2 s"));
    record_make(zero, half_open, 0.02, 10.0);
    record.pressure[0] = HUGE_VAL;
    assert_false(verdict_judge(&record.input, &limits, &record.result));
    record_make(zero, half_open, 0.02, 10.0);
    record.input.rated_travel = 0.0;
    assert_false(verdict_judge(&record.input, &limits, &record.result));
    record_make(zero, half_open, 0.02, 10.0);
    record.input.motion.travel.count -= 1;
    assert_false(verdict_judge(&record.input, &limits, &record.result));
}

static void test_input_that_cannot_be(void **state) {
    (void)state;
    const char *sampled = "are not sampled at the same times", *scale = "must be positive";
    const char *order = "out of order";
    const struct {
        double *at, value;
        const char *words;
    } row[] = {
        {&record.input.motion.pressure.step, 0.0, sampled},
        {&record.input.motion.travel.step, 0.01, sampled},
        {&record.input.motion.travel.start, 1.0, sampled},
        {&record.input.pressure_scale, 0.0, scale},
        {&record.input.rated_travel, (double)NAN, scale},
        {&record.input.from, (double)NAN, order},
        {&record.input.limit, -1.0, order},
        {&record.input.schedule_period, -1.0, order},
        {&record.input.period_hint, (double)NAN, order},
    };
    const struct verdict_limits limits = verdict_limits_default();
    for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
        record_make(zero, half_open, 0.02, 10.0);
        assert_true(verdict_judge(&record.input, &limits, &record.result));
        *row[i].at = row[i].value;
        assert_false(verdict_judge(&record.input, &limits, &record.result));
        assert_int_equal(record.result.verdict, VERDICT_UNDECIDED);
        assert_non_null(strstr(record.result.reason, row[i].words));
    }
    record_make(zero, half_open, 0.02, 10.0);
    record.input.motion.pressure.step = record.input.motion.travel.step = 0.0;
    assert_false(verdict_judge(&record.input, &limits, &record.result));
    assert_non_null(strstr(record.result.reason, sampled));
}

// A limit is a share, which people are told in percent, or a number of what its unit says.
static void test_limits_as_they_are_told(void **state) {
    (void)state;
    struct verdict_limits limits;
    for (size_t i = 0; i < sizeof limits / sizeof(double); i++) {
        memcpy((char *)&limits + i * sizeof(double), &(double){0.03}, sizeof(double));
    }
    char text[20000], unit[100];
    FILE *stream = fmemopen(text, sizeof text, "w");
    assert_non_null(stream);
    assert_int_equal(verdict_limits_print(stream, &limits), 0);
    assert_int_equal(fclose(stream), 0);
    size_t rows = 0;
    for (const char *row = strstr(text, "| steady_pressure"); row; row = strstr(row + 1, "\n| ")) {
        double value;
        row += row[0] == '\n';
        if (rows++ < sizeof limits / sizeof(double)) {
            assert_int_equal(sscanf(row, "| %*s | %lf | %99[^|]", &value, unit), 2);
            assert_close(value, unit[0] == '%' ? 3.0 : 0.03, 1e-12, 0.0);
        }
    }
    assert_true(rows >= sizeof limits / sizeof(double));
}

// A pattern of two cycles whose size begins to fall, or stops to: by 2 % from one pair to the next.
static void test_patterns_that_still_change(void **state) {
    (void)state; // E
    static struct cycles falling, fallen, same;
    const struct verdict_limits limits = verdict_limits_default();
    enum { CYCLES = 20 };
    for (int i = 0; i < CYCLES; i++) {
        const int pair = i / 2;
        const double size = i % 2 ? 2.0 : 1.0, later = pair < 4 ? 0.0 : pair - 3.0;
        const double before = pair < 6 ? pair : 6.0;
        falling.cycle[i].pressure_high = size * exp(-0.02 * later);
        fallen.cycle[i].pressure_high = size * exp(-0.02 * before);
        same.cycle[i].pressure_high = size;
    }
    falling.count = fallen.count = same.count = CYCLES;
    falling.total = fallen.total = same.total = 3 * CYCLES;
    assert_true(cycles_still_changing(&falling, 2, &limits, false));
    assert_false(cycles_still_changing(&fallen, 2, &limits, false));
    assert_false(cycles_still_changing(&same, 2, &limits, false));
    // Of 36 cycles the last six pairs are looked at: how fast it fell before is no matter.
    for (int i = 0; i < CYCLES; i++) {
        const int pair = i / 2;
        const double fall = pair < 4 ? 0.1 * pair : 0.4 + 0.01 * (pair - 4);
        falling.cycle[i].pressure_high = (i % 2 ? 2.0 : 1.0) * exp(-fall);
    }
    falling.total = 36;
    assert_true(cycles_still_changing(&falling, 2, &limits, false));
}

// Both sides of change_persists, 0.5: the later half falls by so much of the earlier one's slope.
static void test_change_that_persists(void **state) {
    (void)state; // own definition
    static struct cycles cycles = {.count = 11, .total = 33};
    const struct verdict_limits limits = verdict_limits_default();
    const double share[] = {0.55, 0.45};
    for (int k = 0; k < 2; k++) {
        for (int i = 0; i < 11; i++) {
            const double fall = 0.01 * (i < 5 ? i : 5.0 + share[k] * (i - 5));
            cycles.cycle[i].travel_high = exp(-fall);
        }
        assert_int_equal(cycles_still_changing(&cycles, 1, &limits, true), k == 0);
    }
}

// Three samples are the least that show a crest.
static void test_crest_of_three_samples(void **state) {
    (void)state; // E
    const double value[] = {0.0, 1.0, 0.0};
    static struct turning_points points;
    const struct verdict_limits limits = verdict_limits_default();
    turning_points_find(&(struct series){value, 3, 5.0, 2.0}, 0.1, &limits, &points);
    assert_int_equal(points.count, 1);
    assert_close(points.time[0], 7.0, 1e-12, 0.0);
    assert_close(points.value[0], 1.0, 1e-12, 0.0);
    turning_points_find(&(struct series){value, 2, 5.0, 2.0}, 0.1, &limits, &points);
    assert_int_equal(points.count, 0);
}

static void test_short_records(void **state) {
    (void)state;
    for (size_t count = 0; count < 12; ++count) {
        record_make(edge, half_open, 0.02, 1.0);
        record.input.motion.pressure.count = count;
        record.input.motion.travel.count = count;
        assert_verdict(VERDICT_UNDECIDED, false);
    }
    record_make(edge, half_open, 0.02, 1.0);
    record.input.from = 5.0;
    assert_verdict(VERDICT_UNDECIDED, false);
}

static void test_coarse_samples_are_named(void **state) {
    (void)state;
    edge_amplitude = 0.02;
    record_make(edge, half_open, 0.093, 60.0);
    record.input.limit = 60.0;
    assert_verdict(VERDICT_UNDECIDED, false);
    assert_non_null(strstr(record.result.reason, "samples a cycle"));
}

static void test_names_and_table(void **state) {
    (void)state;
    for (int i = 0; i < VERDICT_COUNT; ++i) {
        enum verdict found = VERDICT_STEADY;
        assert_true(verdict_parse(verdict_name((enum verdict)i), &found));
        assert_int_equal(found, i);
    }
    enum verdict found;
    assert_false(verdict_parse("wobbling", &found));
    struct verdict_limits limits = verdict_limits_default();
    FILE *file = tmpfile();
    assert_non_null(file);
    assert_int_equal(verdict_limits_print(file, &limits), 0);
    char text[16384] = {0};
    rewind(file);
    assert_true(fread(text, 1, sizeof text - 1, file) > 0);
    fclose(file);
    assert_non_null(strstr(text, "| chatter_rate | 300 | contacts a minute |"));
    assert_non_null(strstr(text, "| wide open |"));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_decrement_is_recovered),
        cmocka_unit_test(test_damping_edge_at_rest),
        cmocka_unit_test(test_a_fast_decay_cut_off_is_not_ringing),
        cmocka_unit_test(test_decay_is_decided_early),
        cmocka_unit_test(test_rest_threshold_both_sides),
        cmocka_unit_test(test_growth_is_waited_for),
        cmocka_unit_test(test_growth_at_the_limit_hunts),
        cmocka_unit_test(test_slow_decay_is_no_cycle),
        cmocka_unit_test(test_decay_to_a_small_cycle_is_no_rest),
        cmocka_unit_test(test_early_contacts_do_not_slam),
        cmocka_unit_test(test_schedule_ahead),
        cmocka_unit_test(test_drift_threshold_both_sides),
        cmocka_unit_test(test_two_frequencies),
        cmocka_unit_test(test_bad_input_is_refused),
        cmocka_unit_test(test_input_that_cannot_be),
        cmocka_unit_test(test_limits_as_they_are_told),
        cmocka_unit_test(test_patterns_that_still_change),
        cmocka_unit_test(test_crest_of_three_samples),
        cmocka_unit_test(test_change_that_persists),
        cmocka_unit_test(test_short_records),
        cmocka_unit_test(test_coarse_samples_are_named),
        cmocka_unit_test(test_names_and_table),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
