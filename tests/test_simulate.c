// SPDX-License-Identifier: MIT
// A run from start to verdict: its record, its balances, its outcomes, and that nothing about it
// depends on how it is watched.
#include "support.h"

#include "fixture_case.h"
#include "fixture_scenario.h"
#include "run/figure.h"

#include <glob.h>

static void test_record_is_evenly_spaced(void **state) {
    (void)state;
    struct fixture_case c;
    const char *const changes[] = {"run.sample_interval=7 ms", "run.duration=5 s",
                                   "run.stop_early=no", NULL};
    fixture_case_simulate(&c, decline, "full", changes);
    assert_int_equal(c.run.outcome, SIMULATION_DONE);
    assert_close(c.run.step, 7e-3, 1e-15, 0.0);
    assert_close(c.run.statistics.end_time, 5.0, 1e-15, 0.0);
    assert_int_equal(c.run.count, 715); // 0, 7 ms ... 4.998 s
    for (size_t i = 0; i < c.run.count; i++) {
        for (int k = 0; k < CHANNEL_COUNT; k++) {
            bool applies = channel_applies(&c.run.start.regulator, (enum channel)k);
            assert_true(!applies || isfinite(c.run.channel[k][i]));
        }
    }
    for (size_t i = 1; i < c.run.event_count; i++) {
        assert_true(c.run.event[i].time >= c.run.event[i - 1].time);
    }
    fixture_case_close(&c);
}

static void test_rerun_is_the_same(void **state) {
    (void)state;
    struct fixture_case a, b;
    fixture_case_simulate(&a, decline, "full", NULL);
    fixture_case_simulate(&b, decline, "full", NULL);
    assert_int_equal(a.run.count, b.run.count);
    assert_int_equal(a.run.event_count, b.run.event_count);
    for (int k = 0; k < CHANNEL_COUNT; k++) {
        assert_memory_equal(a.run.channel[k], b.run.channel[k], a.run.count * sizeof(double));
    }
    assert_memory_equal(&a.run.statistics, &b.run.statistics, sizeof a.run.statistics);
    fixture_case_close(&a);
    fixture_case_close(&b);
}

// Bitwise equal at the times that both records have.
static void check_common_times(const struct simulation *a, size_t every_a,
                               const struct simulation *b, size_t every_b) {
    size_t compared = 0;
    assert_int_equal(a->statistics.steps, b->statistics.steps);
    assert_int_equal(a->seat_count, b->seat_count);
    for (size_t i = 0; i * every_a < a->count && i * every_b < b->count; i++) {
        for (int k = 0; k < CHANNEL_COUNT; k++) {
            assert_memory_equal(&a->channel[k][i * every_a], &b->channel[k][i * every_b],
                                sizeof(double));
        }
        compared++;
    }
    assert_true(compared > 400);
}

static void test_spacing_changes_nothing(void **state) {
    (void)state;
    static const char *const trims[] = {"full", "reduced"};
    static const char *const interval[] = {
        "run.sample_interval=10 ms", "run.sample_interval=2.5 ms", "run.sample_interval=4 ms"};
    for (int t = 0; t < 2; t++) {
        struct fixture_case c[3];
        for (int i = 0; i < 3; i++) {
            const char *const changes[] = {interval[i], "run.duration=10 s", "run.stop_early=no",
                                           NULL};
            fixture_case_simulate(&c[i], decline, trims[t], changes);
        }
        check_common_times(&c[0].run, 1, &c[1].run, 4);
        check_common_times(&c[0].run, 2, &c[2].run, 5);
        for (int i = 0; i < 3; i++) {
            fixture_case_close(&c[i]);
        }
    }
}

