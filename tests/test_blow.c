// SPDX-License-Identifier: MIT
// Blows graded against the load at rest on the seat, and what lines feel.
#include "fixture_case.h"

#include "run/blow.h"
#include "run/pipe_figure.h"

static void test_touch_is_called_one(void **state) {
    (void)state;
    struct fixture_case c;
    fixture_case_simulate(&c, decline, "full", NULL);
    // The load by hand: 45 psig before and 15 psig behind a port of 2.9 in, 50 lbf of spring.
    double load = 30.0 * 6894.757 * 0.7853981634 * pow(2.9 * 0.0254, 2.0) + 50.0 * 4.4482216;
    assert_close(blow_load(&c.run), load, 1e-3, 0.0);
    assert_int_equal(c.run.judged.verdict, VERDICT_SLAMMING);
    assert_int_equal(blow_grade(&c.run), BLOW_TOUCH);
    assert_non_null(strstr(c.run.judged.reason, "touch"));
    assert_close(blow_share(&c.run), c.run.seat_force / load, 1e-3, 0.0);
    // The first kick hits harder than any blow of the motion that stays.
    assert_true(blow_fastest(&c.run) >= c.run.judged.figures.seat_speed);
    assert_true(blow_seated(&c.run) > 0.05 && blow_seated(&c.run) < 0.95);
    // Grades follow the force.
    const double share[] = {0.9, 1.1, 9.0, 11.0};
    const enum blow grade[] = {BLOW_TOUCH, BLOW_BLOW, BLOW_BLOW, BLOW_HAMMER};
    for (int i = 0; i < 4; i++) {
        c.run.seat_force = share[i] * load;
        assert_int_equal(blow_grade(&c.run), grade[i]);
    }
    fixture_case_close(&c);
}

static void test_no_blow_without_contact(void **state) {
    (void)state;
    struct fixture_case c;
    fixture_case_simulate(&c, decline, "reduced", NULL);
    assert_int_equal(blow_grade(&c.run), BLOW_NONE);
    assert_true(isnan(blow_share(&c.run)) && isnan(blow_fastest(&c.run)));
    assert_true(isnan(pipe_figure_quarter(&c.run, LINE_BEFORE)));
    assert_false(channel_applies(&c.run.start.regulator, CHANNEL_SHAKING_AFTER));
    fixture_case_close(&c);
}

static void test_velocity_of_concern(void **state) {
    (void)state;
    // Energy Institute guideline, formula and values from memory: 10 Hz 4.96 mm/s, 1 Hz 1.68.
    assert_close(pipe_figure_concern_speed(10.0), 4.96e-3, 2e-3, 0.0);
    assert_close(pipe_figure_concern_speed(1.0), 1.68e-3, 2e-3, 0.0);
}

// A dump of water through 100 m of pipe, shut in 20 ms, many times faster than its waves run.
static void test_hammer_against_joukowsky(void **state) {
    (void)state;
    struct fixture_case c;
    fixture_case_simulate(&c, "scenarios/dump-hammer.yaml", NULL, NULL);
    const struct simulation *s = &c.run;
    double peak = 0.0, first = s->channel[CHANNEL_INLET_PRESSURE][0];
    for (size_t i = 0; i < s->count; i++) {
        peak = fmax(peak, s->channel[CHANNEL_INLET_PRESSURE][i]);
    }
    double exact = pipe_figure_stop(s, LINE_BEFORE); // N. Joukowsky (1898): rho a v
    assert_true(peak - first > 0.8 * exact && peak - first < 1.15 * exact);
    fixture_case_close(&c);
}

static void test_force_on_a_run(void **state) {
    (void)state;
    // The force on a run is the change of momentum in it: half the run near the regulator feels
    // less than the whole pipe, and the force of all is the pipe's area times the pressures at its
    // ends, but for friction and mean flow.
    const char *const elbows[][3] = {{"run.duration=0.2 s", "line_before.elbow=0 ft", NULL},
                                     {"run.duration=0.2 s", "line_before.elbow=5 ft", NULL}};
    double force[2];
    for (int i = 0; i < 2; i++) {
        struct fixture_case c;
        fixture_case_simulate(&c, "scenarios/hard-slam.yaml", NULL, elbows[i]);
        const struct simulation *s = &c.run;
        force[i] = pipe_figure_shaking(s, LINE_BEFORE);
        double most = 0.0, area = s->start.regulator.pipe[LINE_BEFORE].area[0];
        for (size_t k = 0; k < s->count; k++) {
            most = fmax(most, area * fabs(s->channel[CHANNEL_CONTROLLED_PRESSURE][k] -
                                          s->channel[CHANNEL_INLET_PRESSURE][k]));
        }
        if (i == 0) {
            assert_close(force[0], most, 0.05, 0.0);
        }
        fixture_case_close(&c);
    }
    assert_true(force[1] > 0.3 * force[0] && force[1] < 0.95 * force[0]);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_touch_is_called_one), cmocka_unit_test(test_no_blow_without_contact),
        cmocka_unit_test(test_velocity_of_concern), cmocka_unit_test(test_hammer_against_joukowsky),
        cmocka_unit_test(test_force_on_a_run),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
