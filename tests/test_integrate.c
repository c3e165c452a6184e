// SPDX-License-Identifier: MIT
// The event loop against closed forms and against the known traps of the solver it drives
// (style.md 6.1 to 6.4). Expectations are exact (E) or comparisons of runs with each other.
#include "fixtures.h"
#include "support.h"

static struct fixture_record record, other;

// Drop the ball from 1 m with an inflow schedule.
static struct integrate_result drop(struct schedule flow, const struct integrate_options *o,
                                    double *y) {
    struct regulator_parameters p = fixture_ball(1e-6);
    p.flow = flow;
    struct regulator r;
    regulator_prepare(&r, &p);
    struct regulator_mode mode = fixture_rest(&r, 1.0, p.atmosphere, y);
    return fixture_run(&r, &mode, y, o, &record);
}

// The slamming relief valve (q = 5), from 1.5 times a lift of 1.5 mm.
static struct integrate_result slam(const struct integrate_options *o, double *y,
                                    struct fixture_record *keep) {
    struct regulator_parameters p = fixture_relief_valve(20.0, 1.25, 5.0);
    struct regulator r;
    regulator_prepare(&r, &p);
    struct regulator_mode mode = fixture_rest(&r, 2.2e-3, p.atmosphere + 11.5e5, y);
    return fixture_run(&r, &mode, y, o, keep);
}

static void test_damped_oscillator_in_all_regimes(void **state) {
    (void)state; // E
    const double ratio[] = {0.05, 1.0, 3.0}, omega = 20.0;
    for (int i = 0; i < 3; i++) {
        struct regulator_parameters p = fixture_still(DUTY_REDUCING);
        p.actuator.spring_rate = omega * omega;
        p.actuator.damping = 2.0 * ratio[i] * omega;
        struct regulator r;
        regulator_prepare(&r, &p);
        double y[REGULATOR_STATES_MAX], t = 0.7, z = ratio[i], wt = omega * t;
        struct regulator_mode mode = fixture_rest(&r, 0.5, p.atmosphere, y);
        struct integrate_options o = fixture_options(t, 1e-9);
        assert_int_equal(fixture_run(&r, &mode, y, &o, NULL).status, INTEGRATE_DONE);
        double d = sqrt(fabs(1.0 - z * z)), expected = exp(-wt) * (1.0 + wt);
        if (z < 1.0) {
            expected = exp(-z * wt) * (cos(d * wt) + z / d * sin(d * wt));
        } else if (z > 1.0) {
            expected = exp(-z * wt) * (cosh(d * wt) + z / d * sinh(d * wt));
        }
        assert_close(y[r.layout.travel], 0.5 * expected, 0.0, 1e-7);
    }
}

static void test_sampling_never_changes_the_states(void **state) {
    (void)state;
    // Same bits at common times for any sample interval, through contacts and restarts.
    double y[2][REGULATOR_STATES_MAX];
    struct integrate_options o = fixture_options(0.0625, 1e-6);
    o.sample_interval = 0x1p-14;
    struct integrate_result fine = slam(&o, y[0], &record);
    o.sample_interval = 0x1p-10;
    struct integrate_result coarse = slam(&o, y[1], &other);
    assert_memory_equal(y[0], y[1], 5 * sizeof(double));
    assert_int_equal(fine.statistics.steps, coarse.statistics.steps);
    assert_int_equal(fine.statistics.rate_calls, coarse.statistics.rate_calls);
    assert_int_equal(record.event_count, other.event_count);
    assert_true(record.event_count > 40);
    for (int i = 0; i < record.event_count; i++) {
        assert_close(record.event[i].time, other.event[i].time, 0.0, 0.0);
    }
    assert_int_equal(other.sample_count, 65);
    for (int i = 0; i < other.sample_count; i++) {
        assert_close(other.time[i], record.time[16 * i], 0.0, 0.0);
        assert_close(other.travel[i], record.travel[16 * i], 0.0, 0.0);
        assert_close(other.controlled[i], record.controlled[16 * i], 0.0, 0.0);
    }
}

static void test_samples_are_even_and_whole(void **state) {
    (void)state;
    double y[REGULATOR_STATES_MAX];
    struct integrate_options o = fixture_options(0.05, 1e-6);
    o.sample_interval = 1e-4;
    slam(&o, y, &record);
    assert_in_range(record.sample_count, 500, 501); // 0.05/1e-4 may round either way
    for (int i = 0; i < record.sample_count; i++) {
        assert_close(record.time[i], i * 1e-4, 1e-15, 0.0);
        assert_true(record.travel[i] >= -1e-9); // nothing from beyond a rigid seat
    }
}