static void test_stopping_early_does_not_change_the_verdict(void **state) {
    (void)state;
    static const char *const trims[] = {"full", "reduced"};
    static const char *const whole[] = {"run.stop_early=no", NULL};
    for (int t = 0; t < 2; t++) {
        struct fixture_case early, late;
        fixture_case_simulate(&early, decline, trims[t], NULL);
        fixture_case_simulate(&late, decline, trims[t], whole);
        assert_true(early.run.judged.decided);
        assert_int_equal(early.run.judged.verdict, late.run.judged.verdict);
        assert_true(early.run.statistics.end_time <= late.run.statistics.end_time);
        assert_close(late.run.statistics.end_time, 60.0, 1e-15, 0.0);
        if (early.run.judged.verdict > VERDICT_RINGING) {
            const struct verdict_figures *a = &early.run.judged.figures;
            const struct verdict_figures *b = &late.run.judged.figures;
            assert_close(a->pressure_swing, b->pressure_swing, 0.02, 0.0);
            assert_close(a->frequency, b->frequency, 0.02, 0.0);
        }
        // The part that both have is the same part.
        size_t common = early.run.count * sizeof(double);
        assert_memory_equal(early.run.channel[CHANNEL_TRAVEL], late.run.channel[CHANNEL_TRAVEL],
                            common);
        fixture_case_close(&early);
        fixture_case_close(&late);
    }
}

static void test_minimum_duration(void **state) {
    (void)state;
    static const char *const changes[] = {"run.minimum_duration=55 s", NULL};
    struct fixture_case c;
    fixture_case_simulate(&c, decline, "reduced", changes);
    assert_true(c.run.statistics.end_time >= 55.0);
    fixture_case_close(&c);
}

static double pressure_at_two_seconds(const char *tolerance, const char *trim) {
    const char *const changes[] = {tolerance,
                                   "run.duration=2 s",
                                   "run.stop_early=no",
                                   "friction.kinetic=0 lbf",
                                   "start.kick_pressure=0.3 psi",
                                   NULL};
    struct fixture_case c;
    fixture_case_simulate(&c, decline, trim, changes);
    assert_int_equal(c.run.outcome, SIMULATION_DONE);
    assert_int_equal(c.run.count, 201);
    double pressure = c.run.channel[CHANNEL_CONTROLLED_PRESSURE][200];
    fixture_case_close(&c);
    return pressure;
}

static void test_tolerance_ladder(void **state) {
    (void)state;
    static const char *const rung[] = {"run.relative_tolerance=1e-5", "run.relative_tolerance=1e-6",
                                       "run.relative_tolerance=1e-7", "run.relative_tolerance=1e-8",
                                       "run.relative_tolerance=1e-9"};
    static const double kick = 0.3 * 6894.757293168361; // what there is to get wrong [Pa]
    double exact = pressure_at_two_seconds("run.relative_tolerance=1e-12", "reduced");
    double error[5];
    double mean = 0.0; // logarithm of the errors over what the tolerance allows
    for (int i = 0; i < 5; i++) {
        error[i] = fabs(pressure_at_two_seconds(rung[i], "reduced") - exact);
        print_message("%s: off by %.3g of the kick\n", rung[i], error[i] / kick);
        // In shares of the pressure itself, which is what a tolerance is relative to. A tolerance
        // bounds the error of a step; what adds up over a run scatters by some factors either way
        // when anything small is changed, such as the order limit. So the tolerance is asked of the
        // ladder as a whole, and thrice that of each rung.
        const double ratio = error[i] / (pow(10.0, -5.0 - i) * exact);
        assert_true(ratio <= 3.0);
        mean += log(fmax(ratio, 1e-3)) / 5.0;
    }
    assert_true(exp(mean) <= 1.0);
    assert_true(error[4] < 0.01 * error[0]);
}

static void test_tighter_tolerance_moves_figures_little(void **state) {
    (void)state;
    static const char *const tight[] = {"run.relative_tolerance=1e-7", NULL};
    struct fixture_case a, b;
    fixture_case_simulate(&a, decline, "full", NULL);
    fixture_case_simulate(&b, decline, "full", tight);
    assert_int_equal(a.run.judged.verdict, b.run.judged.verdict);
    assert_close(a.run.judged.figures.pressure_swing, b.run.judged.figures.pressure_swing, 0.01,
                 0.0);
    assert_close(a.run.judged.figures.frequency, b.run.judged.figures.frequency, 0.01, 0.0);
    fixture_case_close(&a);
    fixture_case_close(&b);
}

