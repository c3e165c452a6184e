// SPDX-License-Identifier: MIT
// The line that feeds the pilot, with waves and a flow at rest. Marks: E exact algebra from stated
// equations, C the same thing computed another way.
#include "fixture_build.h"
#include "fixture_case.h"

#include "run/pipe_figure.h"
#include "solve/linearise.h"
#include "steady/driver.h"

#include <math.h>

static const double PI = 3.14159265358979323846;
static const double FOOT = 0.3048, INCH = 0.0254;

static void prepare(struct fixture_case *c, const char *path, const char *trim,
                    const char *const *overrides, struct start *start) {
    fixture_case_open(c, path, trim, overrides);
    start_prepare(&c->resolved, start);
}

static const struct equilibrium *rest_of(const struct start *start) {
    const struct equilibrium *rest = equilibrium_choose(&start->rest);
    assert_true(rest && rest->polished);
    return rest;
}

static struct regulator_observation look(const struct start *start, const double *state) {
    struct regulator_observation o;
    assert_int_equal(regulator_observe(&start->regulator, &start->mode, 0.0, state, &o), 0);
    return o;
}

// Frequency nearest to one [Hz], as a share of it.
static double nearest_wave(const struct start *start, double exact) {
    struct regulator smooth;
    struct linear_modes modes;
    linearise_prepare(&smooth, &start->regulator.parameters);
    assert_true(linearise_modes(&smooth, &start->mode, 0.0, rest_of(start)->state, &modes));
    double nearest = (double)INFINITY;
    for (size_t i = 0; i < modes.count; i++) {
        double off = modes.at[i].frequency / exact - 1.0;
        nearest = fabs(off) < fabs(nearest) ? off : nearest;
    }
    return nearest;
}

static void test_quarter_wave(void **state) {
    (void)state;
    // E: open at a supply that holds its pressure, shut at the pilot but for a pinhole: f =
    // c/(4 L), low by (pi/(4 N))^2/6 = 0.0457 % with 15 cells. A volume V ahead of the pilot,
    // behind a wide hole: x tan x = A L/V, x = 2 pi f L/c: 1 -> 0.8603335890.
    const double length = 1.9894;
    char volume[64];
    snprintf(volume, sizeof volume, "pilot.supply_volume=%.9g m3",
             0.25 * PI * 0.008 * 0.008 * length);
    const char *const overrides[] = {"fluid.thermal=isothermal",
                                     "fluid.viscosity=1e-4 cP",
                                     "fluid.laminar_drop=1 kPa",
                                     "actuator.swept_volume=no",
                                     "line_supply.bore=8 mm",
                                     "line_supply.length=1.9894 m",
                                     "line_supply.friction=0",
                                     "line_supply.entrance_loss=0",
                                     "line_supply.cells=15",
                                     "pilot.supply_seat=0.25 mm",
                                     "pilot.bleed=0.2 mm",
                                     "friction.kinetic=0 lbf",
                                     "pilot.supply=stated",
                                     "pilot.supply_pressure=80 psig",
                                     volume,
                                     "pilot.supply_line=20 mm",
                                     NULL};
    for (int with_volume = 0; with_volume < 2; with_volume++) {
        const char *some[17] = {NULL};
        memcpy(some, overrides, (with_volume ? 16 : 14) * sizeof some[0]);
        struct fixture_case c;
        struct start start;
        prepare(&c, decline, "reduced", some, &start);
        double speed = start.regulator.pipe[LINE_SUPPLY].wave_speed;
        double off = with_volume ? nearest_wave(&start, 0.8603335890 * speed / (2.0 * PI * length))
                                 : nearest_wave(&start, speed / (4.0 * length));
        print_message("quarter wave off by %.3g\n", off);
        assert_true(fabs(off) < 2e-3);
        fixture_case_close(&c);
    }
}

// Loss of a steady isothermal flow in a pipe, p1^2 - p2^2 [Pa2]: Darcy's with the compressible
// term, and the head that the flow takes up on entering from rest. Source: any gas dynamics text
// (isothermal flow in a duct with friction).
static double square_drop(const struct regulator *r, double flow, double high, double low) {
    const struct regulator_parameters *p = &r->parameters;
    const struct pipe_parameters *line = &p->line[LINE_SUPPLY];
    double area = 0.25 * PI * line->bore * line->bore;
    double laminar = 64.0 * p->gas.viscosity * area / (flow * line->bore);
    double loss = (line->friction + laminar) * line->length / line->bore + 1.0 +
                  line->entrance_loss + line->bend_loss;
    double flux = flow / area;
    return flux * flux * r->pressure_per_density * (loss + 2.0 * log(high / low));
}

