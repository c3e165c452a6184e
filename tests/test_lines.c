// SPDX-License-Identifier: MIT
// Lines through whole scenarios: the quarter-wave limit of a relief-type valve, a reducing
// regulator on a dead-end line, balances, where a line is tapped. Marks: E exact algebra from
// stated equations.
#include "fixture_case.h"

#include "solve/linearise.h"

static const double PI = 3.14159265358979323846;
static const char inlet_pipe[] = "scenarios/inlet-pipe-short.yaml";

// The least stable swing between two frequencies [Hz] at the point of rest of a case.
static struct linear_mode swing(const struct scenario_case *c, double low, double high) {
    struct start start;
    struct linear_mode worst = {.growth = -(double)INFINITY};
    struct linear_modes modes;
    start_prepare(c, &start);
    assert_non_null(equilibrium_choose(&start.rest));
    assert_true(equilibrium_choose(&start.rest)->polished);
    struct regulator smooth;
    linearise_prepare(&smooth, &start.regulator.parameters);
    assert_true(
        linearise_modes(&smooth, &start.mode, 0.0, equilibrium_choose(&start.rest)->state, &modes));
    for (size_t i = 0; i < modes.count; i++) {
        const struct linear_mode *m = &modes.at[i];
        bool inside = m->frequency > low && m->frequency < high;
        worst = inside && m->growth > worst.growth ? *m : worst;
    }
    return worst;
}

static double inlet_growth(double length, const char *cells) {
    struct fixture_case c;
    char text[64];
    snprintf(text, sizeof text, "line_before.length=%.9g m", length);
    // A tenth of the flow, since the formula neglects it.
    const char *const overrides[] = {text, cells, "trim.slot_width=12.1702213 mm",
                                     "inflow.rate=38.4830904 kg/h", NULL};
    fixture_case_open(&c, inlet_pipe, NULL, overrides);
    double growth = swing(&c.resolved, 60.0, 180.0).growth;
    fixture_case_close(&c);
    return growth;
}

static void test_critical_length_of_an_inlet_pipe(void **state) {
    (void)state;
    // E: L_crit = pi a/(2 omega), omega = omega_v sqrt(2 + x0/x): 0.777666 m, to 0.5 % with 10
    // cells (Hos, Champneys, Paul, McNeely, J. Loss Prev. Process Ind. 31 (2014) 70-81).
    const char *const cells[] = {"line_before.cells=10", "line_before.cells=20"};
    double error[2];
    for (int i = 0; i < 2; i++) {
        double low = 0.7, high = 0.86;
        for (int round = 0; round < 16; round++) {
            double middle = 0.5 * (low + high);
            *(inlet_growth(middle, cells[i]) > 0.0 ? &high : &low) = middle;
        }
        error[i] = low / 0.777666 - 1.0;
    }
    assert_close(error[0], 0.0, 0.0, 5e-3);
    assert_close(error[1], 0.0, 0.0, 2.5e-3);
}

// A direct reducing regulator on a line whose far end is shut but for a constant draw, so that
// waves meet a closed end: air at 400 m/s, 2 kg, 50 kN/m, 300 cm2, 5 kg/s/m, 50 cm2 of pipe.
static double dead_end_growth(double length, double damping) {
    char text[2048];
    snprintf(text, sizeof text,
             "duty: reducing\nactuation: direct\n"
             "fluid: {molar_mass: 28.9647 g/mol, exponent: 1.4, compressibility: 1, temperature: "
             "557.38 K, thermal: isothermal, viscosity: 0.0001 cP, laminar_drop: 1 Pa}\n"
             "vessel: {volume: 1e-9 m3}\n"
             "demand: {rate: 1.8 kg/h}\ninlet: {pressure: 10 bar(a)}\n"
             "line_after: {length: %.9g m, bore: 79.788456 mm, friction: 0, entrance_loss: 0, "
             "cells: 20}\n"
             "trim: {port: 20 mm, travel: 10 mm, discharge: 0.8, characteristic: slot, slot_width: "
             "3.6514 mm, flow_law: nozzle, force: balanced, leak: 0}\n"
             "actuator: {diaphragm_area: 300 cm2, spring_rate: 50 N/mm, preload: 3000 N, "
             "moving_mass: 2 kg, damping: %.9g N s/m, swept_volume: no}\n"
             "sense: {passage: ideal, tap_distance: 0 m}\n",
             length, damping);
    struct diagnostics list = {0};
    struct scenario *scenario = scenario_load_text("dead-end", text, strlen(text), &list);
    struct scenario_case c;
    bool fine = scenario_resolve(scenario, 0, &c, &list);
    diagnostics_print(&list, stderr);
    assert_true(fine);
    double growth = swing(&c, 20.0, 30.0).growth;
    scenario_case_free(&c);
    scenario_free(scenario);
    diagnostics_free(&list);
    return growth;
}

