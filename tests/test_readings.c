// SPDX-License-Identifier: MIT
// Readings: what a gauge would show of a known regulator gives its parts back, and what contradicts
// itself is named.
#include "fixture_hardware.h"
#include "fixture_scenario.h"

#include "run/simulate.h"
#include "site/readings.h"
#include "site/readings_stroke.h"

static const double psi = 6894.757293168361;

static struct scenario *with(const char *section) {
    char text[4000];
    snprintf(text, sizeof text, "%sreadings:\n%s", pilot_scenario, section);
    struct diagnostics list = {0};
    struct scenario *scenario = scenario_load_text("test.yaml", text, strlen(text), &list);
    diagnostics_print(&list, stderr);
    assert_int_equal(list.errors, 0);
    diagnostics_free(&list);
    return scenario;
}

// A spring of 1474 lbf/in over 0.76 in and a preload of 87 lbf on 38 in2, friction 5 lbf: by hand
// 2.289 psi, 29.48 psi, 0.1316 psi.
static void test_readings_of_the_chamber(void **state) {
    (void)state;
    struct scenario *scenario = with("  first_movement: 2.421 psi\n"
                                     "  last_movement: 2.158 psi\n"
                                     "  full_travel: 31.90 psi\n"
                                     "  leaves_full_travel: 31.638 psi\n"
                                     "  gauge: 0.02 psi\n");
    struct scenario_case c = fixture_resolve(scenario, 0);
    struct diagnostics list = {0};
    struct readings r;
    assert_true(readings_take(&r, scenario, &c, &list));
    assert_int_equal(r.count, 3);
    assert_close(r.of[READINGS_PRELOAD].value / psi, 87.0 / 38.0, 1e-3, 0.0);
    assert_close(r.of[READINGS_SPAN].value / psi, 1474.0 * 0.76 / 38.0, 1e-3, 0.0);
    assert_close(r.of[READINGS_FRICTION].value / psi, 5.0 / 38.0, 5e-3, 0.0);
    // The regulator they were taken of agrees, one with half the spring does not.
    assert_true(readings_fit(&r, &c) > -0.5);
    c.model.actuator.spring_rate *= 0.5;
    assert_true(readings_fit(&r, &c) < -1000.0);
    scenario_case_free(&c);
    scenario_free(scenario);
    diagnostics_free(&list);
}

// Two of the same are weighed by how sure they are: 1/sigma^2 (any text on least squares).
static void test_readings_reconciled(void **state) {
    (void)state;
    struct scenario *scenario =
        with("  first_movement: {value: 2.5 psi, low: 2.4 psi, high: 2.6 psi}\n"
             "  full_travel: {value: 32 psi, low: 31.9 psi, high: 32.1 psi}\n"
             "  last_movement: {value: 2.2 psi, low: 1.9 psi, high: 2.5 psi}\n"
             "  leaves_full_travel: {value: 31.5 psi, low: 31.2 psi, high: 31.8 psi}\n");
    struct scenario_case c = fixture_resolve(scenario, 0);
    struct diagnostics list = {0};
    struct readings r;
    assert_true(readings_take(&r, scenario, &c, &list));
    // 29.5 +- 0.0707 and 29.3 +- 0.2121: nine to one.
    assert_close(r.of[READINGS_SPAN].value / psi, 0.9 * 29.5 + 0.1 * 29.3, 1e-6, 0.0);
    assert_close(r.of[READINGS_SPAN].sigma / psi, sqrt(1.0 / (200.0 + 200.0 / 9.0)), 1e-6, 0.0);
    scenario_case_free(&c);
    scenario_free(scenario);
    diagnostics_free(&list);
}

static void test_readings_contradict(void **state) {
    (void)state;
    struct scenario *scenario = with("  first_movement: 2.5 psi\n"
                                     "  full_travel: 32 psi\n"
                                     "  last_movement: 2.2 psi\n"
                                     "  leaves_full_travel: 25 psi\n"
                                     "  gauge: 0.1 psi\n");
    struct scenario_case c = fixture_resolve(scenario, 0);
    struct diagnostics list = {0};
    struct readings r;
    assert_false(readings_take(&r, scenario, &c, &list));
    bool named = false;
    for (size_t i = 0; i < list.count; i++) {
        named = named || strstr(list.items[i].message,
                                "full_travel and leaves_full_travel contradict first_movement and "
                                "last_movement: the chamber pressure of the friction");
    }
    assert_true(named);
    scenario_case_free(&c);
    scenario_free(scenario);
    diagnostics_free(&list);
}

// A shut vessel of 8 ft3 that the model itself fills: its rise gives the volume back.
static void test_readings_volume(void **state) {
    (void)state;
    struct scenario *scenario = fixture_load(pilot_scenario);
    struct diagnostics list = {0};
    assert_true(scenario_override(scenario, "actuator.case=downstream", &list));
    assert_true(scenario_override(scenario, "start.from=shut", &list));
    assert_true(scenario_override(scenario, "start.pressure=20 psig", &list));
    assert_true(scenario_override(scenario, "run.duration=4 s", &list));
    struct scenario_case c = fixture_resolve(scenario, 0);
    struct simulation run;
    simulate(&c, &run);
    const double *p = run.channel[CHANNEL_CONTROLLED_PRESSURE];
    const size_t from = (size_t)(0.5 / run.step);
    const size_t to = (size_t)(2.5 / run.step);
    assert_true(to < run.count);
    char text[100];
    snprintf(text, sizeof text, "  rise: %.8g Pa\n  rise_time: %.8g s\n", p[to] - p[from],
             (double)(to - from) * run.step);
    simulation_free(&run);
    scenario_case_free(&c);
    scenario_free(scenario);
    scenario = with(text);
    c = fixture_resolve(scenario, 0);
    struct readings r;
    assert_true(readings_take(&r, scenario, &c, &list));
    // The first source: the rise alone; the second is the stated volume.
    assert_int_equal(r.of[READINGS_VOLUME].count, 2);
    assert_close(r.of[READINGS_VOLUME].source[0].value, c.model.controlled.volume, 0.03, 0.0);
    scenario_case_free(&c);
    scenario_free(scenario);
    diagnostics_free(&list);
}

// Strokes against the tests' own sums, written apart.
static void test_readings_stroke(void **state) {
    (void)state;
    struct scenario *scenario = fixture_load(pilot_scenario);
    struct diagnostics list = {0};
    assert_true(scenario_override(scenario, "actuator.spring_rate=200 lbf/in", &list));
    assert_true(scenario_override(scenario, "pilot.exhaust_to=atmosphere", &list));
    assert_true(scenario_override(scenario, "actuator.case=atmosphere", &list));
    struct scenario_case c = fixture_resolve(scenario, 0);
    const struct service at = {c.set_pressure, c.model.boundary.base, c.model.atmosphere};
    for (int opens = 0; opens < 2; opens++) {
        const double own = readings_stroke(&c, opens);
        assert_true(own > 0.1);
        assert_close(own, stroke(&c.model, &at, opens), 0.05, 0.0);
    }
    scenario_case_free(&c);
    scenario_free(scenario);
    diagnostics_free(&list);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_readings_of_the_chamber), cmocka_unit_test(test_readings_reconciled),
        cmocka_unit_test(test_readings_contradict),     cmocka_unit_test(test_readings_volume),
        cmocka_unit_test(test_readings_stroke),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
