// SPDX-License-Identifier: MIT
// How a run can end, and that what it recorded until then is whole.
#include "support.h"

#include "fixture_case.h"
#include "run/passage.h"
#include "steady/steadiness.h"

static enum verdict verdict_with(const char *trim, const char *const *changes) {
    struct fixture_case c;
    fixture_case_simulate(&c, decline, trim, changes);
    assert_int_equal(c.run.outcome, SIMULATION_DONE);
    enum verdict verdict = c.run.judged.verdict;
    fixture_case_close(&c);
    return verdict;
}

static void test_outcomes_at_rest(void **state) {
    (void)state;
    static const char *const flood[] = {"inflow.rate=40 MMscf/d", "set.adjusted=at-crack", NULL};
    assert_int_equal(verdict_with("reduced", flood), VERDICT_WIDE_OPEN);
    static const char *const under[] = {"trim.direction=flow-to-open", "set.adjusted=at-crack",
                                        NULL};
    assert_int_equal(verdict_with("full", under), VERDICT_CANNOT_SHUT);
    // The pilot's bleed alone passes this.
    static const char *const trickle[] = {"inflow.rate=0.0001 MMscf/d", "set.adjusted=at-crack",
                                          "start.kick_pressure=0 psi", NULL};
    assert_int_equal(verdict_with("full", trickle), VERDICT_SHUT);
}

// A unit slip: 21 cm2 for 21 in2. The full chamber pressure on so small a diaphragm does not lift
// the plug against the drop on the port, and all the gas must go through the pilot.
static void test_a_plug_that_cannot_open(void **state) {
    (void)state;
    static const char *const at_flow[] = {"actuator.diaphragm_area=21 cm2", NULL};
    assert_int_equal(verdict_with("full", at_flow), VERDICT_CANNOT_OPEN);
    static const char *const cracking[] = {"actuator.diaphragm_area=21 cm2",
                                           "set.adjusted=at-crack", NULL};
    assert_int_equal(verdict_with("full", cracking), VERDICT_CANNOT_OPEN);
    // The smaller port opens a little, to 106 psig: large enough, but not lifted.
    assert_int_equal(verdict_with("reduced", at_flow), VERDICT_CANNOT_OPEN);
    struct fixture_case c;
    fixture_case_simulate(&c, decline, "full", at_flow);
    assert_non_null(strstr(c.run.judged.reason, "on its seat"));
    struct steadiness subject;
    assert_false(steadiness_prepare(&c.resolved, &subject));
    assert_int_equal(steadiness_settled(&subject, subject.flow).rest, STEADINESS_CANNOT_OPEN);
    fixture_case_close(&c);
}

// Open and at rest far above the set pressure, as a spring-loaded valve is; nothing kicks it. Its
// last step goes far beyond the last sample, and the run ends at that sample all the same.
static void test_open_at_rest_far_from_the_set_pressure(void **state) {
    (void)state;
    static const char *const calm[] = {"inflow.rate=7.17 kg/s", "start.kick_travel=0 %",
                                       "run.duration=12 s", NULL};
    struct fixture_case c;
    fixture_case_simulate(&c, "scenarios/relief-grazing.yaml", NULL, calm);
    assert_int_equal(c.run.judged.verdict, VERDICT_STEADY);
    const double recorded = (double)(c.run.count - 1) * c.run.step;
    assert_true(recorded < 0.75 * c.resolved.run.duration); // it ended early
    assert_close(c.run.statistics.end_time, recorded, 0.0, 1e-9);
    assert_true(c.run.channel[CHANNEL_TRAVEL][c.run.count - 1] > 5e-3);
    fixture_case_close(&c);
}

static void test_stuck_on_either_side(void **state) {
    (void)state;
    const struct verdict_limits limits = verdict_limits_default();
    const double edge = limits.stuck_pressure;
    assert_false(verdict_is_stuck(0.99 * edge, 1.0, true, &limits));
    assert_true(verdict_is_stuck(1.01 * edge, 1.0, true, &limits));
    assert_false(verdict_is_stuck(-1.01 * edge, 1.0, true, &limits));
    assert_true(verdict_is_stuck(-1.01 * edge, 1.0, false, &limits));
}

static void test_a_slug_that_does_not_pass(void **state) {
    (void)state;
    static const char *const slug[] = {
        "inflow.rate={slug: {base: 0.15 MMscf/d, peak: 60 MMscf/d, start: 2 s, period: 20 s, "
        "duration: 4 s}}",
        NULL};
    struct fixture_case c;
    fixture_case_simulate(&c, decline, "reduced", slug);
    assert_true(c.run.peak_not_passed);
    assert_int_equal(c.run.judged.verdict, VERDICT_WIDE_OPEN);
    fixture_case_close(&c);
}

static void test_set_out_of_reach(void **state) {
    (void)state;
    static const char *const flood[] = {"inflow.rate=40 MMscf/d", NULL};
    struct fixture_case c;
    fixture_case_simulate(&c, decline, "reduced", flood);
    assert_true(c.run.set_out_of_reach);
    assert_int_equal(c.run.judged.verdict, VERDICT_WIDE_OPEN);
    fixture_case_close(&c);
}

