// SPDX-License-Identifier: MIT
// Readings: what a gauge would show of a known regulator gives its parts back, and what contradicts
// itself is named.
#include "fixture_hardware.h"
#include "fixture_scenario.h"

#include "run/simulate.h"
#include "site/readings.h"
#include "site/readings_droop.h"
#include "site/readings_stroke.h"
#include "steady/steadiness.h"

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

// A spring of 1474 lbf/in over 0.76 in and a preload of 87 lbf on 38 in2, kinetic friction 5 lbf
// and so 6.5 lbf of static: by hand 2.289 psi, 29.48 psi, 0.1711 psi. A slow ramp of the chamber in
// the model, 0.6 mm/s where the friction gives way at 5 mm/s, had a gap of 1.30 times twice the
// kinetic friction.
static void test_readings_of_the_chamber(void **state) {
    (void)state;
    struct scenario *scenario = with("  first_movement: 2.4605 psi\n"
                                     "  last_movement: 2.1184 psi\n"
                                     "  full_travel: 31.940 psi\n"
                                     "  leaves_full_travel: 31.598 psi\n"
                                     "  gauge: 0.02 psi\n");
    struct scenario_case c = fixture_resolve(scenario, 0);
    struct diagnostics list = {0};
    struct readings r;
    assert_true(readings_take(&r, scenario, &c, &list));
    assert_int_equal(r.count, 3);
    assert_close(r.of[READINGS_PRELOAD].value / psi, 87.0 / 38.0, 1e-3, 0.0);
    assert_close(r.of[READINGS_SPAN].value / psi, 1474.0 * 0.76 / 38.0, 1e-3, 0.0);
    assert_close(r.of[READINGS_FRICTION].value / psi, 6.5 / 38.0, 5e-3, 0.0);
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

// One of the four 30 % off, in either direction: told once, and the pair that it is of is named.
static void test_readings_name_the_pair(void **state) {
    (void)state;
    static const char *const name[] = {"first_movement", "last_movement", "full_travel",
                                       "leaves_full_travel"};
    static const double read[] = {2.45, 2.12, 31.94, 31.60};
    for (int k = 0; k < 8; k++) {
        char text[300] = "  gauge: 0.1 psi\n";
        for (int i = 0; i < 4; i++) {
            const double off = i != k / 2 ? 1.0 : k % 2 ? 1.3 : 0.7;
            snprintf(text + strlen(text), sizeof text - strlen(text), "  %s: %.4f psi\n", name[i],
                     off * read[i]);
        }
        struct scenario *scenario = with(text);
        struct scenario_case c = fixture_resolve(scenario, 0);
        struct diagnostics list = {0};
        struct readings r;
        assert_false(readings_take(&r, scenario, &c, &list));
        assert_int_equal(list.errors, 1);
        const char *message = list.items[0].message;
        char pair[100];
        snprintf(pair, sizeof pair, "%s and %s", name[k < 4 ? 0 : 2], name[k < 4 ? 1 : 3]);
        const char *found = strstr(message, "look at ");
        assert_true(strstr(message, "contradict each other") ? strstr(message, pair) != NULL
                                                             : found && strstr(found, pair));
        scenario_case_free(&c);
        scenario_free(scenario);
        diagnostics_free(&list);
    }
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

// Read rising only, the friction is in it; the regulator it was read of agrees fully.
static void test_readings_of_the_first_movement_alone(void **state) {
    (void)state;
    struct scenario *scenario = with("  first_movement: 2.4605 psi\n  gauge: 0.02 psi\n");
    struct scenario_case c = fixture_resolve(scenario, 0);
    struct diagnostics list = {0};
    struct readings r;
    assert_true(readings_take(&r, scenario, &c, &list));
    assert_true(readings_fit(&r, &c) > -0.01);
    scenario_case_free(&c);
    scenario_free(scenario);
    diagnostics_free(&list);
}

// Rising below falling by ten times what the gauge can hide: those two are named.
static void test_readings_the_wrong_way_round(void **state) {
    (void)state;
    struct scenario *scenario = with("  first_movement: 2.1 psi\n"
                                     "  last_movement: 2.5 psi\n"
                                     "  gauge: 0.05 psi\n");
    struct scenario_case c = fixture_resolve(scenario, 0);
    struct diagnostics list = {0};
    struct readings r;
    assert_false(readings_take(&r, scenario, &c, &list));
    assert_int_equal(list.errors, 1);
    assert_non_null(
        strstr(list.items[0].message, "first_movement and last_movement contradict each other"));
    scenario_case_free(&c);
    scenario_free(scenario);
    diagnostics_free(&list);
}

// Flow at which a case rests at a share of its travel; more flow, more travel.
static double pressure_at_travel(const struct scenario_case *c, double share) {
    struct steadiness subject;
    steadiness_prepare(c, &subject);
    double low = 1e-3 * subject.flow;
    double high = 1e3 * subject.flow;
    struct steadiness_settled settled = {0};
    for (int i = 0; i < 40; i++) {
        const double flow = sqrt(low * high);
        settled = steadiness_settled(&subject, flow);
        *(settled.travel < share * c->model.trim.rated_travel ? &low : &high) = flow;
    }
    return settled.pressure;
}

// Droop against points of rest. k X/A alone is 6 kPa: at 9 bar(g) the push of the flow on the port
// of 20 mm outdoes the spring, and the pressure rises.
static void test_readings_droop(void **state) {
    (void)state;
    static const char *const drops[] = {"inlet.pressure=9 bar(g)", "inlet.pressure=1.5 bar(g)"};
    for (size_t i = 0; i < 2; i++) {
        struct scenario *scenario = fixture_load(direct_scenario);
        struct diagnostics list = {0};
        assert_true(scenario_override(scenario, drops[i], &list));
        struct scenario_case c = fixture_resolve(scenario, 0);
        const double droop = readings_droop(&c);
        const double rest = pressure_at_travel(&c, 0.01) - pressure_at_travel(&c, 0.99);
        print_message("droop %g, by points of rest %g\n", droop, rest);
        assert_close(droop, rest, 0.01, 1.0);
        scenario_case_free(&c);
        scenario_free(scenario);
        diagnostics_free(&list);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_readings_of_the_chamber),
        cmocka_unit_test(test_readings_reconciled),
        cmocka_unit_test(test_readings_contradict),
        cmocka_unit_test(test_readings_volume),
        cmocka_unit_test(test_readings_stroke),
        cmocka_unit_test(test_readings_of_the_first_movement_alone),
        cmocka_unit_test(test_readings_name_the_pair),
        cmocka_unit_test(test_readings_the_wrong_way_round),
        cmocka_unit_test(test_readings_droop),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
