// SPDX-License-Identifier: MIT
// The verdict on synthetic records that keep moving: cycles, contact, irregular and forced motion.
// Sources: the signals are closed forms (E); the limits that separate the verdicts are this
// program's own definitions (sim/judge/verdict_table.c), so their edges are tested on both sides.
#include "verdict_record.h"

static double alternating(double time) {
    return 0.02 * sin(2.0 * PI * 2.0 * time) + 0.006 * sin(2.0 * PI * time + 0.7);
}

static void test_period_two(void **state) {
    (void)state;
    record_make(alternating, half_open, 0.01, 30.0);
    assert_verdict(VERDICT_HUNTING, true);
    assert_int_equal(record.result.figures.pattern, 2);
    assert_close(record.result.figures.frequency, 2.0, 1e-3, 0.0);
}

// Amplitude of each cycle by the logistic map at 4, which never repeats; fixed start, so the same
// record on every machine up to rounding, and the verdict does not hang on the rounding.
static double chaos[4000];

static void chaos_fill(void) {
    chaos[0] = 0.3;
    for (size_t i = 1; i < sizeof chaos / sizeof chaos[0]; ++i) {
        chaos[i] = 4.0 * chaos[i - 1] * (1.0 - chaos[i - 1]);
    }
}

static double chaotic(double time) {
    size_t cycle = (size_t)(time * 2.0);
    return (0.01 + 0.02 * chaos[cycle]) * sin(2.0 * PI * 2.0 * time);
}

static void test_irregular(void **state) {
    (void)state;
    chaos_fill();
    record_make(chaotic, half_open, 0.02, 20.0);
    assert_verdict(VERDICT_UNDECIDED, false);
    record_make(chaotic, half_open, 0.02, 400.0);
    assert_verdict(VERDICT_IRREGULAR, true);
    assert_false(record.result.figures.periodic);
    assert_close(record.result.figures.frequency, 2.0, 0.05, 0.0);
    // The same with a contact in each cycle is slamming, and says that it does not repeat.
    for (size_t i = 0; i < 799; ++i) {
        record_add_contact(0.5 * (double)i + 0.375, 0.1 + 0.2 * chaos[i]);
    }
    assert_verdict(VERDICT_SLAMMING, true);
    assert_false(record.result.figures.periodic);
    assert_close(record.result.figures.seat_rate, 120.0, 0.02, 0.0);
}

// Closes in on a cycle by a part in fourteen each time.
static double closes_in(double time) {
    const double cycle = 2.0 * time;
    return 0.02 * (1.0 + 0.3 * exp(-cycle / 14.0)) * sin(2.0 * PI * cycle);
}

// What must be called something when a run ends anyway need not be while it can go on.
static void test_what_goes_on_is_not_judged_like_an_end(void **state) {
    (void)state;
    double (*const pressure[])(double) = {closes_in, chaotic};
    chaos_fill();
    for (size_t i = 0; i < 2; ++i) {
        record_make(pressure[i], half_open, 0.01, 20.0);
        record.input.limit = 20.0;
        assert_verdict(VERDICT_IRREGULAR, true);
        record.input.goes_on = true;
        assert_verdict(VERDICT_UNDECIDED, false);
        record.input.goes_on = false;
    }
}

static double slamming_pressure(double time) {
    return 0.03 * sin(2.0 * PI * 2.0 * time);
}

// Plug that bounces: |sin| has its corner at the seat.
static double slamming_travel(double time) {
    return 0.4 * fabs(sin(PI * 2.0 * time));
}

static void test_slamming(void **state) {
    (void)state;
    record_make(slamming_pressure, slamming_travel, 0.013, 20.0);
    for (int i = 0; i < 40; ++i) {
        record_add_contact(0.5 * i, 0.2);
    }
    assert_verdict(VERDICT_SLAMMING, true);
    const struct verdict_figures *figures = &record.result.figures;
    assert_true(figures->periodic);
    assert_close(figures->seat_rate, 120.0, 0.01, 0.0);
    assert_close(figures->seat_speed, 0.2, 1e-12, 0.0);
    // E: m v^2/2 with 2.5 kg.
    assert_close(figures->seat_energy, 0.05, 1e-12, 0.0);
}