static void test_loss_at_rest(void **state) {
    (void)state;
    // E: what the bleed lets out comes through the line, and costs what the formula says; 15 cells
    // are good to some 1e-4 of the drop. From the vessel, from the end of a pipe, a supply of its
    // own.
    static const char *const from[][3] = {
        {"pilot.supply=upstream", NULL, NULL},
        {"pilot.supply=upstream", "line_before.length=10 ft", "line_before.bore=3.068 in"},
        {"pilot.supply=stated", "pilot.supply_pressure=80 psig", NULL},
    };
    for (int i = 0; i < 3; i++) {
        const char *overrides[10] = {"fluid.thermal=isothermal",    "line_supply.length=40 ft",
                                     "line_supply.bore=0.11 in",    "line_supply.cells=15",
                                     "line_supply.entrance_loss=0", NULL};
        for (int k = 0; k < 3; k++) {
            overrides[5 + k] = from[i][k];
        }
        struct fixture_case c;
        struct start start;
        prepare(&c, decline, "reduced", overrides, &start);
        const struct equilibrium *rest = rest_of(&start);
        const struct regulator *r = &start.regulator;
        struct regulator_observation o = look(&start, rest->state);
        double high = o.pressure[r->line_far[LINE_SUPPLY]], low = o.pressure[NODE_FEED];
        double exact = square_drop(r, o.supply_flow, high, low);
        print_message("%.4g psi of drop, off by %.2g of it\n", (high - low) / 6894.757,
                      (high * high - low * low) / exact - 1.0);
        assert_true(high - low > 1e4);
        assert_close(high * high - low * low, exact, 2e-4, 0.0);
        assert_close(rest->line_flow[LINE_SUPPLY], o.exhaust_flow, 1e-9, 0.0);
        assert_close(o.supply_flow, o.exhaust_flow, 1e-9, 0.0);
        fixture_case_close(&c);
    }
}

// Nothing moves where all lies at rest, whatever the build. Walls are left out: moving gas is a
// little colder than they are, which the search does not count.
static void expect_rest(const char *path, const char *trim, const char *const *overrides) {
    struct fixture_case c;
    struct start start;
    prepare(&c, path, trim, overrides, &start);
    const struct equilibrium *rest = rest_of(&start);
    const struct regulator_layout *l = &start.regulator.layout;
    double rate[REGULATOR_STATES_MAX];
    assert_true(l->line_states[LINE_SUPPLY] > 0);
    assert_true(fabs(rest->line_flow[LINE_SUPPLY]) > 0.0);
    assert_int_equal(regulator_derivatives(&start.regulator, &start.mode, 0.0, rest->state, rate),
                     0);
    for (int i = l->travel; i < l->mass_in; i++) {
        if (!(fabs(rate[i]) < 1e-5 * l->slot[i].scale)) {
            print_message("%s: %s changes at %g of its scale a second\n", path, l->slot[i].name,
                          rate[i] / l->slot[i].scale);
        }
        assert_true(fabs(rate[i]) < 1e-5 * l->slot[i].scale);
    }
    fixture_case_close(&c);
}

static void test_rest_of_every_kind(void **state) {
    (void)state;
    static const char *const builds[][9] = {
        // Gas with heat, fed from the end of a pipe, all other tubing there too.
        {"line_before.length=10 ft", "line_before.bore=3.068 in", "line_sense.length=10 ft",
         "line_sense.bore=0.3 in", "line_loading.length=10 ft", "line_loading.bore=0.3 in", NULL},
        // A volume behind a restriction at its end, and a seat that feels what is left of the feed.
        {"pilot.supply_volume=10 in3", "pilot.supply_line=0.1 in", "pilot.seat_unbalance=100 %",
         "fluid.thermal=isothermal", NULL},
        {"pilot.exhaust=three-way", "pilot.exhaust_lap=0.02 in", NULL},
    };
    for (size_t i = 0; i < sizeof builds / sizeof builds[0]; i++) {
        const char *all[12] = {"line_supply.length=20 ft", "line_supply.bore=0.15 in",
                               "line_supply.wall_conductance=0 W/K", NULL};
        for (int k = 0; builds[i][k]; k++) {
            all[3 + k] = builds[i][k];
        }
        expect_rest(decline, "reduced", all);
    }
}