static void test_dead_end_line(void **state) {
    (void)state;
    // E: neutral damping c = (A q_x Z0/omega_v) cot(theta), theta = omega_v L/a, Z0 = a/A_p:
    // theta 0.1 -> 756.415 N s/m, pi/4 -> 75.8947.
    const double theta[] = {0.1, PI / 4.0}, exact[] = {756.415, 75.8947};
    for (int i = 0; i < 2; i++) {
        double length = theta[i] * 400.0 / sqrt(5e4 / 2.0);
        double low = 0.5 * exact[i], high = 2.0 * exact[i];
        for (int round = 0; round < 20; round++) {
            double middle = 0.5 * (low + high);
            *(dead_end_growth(length, middle) > 0.0 ? &low : &high) = middle;
        }
        assert_close(low, exact[i], 0.01, 0.0);
    }
}

static void test_balances_with_lines(void **state) {
    (void)state;
    // Mass and energy of a slamming regulator between two lines, to 1e-9 of what passes.
    const char *const overrides[] = {
        "line_before.length=10 ft",   "line_before.bore=3.068 in",
        "line_after.length=10 ft",    "line_after.bore=3.068 in",
        "line_after.far_length=5 ft", "line_after.far_bore=4 in",
        "line_before.cells=6",        "line_after.cells=6",
        "run.duration=2 s",           "line_before.wall_conductance=20 W/K",
        "sense.tap_distance=3 ft",    NULL};
    struct fixture_case c;
    fixture_case_simulate(&c, decline, "full", overrides);
    assert_int_equal(c.run.outcome, SIMULATION_DONE);
    assert_true(c.run.mass_error < 1e-9 && c.run.energy_error < 1e-9);
    assert_true(c.run.seat_count > 0);
    fixture_case_close(&c);
}

// What a verdict alone is asked for, as a sweep of flows does, sees the same along a line.
static void test_brief_runs_with_lines(void **state) {
    (void)state;
    const char *const overrides[] = {"run.duration=0.5 s", NULL};
    const struct simulation_manner brief = {.brief = true};
    struct fixture_case c;
    struct simulation run;
    fixture_case_simulate(&c, "scenarios/fuel-gas-line.yaml", NULL, overrides);
    simulate_so(&c.resolved, &brief, &run);
    assert_int_equal(run.outcome, SIMULATION_DONE);
    assert_int_equal(run.count, c.run.count);
    for (size_t i = 0; i < run.count; i++) {
        assert_true(run.channel[CHANNEL_CONTROLLED_PRESSURE][i] ==
                    c.run.channel[CHANNEL_CONTROLLED_PRESSURE][i]);
        assert_true(run.channel[CHANNEL_TRAVEL][i] == c.run.channel[CHANNEL_TRAVEL][i]);
    }
    simulation_free(&run);
    fixture_case_close(&c);
}