// Events of two sizes: a hard blow and its small rebound, in each cycle.
static void test_contacts_of_two_sizes(void **state) {
    (void)state;
    record_make(slamming_pressure, slamming_travel, 0.013, 20.0);
    for (int i = 0; i < 40; ++i) {
        record_add_contact(0.5 * i + 0.01, 0.2);
        record_add_contact(0.5 * i + 0.05, 0.02);
    }
    assert_verdict(VERDICT_SLAMMING, true);
    assert_close(record.result.figures.seat_rate, 240.0, 0.01, 0.0);
    assert_close(record.result.figures.seat_speed_mean, 0.11, 1e-9, 0.0);
}

static double rattle_rate;
static double rattle(double time) {
    return 0.4 * fabs(sin(PI * rattle_rate * time));
}

static double rattle_pressure(double time) {
    return 0.002 * sin(2.0 * PI * rattle_rate * time);
}

static void test_chatter_edge(void **state) {
    (void)state;
    const double rates[] = {4.95, 5.05}; // 297 and 303 a minute
    for (int k = 0; k < 2; ++k) {
        rattle_rate = rates[k];
        record_make(rattle_pressure, rattle, 0.004, 10.0);
        for (int i = 0; i < 51; ++i) {
            record_add_contact(i / rattle_rate, 0.3);
        }
        assert_verdict(k == 0 ? VERDICT_SLAMMING : VERDICT_CHATTER, true);
    }
}

// Each slug of 10 s is answered by a decaying oscillation at its start.
static double slug_damping;
static double slug_response(double time) {
    double phase = fmod(time, 10.0);
    double level = phase < 4.0 ? 0.02 : 0.0;
    double since = phase < 4.0 ? phase : phase - 4.0;
    double size = phase < 4.0 ? -0.02 : 0.02;
    return level + size * exp(-slug_damping * since) * cos(2.0 * PI * 2.0 * since);
}

static double slug_travel(double time) {
    return 0.3 + slug_response(time);
}

static void test_forced(void **state) {
    (void)state;
    slug_damping = 2.0;
    record_make(slug_response, slug_travel, 0.02, 45.0);
    record.input.schedule_period = 10.0;
    assert_verdict(VERDICT_FORCED, true);
    assert_close(record.result.figures.frequency, 0.1, 1e-9, 0.0);
    record.input.motion.pressure.count = 1900;
    record.input.motion.travel.count = 1900;
    assert_verdict(VERDICT_UNDECIDED, false);
    // An oscillation that each slug only resets is hunting.
    slug_damping = 0.0;
    record_make(slug_response, slug_travel, 0.02, 45.0);
    record.input.schedule_period = 10.0;
    assert_verdict(VERDICT_HUNTING, true);
    assert_close(record.result.figures.frequency, 2.0, 0.02, 0.0);
    // With contact it is slamming.
    slug_damping = 2.0;
    record_make(slug_response, slug_travel, 0.02, 45.0);
    record.input.schedule_period = 10.0;
    for (int i = 0; i < 5; ++i) {
        record_add_contact(10.0 * i + 4.2, 0.1);
    }
    assert_verdict(VERDICT_SLAMMING, true);
}

// Stick-slip: pressure creeps while the plug is stuck, then the plug jumps; 40 s a cycle.
static double stick_pressure(double time) {
    double phase = fmod(time, 40.0);
    return phase < 20.0 ? -0.005 + 0.0005 * phase : 0.005 - 0.0005 * (phase - 20.0);
}

static double stick_travel(double time) {
    return fmod(time, 40.0) < 20.0 ? 0.30 : 0.34;
}

static void test_stick_slip_is_not_rest(void **state) {
    (void)state;
    record_make(stick_pressure, stick_travel, 0.02, 15.0);
    assert_verdict(VERDICT_UNDECIDED, false);
    record_make(stick_pressure, stick_travel, 0.05, 900.0);
    assert_verdict(VERDICT_HUNTING, true);
    assert_close(record.result.figures.frequency, 1.0 / 40.0, 0.005, 0.0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_period_two),
        cmocka_unit_test(test_irregular),
        cmocka_unit_test(test_what_goes_on_is_not_judged_like_an_end),
        cmocka_unit_test(test_slamming),
        cmocka_unit_test(test_contacts_of_two_sizes),
        cmocka_unit_test(test_chatter_edge),
        cmocka_unit_test(test_forced),
        cmocka_unit_test(test_stick_slip_is_not_rest),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
