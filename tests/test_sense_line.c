// SPDX-License-Identifier: MIT
// The line from the tap to the diaphragm, with waves. Marks: E exact algebra from stated equations.
#include "fixture_case.h"

#include "run/pipe_figure.h"
#include "solve/linearise.h"

#include <math.h>

static const double TWO_PI = 6.283185307179586;

// Air at 343 m/s, isothermal and without friction, between a vessel whose pressure hardly moves and
// a diaphragm that stays where it is: the pilot is massive and stiff, and sweeps nothing.
static const char still[] =
    "duty: back-pressure\nactuation: direct\n"
    "site: {atmosphere: 101325 Pa(a)}\n"
    "fluid: {molar_mass: 28.9647 g/mol, exponent: 1.4, compressibility: 1, temperature: "
    "409.848254 K, thermal: isothermal, viscosity: 1e-4 cP, laminar_drop: 1 Pa}\n"
    "vessel: {volume: 1000 m3}\ninflow: {rate: 100 kg/h}\ndownstream: {pressure: 1 bar(g)}\n"
    "set: {pressure: 3 bar(g)}\n"
    "trim: {port: 20 mm, travel: 10 mm, discharge: 0.6, flow_law: nozzle, force: balanced, leak: "
    "0}\n"
    "actuator: {diaphragm_area: 12 cm2, spring_rate: 1 N/mm, moving_mass: 5 kg, damping: 10 N s/m, "
    "swept_volume: no}\n";

static bool open_text(const char *text, struct scenario **scenario, struct scenario_case *c) {
    struct diagnostics list = {0};
    *scenario = scenario_load_text("sense-line", text, strlen(text), &list);
    bool fine = *scenario && scenario_resolve(*scenario, 0, c, &list);
    if (!fine) {
        diagnostics_print(&list, stderr);
    }
    diagnostics_free(&list);
    return fine;
}

// The lowest frequency [Hz] above that of the plug, and how it dies out.
static struct linear_mode first_wave(const char *sense, double above) {
    char text[2048];
    struct scenario *scenario;
    struct scenario_case c;
    snprintf(text, sizeof text, "%s%s", still, sense);
    assert_true(open_text(text, &scenario, &c));
    struct start start;
    start_prepare(&c, &start);
    const struct equilibrium *rest = equilibrium_choose(&start.rest);
    assert_true(rest && rest->polished);
    struct regulator smooth;
    struct linear_modes modes;
    linearise_prepare(&smooth, &start.regulator.parameters);
    assert_true(linearise_modes(&smooth, &start.mode, 0.0, rest->state, &modes));
    struct linear_mode lowest = {.frequency = (double)INFINITY};
    for (size_t i = 0; i < modes.count; i++) {
        const struct linear_mode *m = &modes.at[i];
        lowest = m->frequency > above && m->frequency < lowest.frequency ? *m : lowest;
    }
    scenario_case_free(&c);
    scenario_free(scenario);
    return lowest;
}

static void test_quarter_wave(void **state) {
    (void)state;
    // E: closed at the diaphragm, f = c/(4 L), low by (pi/(4 N))^2/6 = 0.0457 % with 15 cells.
    struct linear_mode wave = first_wave("line_sense: {length: 3.43 m, bore: 8 mm, friction: 0, "
                                         "entrance_loss: 0, cells: 15}\nsense: {passage: ideal}\n",
                                         10.0);
    assert_close(wave.frequency, 25.0, 1e-3, 0.0);
    assert_true(fabs(wave.damping_ratio) < 1e-3);
}

static void test_cavity_at_the_end(void **state) {
    (void)state;
    // E: with a volume V at its end x tan x = A L/V, x = 2 pi f L/c: 1 -> 0.8603335890, 0.1 ->
    // 0.3110528482. The passage is a laminar one as wide and short as to be next to nothing.
    const double ratio[] = {1.0, 0.1}, exact[] = {0.8603335890, 0.3110528482};
    for (int i = 0; i < 2; i++) {
        char text[512];
        double area = 0.25 * 3.14159265358979323846 * 0.008 * 0.008,
               volume = area * 3.43 / ratio[i];
        snprintf(text, sizeof text,
                 "line_sense: {length: 3.43 m, bore: 8 mm, friction: 0, entrance_loss: 0, cells: "
                 "15}\nsense: {passage: laminar, bore: 20 mm, length: 1 mm, cavity_volume: %.9g "
                 "m3}\n",
                 volume);
        struct linear_mode wave = first_wave(text, 3.0);
        assert_close(wave.frequency, exact[i] * 343.0 / (TWO_PI * 3.43), 2e-3, 0.0);
    }
}

