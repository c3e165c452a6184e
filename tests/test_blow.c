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

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_touch_is_called_one),
        cmocka_unit_test(test_no_blow_without_contact),
        cmocka_unit_test(test_velocity_of_concern),
        cmocka_unit_test(test_hammer_against_joukowsky),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
