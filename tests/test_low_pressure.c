// SPDX-License-Identifier: MIT
// Service at and below the atmosphere: what is drawn from the vessel, what a set pressure of
// nothing is measured by, and whether the plug can shut. Marks: E exact algebra.
#include "fixture_scenario.h"
#include "support.h"

#include "run/simulate.h"
#include "solve/equilibrium.h"

// A zero governor: demand 35 kg/h from a vessel at a set pressure to be given.
static const char zero_governor[] =
    "duty: reducing\nactuation: direct\nfluid: {molar_mass: 28.9651 g/mol}\n"
    "vessel: {volume: 0.10 m3}\ndemand: {rate: 35 kg/h}\ninlet: {pressure: 3 bar(g)}\n"
    "set: {pressure: 1 bar(g)}\ntrim: {port: 20 mm, travel: 3 mm}\n"
    "actuator: {diaphragm_area: 300 cm2, spring_rate: 1 N/mm, moving_mass: 200 g,\n"
    "           damping: 400 N s/m}\n"
    "sense: {passage: ideal}\nrun: {duration: 5 s}\n";

// Holds a vacuum of a vessel against a deeper one.
static const char vacuum_holder[] =
    "duty: back-pressure\nactuation: direct\nfluid: {molar_mass: 28.9651 g/mol}\n"
    "vessel: {volume: 0.10 m3}\ninflow: {rate: 35 kg/h}\ndownstream: {pressure: 0.4 bar(a)}\n"
    "set: {pressure: 0.8 bar(a)}\ntrim: {port: 30 mm, travel: 6 mm}\n"
    "actuator: {diaphragm_area: 300 cm2, spring_rate: 5 N/mm, moving_mass: 400 g,\n"
    "           damping: 40 N s/m}\n"
    "sense: {passage: ideal}\n";

static struct equilibria rest_of(const struct scenario_case *c) {
    struct regulator r;
    regulator_prepare(&r, &c->model);
    struct regulator_mode mode = regulator_mode_at(&r, 0.0);
    return equilibrium_find(&r, &mode, 0.0);
}

static void test_a_stated_demand_is_served_at_any_set_pressure(void **state) {
    (void)state;
    static const char *const set[] = {"set.pressure=1 bar(g)", "set.pressure=100 mbar(g)",
                                      "set.pressure=0 bar(g)", "set.pressure=0.95 bar(a)",
                                      "set.pressure=0.5 bar(a)"};
    for (int i = 0; i < 5; i++) {
        struct scenario *scenario = fixture_load(zero_governor);
        struct scenario_case c = fixture_resolve_with(scenario, set[i]);
        // One that lets gas out into the open, or else a machine that sucks.
        assert_close(c.model.demand_outlet, i < 2 ? c.model.atmosphere : 0.0, 0.0, 0.0);
        struct simulation s;
        simulate(&c, &s);
        assert_int_equal(s.outcome, SIMULATION_DONE);
        const struct equilibrium *at = equilibrium_choose(&s.start.rest);
        assert_non_null(at);
        assert_int_equal(at->kind, EQUILIBRIUM_OPEN);
        assert_true(s.start.rest.can_shut);
        // E: what enters at rest is what is drawn.
        struct regulator_observation o;
        struct regulator_mode mode = regulator_mode_at(&s.start.regulator, 0.0);
        assert_int_equal(regulator_observe(&s.start.regulator, &mode, 0.0, at->state, &o), 0);
        assert_close(o.inflow, 35.0 / 3600.0, 1e-12, 0.0);
        assert_close(o.trim_flow, 35.0 / 3600.0, 1e-9, 0.0);
        simulation_free(&s);
        scenario_case_free(&c);
        scenario_free(scenario);
    }
}

static void test_a_stated_outlet_stands(void **state) {
    (void)state;
    struct scenario *scenario = fixture_load(zero_governor);
    struct scenario_case c = fixture_resolve_with(scenario, "demand.outlet_pressure=0.2 bar(a)");
    assert_close(c.model.demand_outlet, 2e4, 1e-12, 0.0);
    scenario_case_free(&c);
    scenario_free(scenario);
}