static void test_chamber_and_closed_pilot(void **state) {
    (void)state;
    // E: a volume at one end, closed at the other: tan x = -x/C, C = A L/V = 0.1 -> 1.6319945272.
    // The pilot's seats are pinholes, its moving parts and the plug far slower than the wave.
    const char *const overrides[] = {"fluid.thermal=isothermal",
                                     "fluid.viscosity=1e-4 cP",
                                     "actuator.swept_volume=no",
                                     "line_loading.bore=8 mm",
                                     "line_loading.length=1.9894 m",
                                     "line_loading.friction=0",
                                     "line_loading.entrance_loss=0",
                                     "line_loading.cells=15",
                                     "actuator.chamber_volume=1 L",
                                     "pilot.supply_seat=0.25 mm",
                                     "pilot.bleed=0.2 mm",
                                     "friction.kinetic=0 lbf",
                                     NULL};
    struct fixture_case c;
    struct start start;
    fixture_case_open(&c, decline, "reduced", overrides);
    start_prepare(&c.resolved, &start);
    const struct equilibrium *rest = equilibrium_choose(&start.rest);
    assert_true(rest && rest->polished);
    struct regulator smooth;
    struct linear_modes modes;
    linearise_prepare(&smooth, &start.regulator.parameters);
    assert_true(linearise_modes(&smooth, &start.mode, 0.0, rest->state, &modes));
    assert_int_equal(smooth.layout.count, start.regulator.layout.count);
    double exact = 1.6319945272 * smooth.pipe[LINE_LOADING].wave_speed / (TWO_PI * 1.9894);
    double nearest = (double)INFINITY;
    for (size_t i = 0; i < modes.count; i++) {
        double off = fabs(modes.at[i].frequency / exact - 1.0);
        nearest = off < nearest ? off : nearest;
    }
    assert_true(nearest < 2e-3);
    fixture_case_close(&c);
}

static void test_balances(void **state) {
    (void)state;
    // Mass and energy of a slamming regulator, to 1e-9 of what passes, tapped at the vessel and on
    // a line.
    const char *const overrides[] = {
        "line_sense.length=10 ft",   "line_sense.bore=0.3 in",
        "line_sense.cells=5",        "line_sense.wall_conductance=2 W/K",
        "run.duration=3 s",          "line_before.length=10 ft",
        "line_before.bore=3.068 in", "line_before.cells=4",
        "sense.tap_distance=3 ft",   NULL};
    for (int tapped = 0; tapped < 2; tapped++) {
        const char *some[14] = {NULL};
        memcpy(some, overrides, (tapped ? 9 : 8) * sizeof some[0]);
        struct fixture_case c;
        fixture_case_simulate(&c, decline, "full", some);
        assert_int_equal(c.run.outcome, SIMULATION_DONE);
        assert_true(c.run.mass_error < 1e-9 && c.run.energy_error < 1e-9);
        assert_true(c.run.start.regulator.has_line[LINE_SENSE]);
        assert_close(pipe_figure_quarter(&c.run, LINE_SENSE),
                     c.run.start.regulator.pipe[LINE_SENSE].wave_speed / (4.0 * 3.048), 1e-12, 0.0);
        fixture_case_close(&c);
    }
}