// The demo's full port is steady at 4 MMscf/d and slams at 0.15: a run that ends at the one has
// been at the other.
static void test_what_happened_on_the_way(void **state) {
    (void)state;
    static const char *const through[] = {
        "inflow.rate={steps: [[0 s, 4 MMscf/d], [5 s, 0.15 MMscf/d], [30 s, 4 MMscf/d]]}", NULL};
    struct fixture_case c;
    struct passage p;
    fixture_case_simulate(&c, decline, "full", through);
    assert_int_equal(c.run.judged.verdict, VERDICT_STEADY);
    assert_true(passage_worst(&c.run, &p));
    assert_int_equal(p.judged.verdict, VERDICT_SLAMMING);
    assert_close(p.from, 5.0, 1e-12, 0.0);
    assert_close(p.to, 30.0, 1e-12, 0.0);
    assert_true(p.judged.figures.pressure_swing > 5.0 * 6894.757);
    fixture_case_close(&c);
    // One that settles at each step has nothing to tell, and neither has one without steps.
    static const char *const calm[] = {
        "inflow.rate={steps: [[0 s, 0.3 MMscf/d], [20 s, 0.15 MMscf/d], [40 s, 0.3 MMscf/d]]}",
        NULL};
    fixture_case_simulate(&c, decline, "reduced", calm);
    assert_false(passage_worst(&c.run, &p));
    fixture_case_close(&c);
    fixture_case_simulate(&c, decline, "reduced", NULL);
    assert_false(passage_worst(&c.run, &p));
    fixture_case_close(&c);
}

static void test_a_failed_run_keeps_its_record(void **state) {
    (void)state;
    static const char *const few[] = {"run.max_steps=500", NULL};
    struct fixture_case c;
    fixture_case_simulate(&c, decline, "full", few);
    assert_int_equal(c.run.outcome, SIMULATION_FAILED);
    assert_non_null(strstr(c.run.message, "run.max_steps"));
    assert_true(c.run.count > 1);
    assert_true(c.run.statistics.end_time > 0.0 && c.run.statistics.end_time < 60.0);
    assert_true(c.run.mass_error < 1e-9);
    fixture_case_close(&c);
}

static void test_contacts_are_counted_after_separation(void **state) {
    (void)state;
    struct fixture_case c;
    fixture_case_simulate(&c, decline, "full", NULL);
    const struct simulation *s = &c.run;
    double separation =
        simulation_limits(&c.resolved).contact_separation * c.resolved.model.trim.rated_travel;
    assert_true(s->seat_count > 3);
    for (size_t k = 1; k < s->seat_count; k++) {
        assert_true(s->seat[k].speed > 0.0 && s->seat[k].time > s->seat[k - 1].time);
        double highest = 0.0;
        for (size_t i = 0; i < s->count; i++) {
            double time = s->step * (double)i;
            if (time > s->seat[k - 1].time && time < s->seat[k].time) {
                highest = fmax(highest, s->channel[CHANNEL_TRAVEL][i]);
            }
        }
        assert_true(highest > 0.99 * separation);
    }
    assert_close(s->seat_force,
                 contact_peak_force(&c.resolved.model.actuator.seat, s->start.regulator.solid_mass,
                                    s->judged.figures.seat_speed),
                 1e-12, 0.0);
    fixture_case_close(&c);
}

static void test_chatter_rate_is_the_scenarios(void **state) {
    (void)state;
    static const char *const low[] = {"run.chatter_rate=0.1 Hz", NULL};
    assert_int_equal(verdict_with("full", NULL), VERDICT_SLAMMING);
    assert_int_equal(verdict_with("full", low), VERDICT_CHATTER);
}

// Last: nothing resets the request.
static void test_interrupted(void **state) {
    (void)state;
    integrate_interrupt();
    struct fixture_case c;
    fixture_case_simulate(&c, decline, "full", NULL);
    assert_int_equal(c.run.outcome, SIMULATION_INTERRUPTED);
    assert_true(c.run.count >= 1 && c.run.statistics.end_time < 1.0);
    fixture_case_close(&c);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_outcomes_at_rest),
        cmocka_unit_test(test_a_plug_that_cannot_open),
        cmocka_unit_test(test_open_at_rest_far_from_the_set_pressure),
        cmocka_unit_test(test_stuck_on_either_side),
        cmocka_unit_test(test_a_slug_that_does_not_pass),
        cmocka_unit_test(test_set_out_of_reach),
        cmocka_unit_test(test_what_happened_on_the_way),
        cmocka_unit_test(test_a_failed_run_keeps_its_record),
        cmocka_unit_test(test_contacts_are_counted_after_separation),
        cmocka_unit_test(test_chatter_rate_is_the_scenarios),
        cmocka_unit_test(test_interrupted),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