static void test_rest_with_lines(void **state) {
    (void)state;
    // The pressure at rest is that of the scenario without lines but for what they lose.
    struct fixture_case without, with;
    const char *const overrides[] = {"line_before.length=10 ft", "line_before.bore=3.068 in",
                                     "line_after.length=10 ft", "line_after.bore=3.068 in", NULL};
    fixture_case_open(&without, decline, "reduced", NULL);
    fixture_case_open(&with, decline, "reduced", overrides);
    struct start a, b;
    start_prepare(&without.resolved, &a);
    start_prepare(&with.resolved, &b);
    assert_true(equilibrium_choose(&b.rest) && equilibrium_choose(&b.rest)->polished);
    double gas = equilibrium_choose(&b.rest)->pressure[NODE_CONTROLLED],
           at_trim = equilibrium_choose(&b.rest)->pressure[NODE_INLET];
    assert_close(gas, equilibrium_choose(&a.rest)->pressure[NODE_CONTROLLED], 1e-3, 0.0);
    assert_true(at_trim < gas && at_trim > 0.999 * gas);
    assert_close(equilibrium_choose(&b.rest)->travel, equilibrium_choose(&a.rest)->travel, 0.01,
                 0.0);
    // Nothing moves there.
    double rate[REGULATOR_STATES_MAX];
    assert_int_equal(
        regulator_derivatives(&b.regulator, &b.mode, 0.0, equilibrium_choose(&b.rest)->state, rate),
        0);
    for (int i = 0; i < b.regulator.layout.mass_in; i++) {
        assert_close(rate[i], 0.0, 0.0, 1e-4 * b.regulator.layout.slot[i].scale);
    }
    // What a study reads of it, without the lines' own pressures.
    double pressure, travel;
    regulator_glance(&b.regulator, &b.mode, 0.0, equilibrium_choose(&b.rest)->state, &pressure,
                     &travel);
    assert_close(pressure, gas, 1e-9, 0.0);
    assert_close(travel, equilibrium_choose(&b.rest)->travel, 1e-9, 0.0);
    fixture_case_close(&without);
    fixture_case_close(&with);
}

static void test_a_line_that_is_not_there_costs_nothing(void **state) {
    (void)state;
    struct fixture_case c;
    fixture_case_open(&c, decline, "full", NULL);
    struct regulator r;
    regulator_prepare(&r, &c.resolved.model);
    assert_false(r.has_lines);
    int states = r.layout.count;
    fixture_case_close(&c);
    const char *const inch[] = {"line_before.length=1/2 in", "line_before.bore=3 in", NULL};
    fixture_case_open(&c, decline, "full", inch);
    regulator_prepare(&r, &c.resolved.model);
    assert_int_equal(r.pipe[LINE_BEFORE].cells, 1); // far shorter than any wave that matters
    assert_int_equal(r.layout.count, states + 3);
    fixture_case_close(&c);
}

// Errors of lines, each with a part of its message.
static void test_errors(void **state) {
    (void)state;
    const char *const cases[][3] = {
        {"line_before.length=3 m", "sense.length=1 ft", "line_before.bore: is missing"},
        {"sense.tap_distance=1 m", "sense.length=1 ft", "needs line_before.length"},
        {"line_after.cells=50", "line_after.length=1 m", "line_after.bore: is missing"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct diagnostics list = {0};
        struct scenario *s = scenario_open(decline, cases[i], 2, &list);
        assert_null(s);
        bool found = false;
        for (size_t k = 0; k < list.count; k++) {
            found = found || strstr(list.items[k].message, cases[i][2]);
        }
        assert_true(found);
        diagnostics_free(&list);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_critical_length_of_an_inlet_pipe),
        cmocka_unit_test(test_dead_end_line),
        cmocka_unit_test(test_balances_with_lines),
        cmocka_unit_test(test_brief_runs_with_lines),
        cmocka_unit_test(test_rest_with_lines),
        cmocka_unit_test(test_a_line_that_is_not_there_costs_nothing),
        cmocka_unit_test(test_errors),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