static void test_rerun_gives_the_same_bits(void **state) {
    (void)state;
    double y[2][REGULATOR_STATES_MAX];
    struct integrate_options o = fixture_options(0.05, 1e-6);
    slam(&o, y[0], NULL);
    slam(&o, y[1], NULL);
    assert_memory_equal(y[0], y[1], 5 * sizeof(double));
}

static void test_bounces_have_no_spurious_roots(void **state) {
    (void)state;
    // E: 30 contacts in 4.058 s, one crest between each two, nothing else.
    double y[REGULATOR_STATES_MAX];
    struct integrate_options o = fixture_options(4.058, 1e-9);
    drop(schedule_constant(0.0), &o, y);
    int contacts = fixture_count(&record, EVENT_SEAT_CONTACT);
    double rest = 9.0 * sqrt(2.0 / 9.81), left = rest - 4.058; // E: time left falls as e^n
    int expected = 0;
    for (double after = rest * 8.0 / 9.0; after > left; after *= 0.8) {
        expected++;
    }
    assert_int_equal(contacts, expected);
    assert_int_equal(record.event_count - contacts, fixture_count(&record, EVENT_TRAVEL_REVERSAL));
    assert_in_range(record.event_count - contacts, contacts - 1, contacts + 1);
    for (int i = 1; i < record.event_count; i++) {
        assert_true(record.event[i].time > record.event[i - 1].time);
    }
}

static void test_short_pulse_is_not_stepped_over(void **state) {
    (void)state;
    // 1 ms at t = 5 s into a vessel at rest. E: it receives 2 kg/s x 1 ms.
    const double time[] = {0.0, 5.0, 5.0, 5.001, 5.001}, value[] = {0.0, 0.0, 2.0, 2.0, 0.0};
    struct schedule pulse = {.kind = SCHEDULE_POINTS, .count = 5, .time = time, .value = value};
    struct regulator_parameters p = fixture_ball(1e-6);
    p.flow = pulse;
    struct regulator r;
    regulator_prepare(&r, &p);
    double y[REGULATOR_STATES_MAX];
    struct regulator_mode mode = fixture_rest(&r, 0.0, p.atmosphere, y);
    mode.plug = HOLD_LOW;
    struct integrate_options o = fixture_options(10.0, 1e-6);
    o.sample_interval = 1.0;
    struct integrate_result result = fixture_run(&r, &mode, y, &o, &record);
    assert_int_equal(result.status, INTEGRATE_DONE);
    assert_close(y[r.layout.mass_in], 2e-3, 1e-9, 0.0);
    assert_int_equal(record.step_count, 2);
    assert_true(result.statistics.steps < 1000);
}

static void test_stop_times_survive_restarts(void **state) {
    (void)state;
    // Bounces restart the solver between pulses; no pulse may be lost, moved or doubled.
    struct schedule slugs = {.kind = SCHEDULE_SLUG,
                             .base = 0.0,
                             .peak = 3.0,
                             .start = 0.3,
                             .period = 0.07,
                             .duration = 1e-3};
    double y[REGULATOR_STATES_MAX];
    struct integrate_options o = fixture_options(3.6, 1e-8);
    struct integrate_result result = drop(slugs, &o, y);
    assert_int_equal(result.status, INTEGRATE_DONE);
    const int pulses = 48; // E: 0.3 + 0.07 n below 3.6
    assert_int_equal(record.step_count, 2 * pulses);
    assert_close(y[4 - 1], pulses * 3e-3, 1e-9, 0.0); // x, v, excess, mass in
    assert_int_equal(fixture_count(&record, EVENT_SEAT_CONTACT), 10);
}

static void test_breaks_within_rounding_of_an_event(void **state) {
    (void)state;
    // A stop, a sample or a schedule step a few last digits either side of a contact.
    double y[REGULATOR_STATES_MAX];
    struct integrate_options o = fixture_options(1.0, 1e-9);
    drop(schedule_constant(0.0), &o, y);
    double contact = fixture_last(&record, EVENT_SEAT_CONTACT)->time;
    for (int digits = -4; digits <= 4; digits++) {
        double near = contact * (1.0 + digits * 1.1102230246251565e-16);
        o = fixture_options(near, 1e-9);
        o.sample_interval = near;
        struct integrate_result result = drop(schedule_constant(0.0), &o, y);
        assert_int_equal(result.status, INTEGRATE_DONE);
        assert_close(result.statistics.end_time, near, 0.0, 0.0);
        const double time[] = {0.0, near, near}, value[] = {0.0, 0.0, 1.0};
        struct schedule step = {.kind = SCHEDULE_POINTS, .count = 3, .time = time, .value = value};
        o = fixture_options(1.0, 1e-9);
        result = drop(step, &o, y);
        assert_int_equal(result.status, INTEGRATE_DONE);
        assert_int_equal(fixture_count(&record, EVENT_SEAT_CONTACT), 1);
        assert_int_equal(record.step_count, 1);
        assert_close(y[3], 1.0 - near, 1e-9, 0.0);
    }
}