static void test_rest(void **state) {
    (void)state;
    // Nothing flows in it at rest, so nothing else changes; tapped on a line it reads that place.
    const char *const base[] = {"line_before.length=10 ft", "line_before.bore=3.068 in",
                                "sense.tap_distance=3 ft", NULL};
    const char *const with[] = {"line_before.length=10 ft", "line_before.bore=3.068 in",
                                "sense.tap_distance=3 ft",  "line_sense.length=20 ft",
                                "line_sense.bore=0.3 in",   "line_loading.length=20 ft",
                                "line_loading.bore=0.3 in", NULL};
    struct fixture_case a, b;
    fixture_case_open(&a, decline, "reduced", base);
    fixture_case_open(&b, decline, "reduced", with);
    struct start s, t;
    start_prepare(&a.resolved, &s);
    start_prepare(&b.resolved, &t);
    const struct equilibrium *x = equilibrium_choose(&s.rest), *y = equilibrium_choose(&t.rest);
    assert_true(x && y && x->polished && y->polished);
    assert_close(y->pressure[NODE_CONTROLLED], x->pressure[NODE_CONTROLLED], 1e-9, 0.0);
    assert_close(y->travel, x->travel, 1e-6, 0.0);
    double rate[REGULATOR_STATES_MAX];
    assert_int_equal(regulator_derivatives(&t.regulator, &t.mode, 0.0, y->state, rate), 0);
    const struct regulator_layout *l = &t.regulator.layout;
    assert_true(l->line_states[LINE_SENSE] > 0 && l->line_states[LINE_LOADING] > 0);
    for (int i = l->travel; i < l->mass_in; i++) {
        assert_true(fabs(rate[i]) < 1e-6 * l->slot[i].scale);
    }
    fixture_case_close(&a);
    fixture_case_close(&b);
}

// Volume of the vessel and of all nodes of the lines [m3].
static double volume_of(const struct regulator *r) {
    double sum = r->size[NODE_CONTROLLED];
    for (int line = 0; line < LINE_COUNT; line++) {
        for (int i = 0; r->has_line[line] && i < r->pipe[line].cells; i++) {
            sum += r->pipe[line].volume[i];
        }
    }
    return sum;
}

static void test_no_volume_is_lost_at_a_tap(void **state) {
    (void)state;
    // E: vessel, pipe and tubing hold what they measure, wherever the tubing begins: at the near
    // end, between two nodes, between the vessel and the first node, at the vessel.
    static const char *const distance[] = {"0 ft", "3 ft", "9.9 ft", "10 ft"};
    const double foot = 0.3048, inch = 0.0254;
    const double pipe = 10.0 * foot * TWO_PI / 8.0 * pow(3.0 * inch, 2.0);
    const double tubing = 20.0 * foot * TWO_PI / 8.0 * pow(0.5 * inch, 2.0);
    for (size_t i = 0; i < sizeof distance / sizeof distance[0]; i++) {
        char tap[40];
        snprintf(tap, sizeof tap, "sense.tap_distance=%s", distance[i]);
        const char *const overrides[] = {"vessel.volume=1 ft3",
                                         "line_before.length=10 ft",
                                         "line_before.bore=3 in",
                                         "line_sense.length=20 ft",
                                         "line_sense.bore=0.5 in",
                                         tap,
                                         NULL};
        struct fixture_case c;
        struct regulator r;
        fixture_case_open(&c, decline, "full", overrides);
        regulator_prepare(&r, &c.resolved.model);
        assert_close(volume_of(&r), foot * foot * foot + pipe + tubing, 1e-12, 0.0);
        fixture_case_close(&c);
    }
}

static void expect_error(const char *sense, const char *field) {
    char text[2048];
    struct diagnostics list = {0};
    struct scenario_case c;
    snprintf(text, sizeof text, "%s%s", still, sense);
    struct scenario *scenario = scenario_load_text("sense-line", text, strlen(text), &list);
    assert_non_null(scenario);
    assert_false(scenario_resolve(scenario, 0, &c, &list));
    bool found = false;
    for (size_t i = 0; i < list.count; i++) {
        found = found || strstr(list.items[i].message, field);
    }
    if (!found) {
        diagnostics_print(&list, stderr);
    }
    assert_true(found);
    scenario_free(scenario);
    diagnostics_free(&list);
}

static void test_errors(void **state) {
    (void)state;
    expect_error("line_sense: {length: 3 m}\n", "line_sense.bore");
    expect_error("line_sense: {length: 3 m, bore: 8 mm, cells: 16}\nsense: {passage: "
                 "ideal}\n",
                 "line_sense.cells");
    expect_error(
        "line_sense: {length: 3 m, bore: 8 mm}\nsense: {passage: ideal, tap_bore: 80 mm}\n",
        "sense.tap_bore");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_quarter_wave),
        cmocka_unit_test(test_cavity_at_the_end),
        cmocka_unit_test(test_chamber_and_closed_pilot),
        cmocka_unit_test(test_balances),
        cmocka_unit_test(test_rest),
        cmocka_unit_test(test_no_volume_is_lost_at_a_tap),
        cmocka_unit_test(test_errors),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
