// SPDX-License-Identifier: MIT
// sim/lowlift.h as its callers see it: every wrong argument answered, mistakes told in words, two
// threads at once, and a locale with a decimal comma.
#include "fixture_library.h"
#include "fixture_locale.h"

#include "run/simulate.h"

#include <pthread.h>

static void test_reads_as_the_program_does(void **state) {
    (void)state;
    struct lowlift_scenario *scenario = open_pilot();
    assert_string_equal(lowlift_errors(scenario), "");
    assert_int_equal(lowlift_trim_count(scenario), 2);
    assert_string_equal(lowlift_trim_name(scenario, 1), "reduced");
    assert_int_equal(lowlift_set(scenario, "run.duration=5 s"), 0);
    assert_int_equal(lowlift_check(scenario), 0);
    struct lowlift_result *result = lowlift_run(scenario, 0);
    lowlift_close(scenario); // the result lives on

    struct scenario *inside = fixture_load(pilot_scenario);
    struct scenario_case resolved = fixture_resolve_with(inside, "run.duration=5 s");
    struct simulation run;
    simulate(&resolved, &run);
    size_t count;
    const char *unit;
    const double *pressure = lowlift_channel(result, "controlled pressure", &count, &unit);
    assert_int_equal(count, run.count);
    assert_string_equal(unit, "psig");
    for (size_t i = 0; i < count; i++) {
        double si = run.channel[CHANNEL_CONTROLLED_PRESSURE][i];
        assert_close(pressure[i], (si - resolved.site.atmosphere) / 6894.757293168361, 1e-12, 1e-9);
    }
    assert_string_equal(lowlift_verdict(result), verdict_name(run.judged.verdict));
    assert_string_equal(lowlift_reason(result), run.judged.reason);
    assert_close(lowlift_figure(result, "pressure_swing", &unit),
                 run.judged.figures.pressure_swing / 6894.757293168361, 1e-12, 0.0);
    assert_string_equal(unit, "psi");
    lowlift_figure(result, "travel_worn", &unit);
    assert_string_equal(unit, "in/day");
    simulation_free(&run);
    scenario_case_free(&resolved);
    scenario_free(inside);
    lowlift_free(result);
}

static void test_units_are_chosen_by_a_field(void **state) {
    (void)state;
    struct lowlift_scenario *scenario = lowlift_open("tests/scenarios/decline.yaml");
    assert_int_equal(lowlift_set(scenario, "output.units=si"), 0);
    assert_int_equal(lowlift_set(scenario, "site.atmosphere=14.696 psia"), 0);
    struct lowlift_result *result = lowlift_stability(scenario, 0);
    const char *unit;
    // The set screw is turned at this flow, so the point of rest is at the set pressure: 50 psig.
    assert_close(lowlift_figure(result, "rest_pressure", &unit), 64.696 * 6894.757293168361, 1e-9,
                 0.0);
    assert_string_equal(unit, "Pa(a)");
    lowlift_free(result);
    lowlift_close(scenario);
}

static void test_small_motions(void **state) {
    (void)state;
    struct lowlift_scenario *scenario = lowlift_open("tests/scenarios/decline.yaml");
    struct lowlift_result *result = lowlift_stability(scenario, 0);
    assert_string_equal(lowlift_verdict(result), "unsteady");
    size_t count, neutral;
    const char *unit;
    const double *growth = lowlift_channel(result, "growth rate", &count, &unit);
    assert_true(count > 1);
    assert_string_equal(unit, "1/s");
    for (size_t i = 1; i < count; i++) {
        assert_true(growth[i] <= growth[i - 1]);
    }
    assert_true(lowlift_figure(result, "growth_rate", NULL) == growth[0]);
    const double *flow = lowlift_channel(result, "neutral flow", &neutral, &unit);
    double lowest = lowlift_figure(result, "lowest_steady_flow", NULL);
    assert_true(neutral > 0 && lowest > lowlift_figure(result, "flow", NULL));
    assert_close(flow[neutral - 1], lowest, 1e-4, 0.0);
    assert_string_equal(unit, "Mscf/d");
    lowlift_free(result);
    lowlift_close(scenario);
}