static void test_contact_at_the_start(void **state) {
    (void)state;
    struct regulator_parameters p = fixture_ball(1e-6);
    struct regulator r;
    regulator_prepare(&r, &p);
    double y[REGULATOR_STATES_MAX];
    struct regulator_mode mode = fixture_rest(&r, 0.0, p.atmosphere, y);
    y[r.layout.speed] = -1.0;
    struct integrate_options o = fixture_options(0.01, 1e-9);
    assert_int_equal(fixture_run(&r, &mode, y, &o, &record).status, INTEGRATE_DONE);
    assert_int_equal(fixture_count(&record, EVENT_SEAT_CONTACT), 1);
    assert_close(record.event[0].time, 0.0, 0.0, 1e-6);
    assert_close(y[r.layout.speed], 0.8 - 0.0981, 0.0, 1e-5); // E
    // At rest on the seat but not yet known to be: it must be found held, and not creep.
    mode = fixture_rest(&r, 0.0, p.atmosphere, y);
    assert_int_equal(fixture_run(&r, &mode, y, &o, &record).status, INTEGRATE_DONE);
    assert_int_equal(mode.plug, HOLD_LOW);
    assert_close(y[r.layout.travel], 0.0, 0.0, 0.0);
}

static void test_held_plug_is_released_by_force(void **state) {
    (void)state;
    // E: 1e-5 m3/s into 1 m3 of K = 2e9 Pa raises 20 kPa/s; 50 N over 1e-3 m2 lifts at 2.5 s.
    struct regulator_parameters p = fixture_still(DUTY_BACK_PRESSURE);
    p.flow = schedule_constant(1e-5 * 1000.0);
    p.actuator.preload = 50.0;
    p.actuator.seat.law = CONTACT_RIGID;
    p.actuator.seat.rest_speed = 1e-4;
    struct regulator r;
    regulator_prepare(&r, &p);
    double y[REGULATOR_STATES_MAX];
    struct regulator_mode mode = fixture_rest(&r, 0.0, p.atmosphere, y);
    mode.plug = HOLD_LOW;
    struct integrate_options o = fixture_options(2.6, 1e-9);
    assert_int_equal(fixture_run(&r, &mode, y, &o, &record).status, INTEGRATE_DONE);
    assert_int_equal(record.event[0].transition.event, EVENT_SEAT_LIFT);
    assert_close(record.event[0].time, 2.5, 1e-9, 0.0);
    assert_true(y[r.layout.travel] > 0.0);
}

// E: a set pressure that steps by 100 kPa turns 50 N on 1e-3 m2 into as much the other way, in one
// instant: the held plug goes then and there, though the force was never seen to cross zero.
static void test_held_plug_is_released_by_a_jump(void **state) {
    (void)state;
    for (int opens = 0; opens < 2; opens++) {
        struct regulator_parameters p = fixture_still(DUTY_REDUCING);
        const double atmosphere = p.atmosphere;
        const double time[] = {0.0, 0.5, 0.5};
        const double set[] = {atmosphere - 5e4, atmosphere - 5e4, atmosphere + 5e4};
        const double back[] = {atmosphere + 5e4, atmosphere + 5e4, atmosphere - 5e4};
        p.set_is_force = false;
        p.set_point = (struct schedule){
            .kind = SCHEDULE_POINTS, .count = 3, .time = time, .value = opens ? set : back};
        p.actuator.seat.law = CONTACT_RIGID;
        p.actuator.seat.rest_speed = 1e-4;
        p.actuator.stop = p.actuator.seat;
        struct regulator r;
        regulator_prepare(&r, &p);
        double y[REGULATOR_STATES_MAX];
        const double start = opens ? 0.0 : p.trim.rated_travel;
        struct regulator_mode mode = fixture_rest(&r, start, atmosphere, y);
        mode.plug = opens ? HOLD_LOW : HOLD_HIGH;
        struct integrate_options o = fixture_options(0.51, 1e-9);
        assert_int_equal(fixture_run(&r, &mode, y, &o, &record).status, INTEGRATE_DONE);
        assert_int_equal(fixture_count(&record, opens ? EVENT_SEAT_LIFT : EVENT_STOP_LEAVE), 1);
        assert_close(record.event[0].time, 0.5, 0.0, 0.0);
        assert_true(opens ? y[r.layout.travel] > 0.0 : y[r.layout.travel] < start);
    }
}