static void test_rest_of_random_builds(void **state) {
    (void)state;
    // Gas and liquid, all pilots, volumes or none: what the line holds, and the flow in it, does
    // not change, and what leaves the source is what the chamber lets out.
    unsigned long long seed = 31;
    int seen = 0, liquids = 0, wholes = 0;
    for (int i = 0; i < 60; i++) {
        struct regulator_parameters p = build_random(&seed);
        struct regulator r;
        if (p.actuation != ACTUATION_PILOT) {
            continue;
        }
        p.line[LINE_SUPPLY] = (struct pipe_parameters){
            .length = 5.0, .bore = 0.006, .friction = 0.03, .entrance_loss = 0.5, .cells = 5};
        struct equilibria found = build_find(&r, &p);
        for (size_t k = 0; k < found.count; k++) {
            const struct equilibrium *e = &found.at[k];
            const struct regulator_layout *l = &r.layout;
            struct regulator_mode mode = regulator_mode_at(&r, 0.0);
            struct regulator_observation o;
            double rate[REGULATOR_STATES_MAX];
            if (e->kind != EQUILIBRIUM_OPEN || !e->polished) {
                continue;
            }
            assert_int_equal(regulator_derivatives(&r, &mode, 0.0, e->state, rate), 0);
            assert_int_equal(regulator_observe(&r, &mode, 0.0, e->state, &o), 0);
            double flow = fmax(p.flow.base, 1e-6) / (r.liquid ? p.liquid.density : 1.0);
            for (int n = 0; n < l->line_states[LINE_SUPPLY]; n++) {
                int slot = l->line[LINE_SUPPLY] + n;
                bool momentum = n % r.pipe[LINE_SUPPLY].stride == 0;
                assert_close(rate[slot], 0.0, 0.0,
                             momentum ? 1e-5 * l->slot[slot].scale
                                      : 1e-8 * fmax(flow, l->slot[slot].scale));
            }
            assert_close(e->line_flow[LINE_SUPPLY], o.exhaust_flow, 0.0, 1e-8 * p.flow.base);
            seen++;
            liquids += r.liquid;
            wholes += l->mass[NODE_SUPPLY] >= 0;
        }
    }
    print_message("%d points of rest, %d of a liquid, %d with a supply volume\n", seen, liquids,
                  wholes);
    assert_true(seen > 10 && liquids > 2 && wholes > 2);
}

static void test_short_and_wide_is_none(void **state) {
    (void)state;
    // C: an inch of 3/4 in tubing changes neither the point of rest nor the slowest small motion.
    const char *const none[] = {"friction.kinetic=0 lbf", NULL};
    const char *const with[] = {"friction.kinetic=0 lbf", "line_supply.length=1 in",
                                "line_supply.bore=0.75 in", NULL};
    struct fixture_case a, b;
    struct start s, t;
    prepare(&a, decline, "reduced", none, &s);
    prepare(&b, decline, "reduced", with, &t);
    const struct equilibrium *x = rest_of(&s), *y = rest_of(&t);
    assert_true(t.regulator.has_line[LINE_SUPPLY]);
    assert_close(y->travel, x->travel, 1e-4, 0.0);
    assert_close(y->pressure[NODE_CHAMBER], x->pressure[NODE_CHAMBER], 1e-6, 0.0);
    struct regulator smooth[2];
    struct linear_modes of[2];
    linearise_prepare(&smooth[0], &s.regulator.parameters);
    linearise_prepare(&smooth[1], &t.regulator.parameters);
    assert_true(linearise_modes(&smooth[0], &s.mode, 0.0, x->state, &of[0]));
    assert_true(linearise_modes(&smooth[1], &t.mode, 0.0, y->state, &of[1]));
    const struct linear_mode *m[2] = {NULL, NULL};
    for (int i = 0; i < 2; i++) {
        for (size_t k = 0; k < of[i].count && !m[i]; k++) {
            m[i] = of[i].at[k].frequency > 0.0 ? &of[i].at[k] : NULL;
        }
        assert_non_null(m[i]);
    }
    assert_close(m[1]->growth, m[0]->growth, 2e-3, 0.0);
    assert_close(m[1]->frequency, m[0]->frequency, 1e-4, 0.0);
    fixture_case_close(&a);
    fixture_case_close(&b);
}

