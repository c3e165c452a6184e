// SPDX-License-Identifier: MIT
// Settled or kicked, and hysteresis, on the main demo (invented). No outside source: each number
// the search returns is checked by runs on either side of it.
#include "fixture_case.h"

#include "steady/sweep.h"

static const double PSI = 6894.757293168361;

static void open_demo(struct fixture_case *c, const char *trim, const char *const *overrides,
                      struct steadiness *subject) {
    fixture_case_open(c, decline, trim, overrides);
    assert_true(steadiness_prepare(&c->resolved, subject));
}

static void test_settled_but_not_when_kicked(void **state) {
    (void)state;
    struct fixture_case c;
    struct steadiness subject;
    open_demo(&c, "full", NULL, &subject);
    double flow = 20.0 * subject.flow; // above the neutral flow, below that of the last cycle
    struct steadiness_kick k = steadiness_smallest_kick(&subject, flow, 10.0 * PSI);
    assert_int_equal(k.rest, STEADINESS_STEADY);
    assert_true(k.size > 0.2 * PSI && k.size < 5.0 * PSI && k.runs >= 5);
    double sign = k.upward ? 1.0 : -1.0;
    assert_int_not_equal(steadiness_kicked_once(&subject, flow, sign * k.size),
                         STEADINESS_DIES_OUT);
    assert_true(steadiness_kicked(&subject, flow, 0.0));
    assert_true(steadiness_kicked(&subject, flow, 0.96 * k.size));
    assert_false(steadiness_kicked(&subject, flow, k.size));
    assert_false(steadiness_kicked(&subject, flow, k.largest));
    fixture_case_close(&c);
}

static void test_held_by_friction(void **state) {
    (void)state; // small motions grow, yet it takes a kick to start them; without friction none
    struct fixture_case c;
    struct steadiness subject;
    open_demo(&c, "full", NULL, &subject);
    struct steadiness_kick k = steadiness_smallest_kick(&subject, subject.flow, 10.0 * PSI);
    assert_int_equal(k.rest, STEADINESS_UNSTEADY);
    assert_true(k.size > 0.1 * PSI && k.size < 2.0 * PSI);
    assert_int_equal(steadiness_kicked_once(&subject, subject.flow, 0.5 * k.size),
                     STEADINESS_DIES_OUT);
    assert_int_equal(steadiness_kicked_once(&subject, subject.flow, 2.0 * k.size),
                     STEADINESS_KEEPS_MOVING);
    assert_false(steadiness_kicked(&subject, subject.flow, 0.0));
    assert_false(steadiness_kicked(&subject, subject.flow, 0.5 * k.size));
    fixture_case_close(&c);

    const char *const overrides[] = {"friction.kinetic=0 lbf", NULL};
    open_demo(&c, "full", overrides, &subject);
    k = steadiness_smallest_kick(&subject, subject.flow, 10.0 * PSI);
    assert_int_equal(k.rest, STEADINESS_UNSTEADY);
    assert_close(k.size, 0.0, 0.0, 0.0);
    assert_int_equal(k.runs, 0);
    fixture_case_close(&c);
}

// A kick that throws the pressure far over its mark, with a bounce or two, and shuts the plug until
// a large tank has emptied: what a single run sees come to rest dies out.
static void test_an_overshoot_is_no_motion_that_lasts(void **state) {
    (void)state;
    static const double flow[] = {0.0026896, 0.0050027, 0.00532798, 0.0104};
    struct fixture_case c;
    struct steadiness subject;
    fixture_case_open(&c, "scenarios/fuel-gas-tank.yaml", NULL, NULL);
    assert_true(steadiness_prepare(&c.resolved, &subject));
    const double kick = 0.04 * subject.set_gauge;
    for (int i = 0; i < 4; i++) {
        for (int way = -1; way <= 1; way += 2) {
            struct scenario_case run = subject.held;
            run.model.flow = schedule_constant(flow[i]);
            run.run.duration *= 4.0;
            run.start =
                (struct start_options){.from = START_EQUILIBRIUM, .kick_pressure = way * kick};
            struct simulation s;
            simulate(&run, &s);
            assert_int_equal(s.judged.verdict, VERDICT_STEADY);
            simulation_free(&s);
            assert_int_equal(steadiness_kicked_once(&subject, flow[i], way * kick),
                             STEADINESS_DIES_OUT);
        }
    }
    fixture_case_close(&c);
}