// Travel of the relief valve after 20 ms without contact (q = 8.2).
static double smooth_run(double tolerance, bool adams, int order) {
    struct regulator_parameters p = fixture_relief_valve(20.0, 1.25, 8.2);
    struct regulator r;
    regulator_prepare(&r, &p);
    double y[REGULATOR_STATES_MAX];
    struct regulator_mode mode = fixture_rest(&r, 2e-3, p.atmosphere + 12.4e5, y);
    struct integrate_options o = fixture_options(0.02, tolerance);
    o.adams = adams;
    o.max_order = order;
    assert_int_equal(fixture_run(&r, &mode, y, &o, NULL).status, INTEGRATE_DONE);
    return y[r.layout.travel];
}

static void test_tolerance_ladder(void **state) {
    (void)state;
    double exact = smooth_run(1e-12, false, 5);
    double error[3], tolerance[] = {1e-5, 1e-7, 1e-9};
    for (int i = 0; i < 3; i++) {
        error[i] = fabs(smooth_run(tolerance[i], false, 5) - exact) / 2e-3;
        print_message("rtol %.0e: error %.1e of travel\n", tolerance[i], error[i]);
        assert_true(error[i] < 300.0 * tolerance[i]);
    }
    assert_true(error[1] < 0.1 * error[0] && error[2] < 0.1 * error[1]);
}

static void test_methods_agree_where_not_stiff(void **state) {
    (void)state;
    double bdf = smooth_run(1e-9, false, 5);
    assert_close(smooth_run(1e-9, true, 12), bdf, 1e-5, 0.0);
    assert_close(smooth_run(1e-8, false, 2), bdf, 1e-3, 0.0);
}

static void test_event_time_error_follows_tolerance(void **state) {
    (void)state;
    double y[REGULATOR_STATES_MAX], time[4], tolerance[] = {1e-11, 1e-5, 1e-7, 1e-9};
    for (int i = 0; i < 4; i++) {
        struct integrate_options o = fixture_options(0.02, tolerance[i]);
        slam(&o, y, &record);
        int contact = 0;
        for (int j = 0; j < record.event_count && contact < 3; j++) { // the third contact
            time[i] = record.event[j].time;
            contact += record.event[j].transition.event == EVENT_SEAT_CONTACT;
        }
        assert_int_equal(contact, 3);
    }
    double error[3];
    for (int i = 0; i < 3; i++) {
        error[i] = fabs(time[i + 1] - time[0]) / 2e-3; // of a period
        print_message("rtol %.0e: contact time error %.1e of a period\n", tolerance[i + 1],
                      error[i]);
        assert_true(error[i] < 300.0 * tolerance[i + 1]);
    }
    assert_true(error[2] < 0.01 * error[0]); // one of a ladder may be small by luck
}

static void test_statistics_add_up_over_restarts(void **state) {
    (void)state;
    double y[REGULATOR_STATES_MAX];
    struct integrate_options o = fixture_options(0.1, 1e-6);
    struct integrate_result result = slam(&o, y, &record);
    const struct integrate_statistics *s = &result.statistics;
    int contacts = fixture_count(&record, EVENT_SEAT_CONTACT);
    assert_true(contacts > 30);
    assert_int_equal(s->events, record.event_count);
    assert_true(s->restarts == contacts); // a reversal jumps nothing
    assert_true(s->steps > 10 * s->restarts && s->rate_calls > s->steps);
    assert_close(s->end_time, 0.1, 0.0, 0.0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_damped_oscillator_in_all_regimes),
        cmocka_unit_test(test_sampling_never_changes_the_states),
        cmocka_unit_test(test_samples_are_even_and_whole),
        cmocka_unit_test(test_rerun_gives_the_same_bits),
        cmocka_unit_test(test_bounces_have_no_spurious_roots),
        cmocka_unit_test(test_short_pulse_is_not_stepped_over),
        cmocka_unit_test(test_stop_times_survive_restarts),
        cmocka_unit_test(test_breaks_within_rounding_of_an_event),
        cmocka_unit_test(test_contact_at_the_start),
        cmocka_unit_test(test_held_plug_is_released_by_force),
        cmocka_unit_test(test_held_plug_is_released_by_a_jump),
        cmocka_unit_test(test_tolerance_ladder),
        cmocka_unit_test(test_methods_agree_where_not_stiff),
        cmocka_unit_test(test_event_time_error_follows_tolerance),
        cmocka_unit_test(test_statistics_add_up_over_restarts),
    };
    const int failed = cmocka_run_group_tests_name("by CVODE", tests, NULL, NULL);
    fixture_rosenbrock = true;
    return failed + cmocka_run_group_tests_name("by the one-step method", tests, NULL, NULL);
}