static void test_outlets_that_nothing_flows_to_are_refused(void **state) {
    (void)state;
    static const char *const wrong[][3] = {
        {"set.pressure=0.95 bar(a)", "demand.law=orifice", // into the open, as long as not said
         "found 101.325 kPa(a); must be below demand.at_pressure, 95 kPa(a)"},
        {"set.pressure=0 bar(g)", "demand.outlet_pressure=0 bar(g)",
         "found 0 kPa(g); must be below demand.at_pressure, 0 kPa(g)"},
        {"set.pressure=1 bar(g)", "demand.outlet_pressure=1.2 bar(g)",
         "found 120 kPa(g); must be below demand.at_pressure, 100 kPa(g)"},
    };
    for (int i = 0; i < 3; i++) {
        struct scenario *scenario = fixture_load(zero_governor);
        struct diagnostics list = {0};
        struct scenario_case c;
        assert_true(scenario_override(scenario, wrong[i][0], &list));
        assert_true(scenario_override(scenario, wrong[i][1], &list));
        assert_false(scenario_resolve(scenario, 0, &c, &list));
        assert_int_equal(list.errors, 1);
        print_message("%s\n", list.items[0].message);
        assert_non_null(strstr(list.items[0].message, "demand.outlet_pressure"));
        assert_non_null(strstr(list.items[0].message, wrong[i][2]));
        diagnostics_free(&list);
        scenario_case_free(&c);
        scenario_free(scenario);
    }
}

static double shut_force(const struct scenario_case *c) {
    struct regulator r;
    regulator_prepare(&r, &c->model);
    struct regulator_mode mode = regulator_mode_at(&r, 0.0);
    return regulator_static_shut_force(&r, &mode, 0.0);
}

static void test_can_shut_below_the_atmosphere(void **state) {
    (void)state;
    // E, flow over the plug: the diaphragm pushes shut by a tenth of the gauge pressure, and the
    // plug by the drop that is left. A set pressure at the atmosphere counts as 1 % of that off it.
    const double area = 3e-2, port = 0.25 * 3.14159265358979323846 * 9e-4, atmosphere = 101325.0;
    static const char *const set[] = {"set.pressure=0.8 bar(a)", "set.pressure=0 bar(g)",
                                      "set.pressure=2 bar(a)"};
    const double held[] = {8e4, 101325.0, 2e5}, scale[] = {21325.0, 1013.25, 98675.0};
    for (int i = 0; i < 3; i++) {
        struct scenario *scenario = fixture_load(vacuum_holder);
        struct scenario_case c = fixture_resolve_with(scenario, set[i]);
        assert_close(c.model.atmosphere, atmosphere, 1e-5, 0.0);
        double away = 0.1 * scale[i];
        assert_close(shut_force(&c), -area * away - port * (held[i] - away - 4e4), 1e-4, 0.0);
        assert_true(rest_of(&c).can_shut);
        // From under it, the plug is pushed open: by more than that, in a large port.
        c.model.trim.direction = TRIM_FLOW_TO_OPEN;
        assert_close(shut_force(&c), -area * away + port * (held[i] - away - 4e4), 1e-4, 0.0);
        c.model.trim.port_diameter = 0.15;
        assert_false(rest_of(&c).can_shut);
        scenario_case_free(&c);
        scenario_free(scenario);
    }
}

static void test_something_moves_it(void **state) {
    (void)state; // 2 % of the set pressure, gauge; a hundredth of the atmosphere counts at least
    static const char *const set[] = {"set.pressure=0.5 bar(a)", "set.pressure=0 bar(g)"};
    const double scale[] = {51325.0, 1013.25};
    for (int i = 0; i < 2; i++) {
        struct scenario *scenario = fixture_load(zero_governor);
        struct scenario_case c = fixture_resolve_with(scenario, set[i]);
        assert_close(c.start.kick_pressure, 0.02 * scale[i], 1e-4, 0.0);
        scenario_case_free(&c);
        scenario_free(scenario);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_stated_demand_is_served_at_any_set_pressure),
        cmocka_unit_test(test_a_stated_outlet_stands),
        cmocka_unit_test(test_outlets_that_nothing_flows_to_are_refused),
        cmocka_unit_test(test_can_shut_below_the_atmosphere),
        cmocka_unit_test(test_something_moves_it),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