// Every trim of every shipped scenario: mass and, where there is heat, energy are conserved, in the
// first so many seconds, with every jump of a schedule that falls into them.
#define BALANCED_FOR 10.0
static void test_balances_of_shipped_scenarios(void **state) {
    (void)state;
    glob_t files;
    assert_int_equal(glob("scenarios/*.yaml", 0, NULL, &files), 0);
    size_t runs = 0;
    for (size_t f = 0; f < files.gl_pathc; f++) {
        struct diagnostics list = {0};
        struct scenario *scenario = scenario_open(files.gl_pathv[f], NULL, 0, &list);
        diagnostics_free(&list);
        for (size_t t = 0; scenario && t < scenario_trim_count(scenario); t++) {
            struct fixture_case c;
            fixture_case_open(&c, files.gl_pathv[f], scenario_trim_name(scenario, t), NULL);
            c.resolved.run.duration = fmin(c.resolved.run.duration, BALANCED_FOR);
            simulate(&c.resolved, &c.run);
            if (c.run.outcome == SIMULATION_DONE) {
                print_message("%s %s: mass %.2g, energy %.2g\n", files.gl_pathv[f],
                              c.resolved.trim_name, c.run.mass_error, c.run.energy_error);
                assert_true(c.run.mass_error < 1e-9);
                assert_int_equal(isfinite(c.run.energy_error), c.run.start.regulator.thermal);
                assert_true(!isfinite(c.run.energy_error) || c.run.energy_error < 1e-9);
                runs++;
            }
            fixture_case_close(&c);
        }
        scenario_free(scenario); // NULL where the scenario shows a refusal
    }
    globfree(&files);
    assert_true(runs >= 2);
}

static void test_energy_with_walls(void **state) {
    (void)state; // what walls give and take is counted
    static const char *const walls[] = {"vessel.wall_conductance=200 W/K",
                                        "actuator.chamber_wall_conductance=5 W/K", NULL};
    struct fixture_case c;
    fixture_case_simulate(&c, decline, "full", walls);
    assert_true(c.run.energy_error < 1e-9 && c.run.mass_error < 1e-9);
    fixture_case_close(&c);
}

// Growth of the slow mode, by the modes at rest.
static double slow_growth(const char *path, double factor) {
    struct fixture_case c;
    static const char *const changes[] = {"run.duration=0.1 s", NULL};
    fixture_case_open(&c, decline, "full", changes);
    double nominal = scenario_get_si(c.scenario, 0, path);
    if (isfinite(nominal)) {
        assert_true(scenario_set_si(c.scenario, path, factor * nominal));
    } else { // a schedule
        c.resolved.model.flow.base *= factor;
    }
    if (isfinite(nominal)) {
        struct diagnostics list = {0};
        scenario_case_free(&c.resolved);
        assert_true(scenario_resolve(c.scenario, 0, &c.resolved, &list));
    }
    simulate(&c.resolved, &c.run);
    double growth = (double)NAN;
    for (size_t i = 0; i < c.run.modes.count && isnan(growth); i++) {
        const struct linear_mode *m = &c.run.modes.at[i];
        growth = m->frequency > 0.0 && m->frequency < 5.0 ? m->growth : growth;
    }
    fixture_case_close(&c);
    return growth;
}

static void test_trends_of_the_slow_mode(void **state) {
    (void)state;
    // P, direction only (El Golli Rami et al., Int. J. Pressure Vessels & Piping 84,
    // 2007; Materials Sciences & Applications 2, 2011): smaller controlled volume is worse.
    static const double factors[] = {0.5, 0.7, 1.0, 1.4, 2.0, 4.0};
    double last = (double)INFINITY;
    for (int i = 0; i < 6; i++) {
        double growth = slow_growth("vessel.volume", factors[i]);
        assert_true(growth < last);
        last = growth;
    }
    // Everything else is reported, not assumed.
    static const char *const others[] = {
        "vessel.volume",           "inflow.rate",          "actuator.spring_rate",
        "actuator.diaphragm_area", "actuator.damping",     "actuator.chamber_volume",
        "pilot.feedback_area",     "pilot.bleed",          "pilot.supply_seat",
        "pilot.spring_rate",       "pilot.diaphragm_area", "sense.bore",
        "sense.cavity_volume",     "trim.travel",          "trim.discharge"};
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++) {
        print_message("slow mode [1/s] with %-24s x 0.7: %+.4f  x 1: %+.4f  x 1.4: %+.4f\n",
                      others[i], slow_growth(others[i], 0.7), slow_growth(others[i], 1.0),
                      slow_growth(others[i], 1.4));
    }
}