static void test_no_length_is_no_line(void **state) {
    (void)state;
    // A bore without a length changes no bit of a run.
    const char *const none[] = {"run.duration=1 s", NULL};
    const char *const bore[] = {"run.duration=1 s", "line_supply.bore=0.2 in",
                                "line_supply.bend_loss=3", NULL};
    struct fixture_case a, b;
    fixture_case_simulate(&a, decline, "full", none);
    fixture_case_simulate(&b, decline, "full", bore);
    assert_false(b.run.start.regulator.has_lines);
    assert_int_equal(a.run.count, b.run.count);
    for (int k = 0; k < CHANNEL_COUNT; k++) {
        assert_memory_equal(a.run.channel[k], b.run.channel[k],
                            a.run.count * sizeof a.run.channel[k][0]);
    }
    assert_true(isnan(pipe_figure_quarter(&a.run, LINE_SUPPLY)));
    assert_true(isnan(pipe_figure_low_supply(&a.run)));
    fixture_case_close(&a);
    fixture_case_close(&b);
}

static void test_balances(void **state) {
    (void)state;
    // Mass and energy of a slamming regulator, to 1e-9 of what passes: fed from the end of a pipe,
    // from the vessel, and by a supply of its own; by both ways of integrating.
    static const char *const more[][3] = {
        {"line_before.length=10 ft", "line_before.bore=3.068 in", "line_before.cells=4"},
        {"run.method=rosenbrock", NULL, NULL},
        {"pilot.supply=stated", "pilot.supply_pressure=80 psig", NULL},
    };
    for (int i = 0; i < 3; i++) {
        const char *overrides[10] = {
            "line_supply.length=20 ft",           "line_supply.bore=0.18 in", "line_supply.cells=4",
            "line_supply.wall_conductance=2 W/K", "run.duration=2 s",         NULL};
        for (int k = 0; k < 3; k++) {
            overrides[5 + k] = more[i][k];
        }
        struct fixture_case c;
        fixture_case_simulate(&c, decline, "full", overrides);
        assert_int_equal(c.run.outcome, SIMULATION_DONE);
        assert_true(c.run.mass_error < 1e-9 && c.run.energy_error < 1e-9);
        const struct pipe *pipe = &c.run.start.regulator.pipe[LINE_SUPPLY];
        assert_close(pipe_figure_quarter(&c.run, LINE_SUPPLY),
                     pipe->wave_speed / (4.0 * 20.0 * FOOT), 1e-12, 0.0);
        double low = pipe_figure_low_supply(&c.run);
        assert_true(low > 1e5 && low < 7e5);
        fixture_case_close(&c);
    }
}

static void test_no_volume_is_lost(void **state) {
    (void)state;
    // E: vessel, pipe and tubing hold what they measure, whether the tubing begins at the vessel
    // or at the end of the pipe.
    for (int piped = 0; piped < 2; piped++) {
        const char *overrides[] = {"vessel.volume=1 ft3",
                                   "line_supply.length=20 ft",
                                   "line_supply.bore=0.5 in",
                                   NULL,
                                   NULL,
                                   NULL};
        overrides[3] = piped ? "line_before.length=10 ft" : NULL;
        overrides[4] = piped ? "line_before.bore=3 in" : NULL;
        struct fixture_case c;
        struct regulator r;
        fixture_case_open(&c, decline, "full", overrides);
        regulator_prepare(&r, &c.resolved.model);
        double sum = r.size[NODE_CONTROLLED];
        for (int line = 0; line < LINE_COUNT; line++) {
            for (int i = 0; r.has_line[line] && i < r.pipe[line].cells; i++) {
                sum += r.pipe[line].volume[i];
            }
        }
        double tubing = 20.0 * FOOT * PI / 4.0 * pow(0.5 * INCH, 2.0);
        double pipe = piped ? 10.0 * FOOT * PI / 4.0 * pow(3.0 * INCH, 2.0) : 0.0;
        assert_close(sum, FOOT * FOOT * FOOT + pipe + tubing, 1e-12, 0.0);
        fixture_case_close(&c);
    }
}