static void test_mistakes_are_told(void **state) {
    (void)state;
    struct lowlift_scenario *scenario = lowlift_open("no/such.yaml");
    assert_says(scenario, "no/such.yaml: cannot open");
    assert_int_equal(lowlift_trim_count(scenario), 0);
    assert_int_not_equal(lowlift_set(scenario, "trim.port=1 in"), 0);
    assert_int_not_equal(lowlift_check(scenario), 0);
    assert_null(lowlift_run(scenario, 0));
    assert_null(lowlift_stability(scenario, 0));
    assert_says(scenario, "cannot open");
    lowlift_close(scenario);

    scenario = lowlift_open_text(NULL, "duty: redusing\n", 15);
    assert_says(scenario, "text:1:7: duty: found 'redusing'; allowed back-pressure, reducing");
    assert_says(scenario, "did you mean reducing?");
    lowlift_close(scenario);

    scenario = open_pilot();
    assert_int_equal(lowlift_set(scenario, "trim.prot=1 in"), 1);
    assert_says(scenario, "did you mean trim.port?");
    assert_int_equal(lowlift_set(scenario, "trim.port=1 in"), 0);
    assert_string_equal(lowlift_errors(scenario), "");
    assert_int_equal(lowlift_set(scenario, "set.pressure=5 psig"), 0); // below the line: told later
    assert_true(lowlift_check(scenario) > 0);
    assert_says(scenario, "downstream.pressure: found 15 psig; must be below the set pressure");
    assert_null(lowlift_run(scenario, 1));
    assert_says(scenario, "downstream.pressure: found 15 psig; must be below the set pressure");
    assert_null(lowlift_run(scenario, 2));
    assert_says(scenario, "no trim number 2; allowed 0 to 1");
    lowlift_close(scenario);
}

static void test_a_refused_field_changes_nothing(void **state) {
    (void)state;
    struct lowlift_scenario *scenario = open_pilot();
    struct lowlift_result *before = lowlift_stability(scenario, 0);
    assert_int_equal(lowlift_set(scenario, "trim.port=1 furlong"), 1);
    assert_int_equal(lowlift_set(scenario, "trims.full.port=1 kPa"), 1);
    assert_int_equal(lowlift_set(scenario, "inflow.rate={steps: [[0 s, 1 furlong]]}"), 1);
    struct lowlift_result *after = lowlift_stability(scenario, 0);
    char *first = everything(before), *second = everything(after);
    assert_string_equal(first, second);
    free(first);
    free(second);
    lowlift_free(before);
    lowlift_free(after);
    lowlift_close(scenario);
}

static void test_wrong_arguments_are_answered(void **state) {
    (void)state;
    size_t count = 1;
    const char *unit = "";
    assert_non_null(lowlift_version());
    struct lowlift_scenario *scenario = lowlift_open(NULL);
    assert_says(scenario, "no path");
    lowlift_close(scenario);
    scenario = lowlift_open_text("x", NULL, 3);
    assert_says(scenario, "no text");
    lowlift_close(scenario);
    assert_int_not_equal(lowlift_set(NULL, "a=b"), 0);
    assert_int_not_equal(lowlift_check(NULL), 0);
    assert_says(NULL, "no scenario");
    assert_int_equal(lowlift_trim_count(NULL), 0);
    assert_null(lowlift_trim_name(NULL, 0));
    assert_null(lowlift_run(NULL, 0));
    assert_null(lowlift_stability(NULL, 0));
    assert_null(lowlift_verdict(NULL));
    assert_null(lowlift_reason(NULL));
    assert_int_equal(lowlift_figure_count(NULL), 0);
    assert_null(lowlift_figure_name(NULL, 0));
    assert_true(isnan(lowlift_figure(NULL, "frequency", &unit)) && !unit);
    assert_int_equal(lowlift_channel_count(NULL), 0);
    assert_null(lowlift_channel_name(NULL, 0));
    assert_null(lowlift_channel(NULL, "time", &count, &unit));
    assert_int_equal(count, 0);
    lowlift_close(NULL);
    lowlift_free(NULL);

    scenario = open_pilot();
    assert_int_not_equal(lowlift_set(scenario, NULL), 0);
    assert_says(scenario, "no assignment");
    assert_null(lowlift_trim_name(scenario, 2));
    assert_null(lowlift_run(scenario, (size_t)-1));
    struct lowlift_result *result = lowlift_stability(scenario, 0);
    assert_null(lowlift_figure_name(result, (size_t)-1));
    assert_null(lowlift_channel_name(result, lowlift_channel_count(result)));
    assert_true(isnan(lowlift_figure(result, NULL, NULL)));
    assert_true(isnan(lowlift_figure(result, "colour", &unit)) && !unit);
    assert_null(lowlift_channel(result, NULL, NULL, NULL));
    assert_null(lowlift_channel(result, "colour", NULL, NULL));
    lowlift_free(result);
    lowlift_close(scenario);
}