static void test_nothing_to_find(void **state) {
    (void)state;
    struct fixture_case c;
    struct steadiness subject;
    enum verdict verdict;
    open_demo(&c, "reduced", NULL, &subject);
    struct steadiness_kick k = steadiness_smallest_kick(&subject, subject.flow, 10.0 * PSI);
    assert_true(isinf(k.size) && k.runs == 2); // every kick dies out, up and down
    k = steadiness_smallest_kick(&subject, 50.0 * subject.flow, 10.0 * PSI);
    assert_int_equal(k.rest, STEADINESS_WIDE_OPEN);
    assert_true(isnan(k.size) && k.runs == 0);
    assert_int_equal(steadiness_kicked_once(&subject, 50.0 * subject.flow, PSI), STEADINESS_NO_RUN);
    double shut_in = c.resolved.set_pressure;
    assert_int_equal(steadiness_restart(&subject, subject.flow, shut_in, &verdict),
                     STEADINESS_DIES_OUT);
    assert_true(verdict <= VERDICT_RINGING);
    fixture_case_close(&c);
    open_demo(&c, "full", NULL, &subject);
    assert_int_equal(steadiness_restart(&subject, subject.flow, shut_in, &verdict),
                     STEADINESS_KEEPS_MOVING);
    assert_int_equal(verdict, VERDICT_SLAMMING);
    fixture_case_close(&c);
}

static void test_lowest_flow_that_stands_a_kick(void **state) {
    (void)state;
    struct fixture_case c;
    struct steadiness subject;
    open_demo(&c, "full", NULL, &subject);
    double kick = 3.0 * PSI, low = 15.0 * subject.flow, high = 24.0 * subject.flow;
    const double settled = steadiness_lowest_flow(&subject, low, high).lowest;
    const double kicked = steadiness_kicked_from(&subject, settled, high, high, kick);
    assert_true(kicked > 1.02 * settled && kicked < 1.5 * settled);
    assert_true(steadiness_kicked(&subject, kicked, kick));
    assert_false(steadiness_kicked(&subject, 0.985 * kicked, kick));
    // Wherever one looks from and up to, the same end of the same range.
    const double near[] = {settled, 1.01 * settled, 1.02 * kicked, 1.3 * kicked};
    for (size_t i = 0; i < sizeof near / sizeof near[0]; i++) {
        assert_close(steadiness_kicked_from(&subject, settled, 0.97 * high, near[i], kick), kicked,
                     1e-12, 0.0);
    }
    fixture_case_close(&c);
}

// The spacing of the trace is for the trace.
static void test_spacing_of_the_trace_changes_no_answer(void **state) {
    (void)state;
    struct steadiness_kick found[2];
    struct sweep_step step[2][2];
    for (int i = 0; i < 2; i++) {
        struct fixture_case c;
        struct steadiness subject;
        const char *const spacing[] = {
            i ? "run.sample_interval=0.7 s" : "run.sample_interval=10 ms", NULL};
        open_demo(&c, "full", spacing, &subject);
        const double flow = 2.0 * subject.flow;
        found[i] = steadiness_smallest_kick(&subject, flow, 3.0 * PSI);
        sweep_run(&subject, &flow, 1, &step[i][0], &step[i][1]);
        fixture_case_close(&c);
    }
    assert_close(found[1].size, found[0].size, 0.0, 0.0);
    assert_int_equal(step[1][0].verdict, step[0][0].verdict);
    assert_close(step[1][0].pressure_swing, step[0][0].pressure_swing, 0.0, 0.0);
}

// --- Hysteresis