// Time [s] in which a vessel V fills through the line from one pressure to another, quasi-steady:
// V/(Z R T/M) dp = w dt, w from Darcy's loss; midpoint rule.
static double filling_time(const struct regulator *r, double volume, double source, double from,
                           double to) {
    enum { STEPS = 2000 };
    double time = 0.0, step = (to - from) / STEPS;
    for (int i = 0; i < STEPS; i++) {
        double p = from + (i + 0.5) * step, flow = 1e-3;
        for (int k = 0; k < 60; k++) { // laminar and turbulent loss together: by substitution
            flow *= sqrt((source * source - p * p) / square_drop(r, flow, source, p));
        }
        time += volume / r->pressure_per_density * step / flow;
    }
    return time;
}

static void test_starved_pilot_opens_slowly(void **state) {
    (void)state;
    // E: a chamber of 20 L behind 10 m of 3 mm tubing, the pilot wide open and its seat wide too,
    // fills as Darcy's loss lets it; the tubing itself holds 0.4 % of that. The plug is held shut
    // by its spring.
    const char *const overrides[] = {"fluid.thermal=isothermal",
                                     "line_supply.length=10 m",
                                     "line_supply.bore=3 mm",
                                     "line_supply.entrance_loss=0",
                                     "line_supply.cells=15",
                                     "actuator.chamber_volume=20 L",
                                     "actuator.preload=50 kN",
                                     "actuator.swept_volume=no",
                                     "pilot.supply_seat=12 mm",
                                     "pilot.travel=6 mm",
                                     "pilot.spring_rate=1 N/mm",
                                     "pilot.feedback_area=0.1 cm2",
                                     "pilot.bleed=0.1 mm",
                                     "pilot.supply=stated",
                                     "pilot.supply_pressure=6 bar(g)",
                                     "set.pressure=1.5 bar(g)",
                                     "set.adjusted=at-crack",
                                     "start.from=shut",
                                     "start.pressure=4 bar(g)",
                                     "vessel.volume=1000 m3",
                                     "run.duration=70 s",
                                     "run.sample_interval=50 ms",
                                     NULL};
    struct fixture_case c;
    fixture_case_simulate(&c, decline, "reduced", overrides);
    assert_int_equal(c.run.outcome, SIMULATION_DONE);
    const struct regulator *r = &c.run.start.regulator;
    const double *chamber = c.run.channel[CHANNEL_CHAMBER_PRESSURE];
    const double from = 2.5e5, to = 5e5;
    double begun = (double)NAN, done = (double)NAN;
    for (size_t i = 1; i < c.run.count; i++) {
        double share = (from - chamber[i - 1]) / (chamber[i] - chamber[i - 1]);
        begun = chamber[i - 1] < from && chamber[i] >= from ? ((double)i - 1.0 + share) * c.run.step
                                                            : begun;
        share = (to - chamber[i - 1]) / (chamber[i] - chamber[i - 1]);
        done =
            chamber[i - 1] < to && chamber[i] >= to ? ((double)i - 1.0 + share) * c.run.step : done;
    }
    double source = r->parameters.pilot_supply_pressure;
    double exact = filling_time(r, r->parameters.actuator.chamber.volume, source, from, to);
    print_message("fills in %.4g s, by Darcy's loss %.4g s\n", done - begun, exact);
    assert_true(exact > 5.0);
    assert_close(done - begun, exact, 0.01, 0.0);
    fixture_case_close(&c);
}

static void test_what_is_left_out(void **state) {
    (void)state;
    // E: friction beside the laminar part makes Haaland's factor at the flow at rest, which the
    // guess from half the travel meets within a tenth; the wall passes 3.66 pi k L with
    // Eucken's conductivity.
    const char *const overrides[] = {"line_supply.length=40 ft", "line_supply.bore=0.11 in", NULL};
    struct fixture_case c;
    struct start start;
    prepare(&c, decline, "reduced", overrides, &start);
    const struct regulator_parameters *p = &start.regulator.parameters;
    const struct pipe_parameters *line = &p->line[LINE_SUPPLY];
    double reynolds = 4.0 * look(&start, rest_of(&start)->state).supply_flow /
                      (PI * line->bore * p->gas.viscosity);
    assert_true(reynolds > 4000.0);
    assert_close(line->friction + 64.0 / reynolds,
                 pipe_friction_factor(reynolds, line->roughness / line->bore), 0.1, 0.0);
    assert_close(line->wall_conductance, 3.66 * PI * 40.0 * FOOT * gas_conductivity(&p->gas), 1e-12,
                 0.0);
    fixture_case_close(&c);
}