// --- Threads

static void *run_on_a_thread(void *text) {
    struct lowlift_scenario *scenario = lowlift_open_text("test.yaml", text, strlen(text));
    lowlift_set(scenario, "run.duration=20 s");
    struct lowlift_result *run = lowlift_run(scenario, 0);
    struct lowlift_result *modes = lowlift_stability(scenario, 0);
    char *both = join(everything(run), everything(modes));
    lowlift_free(run);
    lowlift_free(modes);
    lowlift_close(scenario);
    return both;
}

static void test_two_threads_as_alone(void **state) {
    (void)state;
    char *text[2] = {strdup(pilot_scenario), strdup(direct_scenario)};
    char *alone[2] = {run_on_a_thread(text[0]), run_on_a_thread(text[1])};
    assert_string_not_equal(alone[0], alone[1]);
    for (int round = 0; round < 3; round++) {
        pthread_t thread[2];
        for (int i = 0; i < 2; i++) {
            assert_int_equal(pthread_create(&thread[i], NULL, run_on_a_thread, text[i]), 0);
        }
        for (int i = 0; i < 2; i++) {
            void *together;
            assert_int_equal(pthread_join(thread[i], &together), 0);
            assert_string_equal(together, alone[i]);
            free(together);
        }
    }
    for (int i = 0; i < 2; i++) {
        free(text[i]);
        free(alone[i]);
    }
}

// --- A decimal comma

static void test_a_comma_locale_changes_nothing(void **state) {
    (void)state;
    char folder[] = FIXTURE_COMMA_FOLDER, number[16];
    char *before = run_on_a_thread((void *)pilot_scenario);
    fixture_comma_begin(folder);
    char *after = run_on_a_thread((void *)pilot_scenario);
    struct quantity q;
    char message[UNIT_MESSAGE_SIZE];
    const char *error = units_parse("2.875 in", UNIT_LENGTH, &q, message);
    const double fraction = 0.0254 * 2.875;
    snprintf(number, sizeof number, "%.1f", 0.5); // the caller's own locale is as it was
    struct lowlift_scenario *scenario = open_pilot();
    lowlift_set(scenario, "trim.port=2.875 furlong");
    bool told = strstr(lowlift_errors(scenario), "found '2.875 furlong'") != NULL;
    lowlift_close(scenario);
    fixture_comma_end(folder);
    assert_null(error);
    assert_close(q.value, fraction, 1e-15, 0.0);
    assert_string_equal(number, "0,5");
    assert_true(told);
    // What the test itself prints follows the locale: %a has a comma there.
    for (char *c = after; *c; c++) {
        *c = *c == ',' ? '.' : *c;
    }
    for (char *c = before; *c; c++) {
        *c = *c == ',' ? '.' : *c;
    }
    assert_string_equal(after, before);
    free(before);
    free(after);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_reads_as_the_program_does),
        cmocka_unit_test(test_units_are_chosen_by_a_field),
        cmocka_unit_test(test_small_motions),
        cmocka_unit_test(test_mistakes_are_told),
        cmocka_unit_test(test_a_refused_field_changes_nothing),
        cmocka_unit_test(test_wrong_arguments_are_answered),
        cmocka_unit_test(test_two_threads_as_alone),
        cmocka_unit_test(test_a_comma_locale_changes_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