static void test_rising_and_falling_differ(void **state) {
    (void)state; // between the neutral flow and that of the last cycle, both rest and cycle persist
    struct fixture_case c;
    struct steadiness subject;
    open_demo(&c, "full", NULL, &subject);
    enum { COUNT = 5 };
    double flow[COUNT]; // steps so small that they are no kick themselves
    struct sweep_step up[COUNT], down[COUNT];
    for (int i = 0; i < COUNT; i++) {
        flow[i] = (20.6 + 0.55 * i) * subject.flow;
    }
    sweep_run(&subject, flow, COUNT, up, down);
    assert_true(up[0].verdict >= VERDICT_HUNTING && up[0].pressure_swing > 5.0 * PSI);
    assert_true(up[COUNT - 1].verdict <= VERDICT_RINGING);
    assert_int_equal(down[0].verdict, VERDICT_STEADY);
    assert_true(down[0].pressure_swing < 0.5 * PSI);
    for (int i = 0; i < COUNT; i++) {
        assert_close(up[i].flow, flow[i], 0.0, 0.0);
        assert_close(down[i].flow, flow[i], 0.0, 0.0);
    }
    fixture_case_close(&c);
}

static void test_motion_is_carried_over_contact(void **state) {
    (void)state; // a run cut short while the plug hits or leaves its seat goes on all the same
    struct fixture_case c;
    struct steadiness subject;
    open_demo(&c, "full", NULL, &subject);
    enum { COUNT = 6 };
    double flow[COUNT];
    struct sweep_step up[COUNT], down[COUNT];
    for (int i = 0; i < COUNT; i++) {
        flow[i] = (0.4 + 0.22 * i) * subject.flow;
    }
    sweep_run(&subject, flow, COUNT, up, down);
    for (int i = 0; i < COUNT; i++) {
        assert_int_equal(up[i].verdict, VERDICT_SLAMMING);
        assert_int_equal(down[i].verdict, VERDICT_SLAMMING);
        assert_close(down[i].pressure_swing, up[i].pressure_swing, 0.03, 0.0);
        assert_close(down[i].frequency, up[i].frequency, 0.03, 0.0);
    }
    fixture_case_close(&c);
}

static void test_going_on_is_one_long_run(void **state) {
    (void)state; // 8 s and 12 s more against 20 s at once, at a hundredth of the swing
    const char *const overrides[] = {"run.stop_early=no", "start.kick_pressure=3 psi", NULL};
    struct fixture_case c;
    fixture_case_open(&c, decline, "full", overrides);
    struct simulation whole, first, second;
    c.resolved.run.duration = 20.0;
    simulate(&c.resolved, &whole);
    c.resolved.run.duration = 8.0;
    simulate(&c.resolved, &first);
    c.resolved.run.duration = 12.0;
    simulate_so(&c.resolved, &(struct simulation_manner){.from = &first.end}, &second);
    assert_int_equal(second.outcome, SIMULATION_DONE);
    double swing = whole.judged.figures.pressure_swing;
    const double *pressure = whole.channel[CHANNEL_CONTROLLED_PRESSURE];
    assert_close(second.channel[CHANNEL_CONTROLLED_PRESSURE][second.count - 1],
                 pressure[whole.count - 1], 0.0, 0.01 * swing);
    assert_true(second.mass_error < 1e-6);
    simulation_free(&whole);
    simulation_free(&first);
    simulation_free(&second);
    fixture_case_close(&c);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_settled_but_not_when_kicked),
        cmocka_unit_test(test_held_by_friction),
        cmocka_unit_test(test_an_overshoot_is_no_motion_that_lasts),
        cmocka_unit_test(test_nothing_to_find),
        cmocka_unit_test(test_lowest_flow_that_stands_a_kick),
        cmocka_unit_test(test_spacing_of_the_trace_changes_no_answer),
        cmocka_unit_test(test_rising_and_falling_differ),
        cmocka_unit_test(test_motion_is_carried_over_contact),
        cmocka_unit_test(test_going_on_is_one_long_run),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