static void test_what_a_line_that_answers_at_once_drives(void **state) {
    (void)state;
    // E: next to without friction of slow flow a thirtieth of the length with thirty times the
    // friction loses the same and holds a thirtieth. Frozen, what they hold does not count: the
    // same growth; left alone the short one is that near to it.
    static const char *const lines[][2] = {
        {"line_supply.length=120 ft", "line_supply.friction=0.03"},
        {"line_supply.length=4 ft", "line_supply.friction=0.9"}};
    struct driver_growth g[2][DRIVER_COUNT];
    for (int i = 0; i < 2; i++) {
        const char *const overrides[] = {"fluid.thermal=isothermal",
                                         "fluid.viscosity=1e-4 cP",
                                         "line_supply.cells=5",
                                         "line_supply.entrance_loss=0",
                                         lines[i][0],
                                         lines[i][1],
                                         NULL};
        struct fixture_case c;
        struct steadiness subject;
        fixture_case_open(&c, "scenarios/supply-line-long.yaml", "full", overrides);
        assert_true(steadiness_prepare(&c.resolved, &subject));
        assert_true(driver_find(&subject, subject.flow, g[i]));
        assert_true(g[i][DRIVER_SUPPLY_LAG].applies && g[i][DRIVER_SUPPLY_LAG].swings);
        fixture_case_close(&c);
    }
    const double frozen = g[0][DRIVER_SUPPLY_LAG].growth, lag = g[0][DRIVER_NONE].growth - frozen;
    assert_true(fabs(lag) > 0.01);
    print_message("growth %.4g, frozen %.4g; short %.4g, frozen %.4g\n", g[0][DRIVER_NONE].growth,
                  frozen, g[1][DRIVER_NONE].growth, g[1][DRIVER_SUPPLY_LAG].growth);
    // The least viscosity allowed leaves 0.3 % of the loss to slow flow.
    assert_close(g[1][DRIVER_SUPPLY_LAG].growth, frozen, 0.0, 0.02 * fabs(lag));
    assert_close(g[1][DRIVER_SUPPLY_LAG].frequency, g[0][DRIVER_SUPPLY_LAG].frequency, 1e-2, 0.0);
    assert_close(g[1][DRIVER_NONE].growth, frozen, 0.0, 0.1 * fabs(lag));
}

static void expect_error(const char *const *overrides, const char *path, const char *words) {
    struct diagnostics list = {0};
    struct scenario_case c;
    size_t count = 0;
    while (overrides[count]) {
        count++;
    }
    struct scenario *scenario = scenario_open(path, overrides, count, &list);
    bool fine = scenario && scenario_resolve(scenario, 0, &c, &list);
    assert_false(fine);
    bool found = false;
    for (size_t i = 0; i < list.count; i++) {
        found = found || strstr(list.items[i].message, words);
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
    expect_error((const char *const[]){"line_supply.length=3 m", NULL}, decline,
                 "line_supply.bore");
    expect_error((const char *const[]){"line_supply.length=3 m", "line_supply.bore=8 mm",
                                       "line_supply.cells=11", NULL},
                 decline, "line_supply.cells");
    expect_error((const char *const[]){"line_supply.length=3 m", "line_supply.bore=8 mm", NULL},
                 "scenarios/direct.yaml", "line_supply");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_quarter_wave),
        cmocka_unit_test(test_loss_at_rest),
        cmocka_unit_test(test_rest_of_every_kind),
        cmocka_unit_test(test_rest_of_random_builds),
        cmocka_unit_test(test_short_and_wide_is_none),
        cmocka_unit_test(test_no_length_is_no_line),
        cmocka_unit_test(test_balances),
        cmocka_unit_test(test_no_volume_is_lost),
        cmocka_unit_test(test_starved_pilot_opens_slowly),
        cmocka_unit_test(test_what_is_left_out),
        cmocka_unit_test(test_what_a_line_that_answers_at_once_drives),
        cmocka_unit_test(test_errors),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