// The surge of a run with two things said.
static double run_surge(const char *first, const char *second, struct simulation *s) {
    struct scenario *scenario = fixture_load(liquid_scenario);
    struct diagnostics list = {0};
    assert_true(scenario_override(scenario, first, &list));
    assert_true(scenario_override(scenario, second, &list));
    diagnostics_free(&list);
    struct scenario_case c = fixture_resolve_with(scenario, "run.duration=20 ms");
    simulate(&c, s);
    assert_int_equal(s->outcome, SIMULATION_DONE);
    assert_true(isnan(s->energy_error)); // of a gas only
    double surge = figure_find("surge")->value(s, &c);
    scenario_case_free(&c);
    scenario_free(scenario);
    return surge;
}

static double largest_flow(const struct simulation *s) {
    double flow = 0.0;
    for (size_t i = 0; i < s->count; i++) {
        flow = fmax(flow, s->channel[CHANNEL_TRIM_FLOW][i]);
    }
    return flow;
}

static void test_surge(void **state) {
    (void)state;
    // E: Joukowsky, rho a v with a = sqrt(K/rho), at the largest flow and the bore of the pipe
    // before the regulator: stated, or that of the pipe at the tap. The port's bore of 10 mm is
    // none of the pipe's, so without a pipe there is no surge to report.
    struct simulation s;
    const double bore[] = {0.05, 0.04, 0.05};
    static const char *const said[][2] = {
        {"inlet_pipe.bore=50 mm", "outlet_pipe.bore=80 mm"},
        {"sense.tap_bore=40 mm", "outlet_pipe.bore=80 mm"},
        {"sense.tap_bore=40 mm", "inlet_pipe.bore=50 mm"},
    };
    for (int i = 0; i < 3; i++) {
        double surge = run_surge(said[i][0], said[i][1], &s);
        double flow = largest_flow(&s);
        assert_true(flow > 0.0);
        double speed = flow / 870.0 / (0.25 * 3.14159265358979323846 * bore[i] * bore[i]);
        assert_close(surge, 870.0 * sqrt(1.5e9 / 870.0) * speed, 1e-9, 0.0);
        simulation_free(&s);
    }
    assert_true(isnan(run_surge("outlet_pipe.bore=80 mm", "run.stop_early=no", &s)));
    simulation_free(&s);
}

// Below the set pressure the pilot is held shut; a screw turned far down pulls it off its seat.
static void test_going_on_lets_go_what_is_pulled(void **state) {
    (void)state;
    struct fixture_case c;
    const char *shut[] = {"start.from=shut",       "start.pressure=40 psig", "run.duration=0.2 s",
                          "set.adjusted=at-crack", "set.pressure=60 psig",   NULL};
    fixture_case_simulate(&c, decline, "full", shut);
    assert_int_equal(c.run.end.mode.pilot, HOLD_LOW);
    const struct simulation_state from = c.run.end;
    fixture_case_close(&c);
    shut[4] = "set.pressure=30 psig";
    fixture_case_open(&c, decline, "full", shut);
    simulate_so(&c.resolved, &(struct simulation_manner){.from = &from}, &c.run);
    assert_int_not_equal(c.run.end.mode.pilot, HOLD_LOW);
    fixture_case_close(&c);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_going_on_lets_go_what_is_pulled),
        cmocka_unit_test(test_record_is_evenly_spaced),
        cmocka_unit_test(test_rerun_is_the_same),
        cmocka_unit_test(test_spacing_changes_nothing),
        cmocka_unit_test(test_stopping_early_does_not_change_the_verdict),
        cmocka_unit_test(test_minimum_duration),
        cmocka_unit_test(test_tolerance_ladder),
        cmocka_unit_test(test_tighter_tolerance_moves_figures_little),
        cmocka_unit_test(test_balances_of_shipped_scenarios),
        cmocka_unit_test(test_energy_with_walls),
        cmocka_unit_test(test_trends_of_the_slow_mode),
        cmocka_unit_test(test_surge),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
