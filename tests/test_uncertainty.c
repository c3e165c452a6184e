// SPDX-License-Identifier: MIT
// Which values are uncertain and within what, what the draws are summed up to, and small runs of
// the main demo. Expectations are the program's own promises unless a source is named.
#include "fixture_scenario.h"

#include "among/uncertainty_summary.h"

#include <stdlib.h>

#define PSI 6894.757293168361
#define INCH 0.0254

static char message[300];

static struct scenario *changed(const char *const *assignments, size_t count) {
    struct scenario *scenario = fixture_load(pilot_scenario);
    struct diagnostics list = {0};
    for (size_t i = 0; i < count; i++) {
        scenario_override(scenario, assignments[i], &list);
    }
    diagnostics_print(&list, stderr);
    assert_int_equal(list.errors, 0);
    diagnostics_free(&list);
    return scenario;
}

static struct uncertainty both_trims(void) {
    return (struct uncertainty){
        .trim_count = 2, .trim = {0, 1}, .draws = 50, .seed = 1, .back_pressure = true};
}

static const struct uncertainty_input *input_of(const struct uncertainty *study,
                                                const char *field) {
    for (size_t i = 0; i < study->input_count; i++) {
        if (strcmp(study->input[i].field, field) == 0) {
            return &study->input[i];
        }
    }
    return NULL;
}

static void assert_range(const struct uncertainty *study, const char *field, size_t trim,
                         double low, double high) {
    const struct uncertainty_input *input = input_of(study, field);
    assert_non_null(input);
    assert_close(input->range[trim].low, low, 1e-9, 1e-12);
    assert_close(input->range[trim].high, high, 1e-9, 1e-12);
}

static void test_what_is_uncertain(void **state) {
    (void)state;
    const char *const assignments[] = {
        "set.pressure=about 50 psig",
        "fluid.temperature=about 80 degF",
        "trim.balance=about 90 %",
        "actuator.preload=about -100 lbf",
        "pilot.seat_unbalance=about 0 %",
        "friction.kinetic={value: 8 lbf, low: 2 lbf, high: 20 lbf}",
        "pilot.travel={value: 0.03 in, low: 0.03 in, high: 0.03 in}",
        "trims.reduced.travel={value: 0.7 in, low: 0.6 in, high: 0.75 in}",
        "inflow.rate=about 0.1 MMscf/d",
        "vessel.level={steps: [[0 s, 0 ft3], [5 s, 1 ft3]], guess: yes}"};
    struct scenario *scenario = changed(assignments, 10);
    struct uncertainty study = both_trims();
    assert_true(
        uncertainty_collect(&study, scenario, 0.2, SAMPLE_TRIANGULAR, message, sizeof message));
    // A share of the gauge pressure, as a field hand means it.
    struct scenario_case resolved = fixture_resolve(scenario, 0);
    double atmosphere = resolved.site.atmosphere;
    scenario_case_free(&resolved);
    assert_range(&study, "set.pressure", 0, atmosphere + 40.0 * PSI, atmosphere + 60.0 * PSI);
    // Not beyond what the field allows; negative values the right way round.
    assert_range(&study, "trim.balance", 0, 0.72, 1.0);
    assert_range(&study, "actuator.preload", 1, -120.0 * 4.4482216152605, -80.0 * 4.4482216152605);
    assert_range(&study, "friction.kinetic", 0, 2.0 * 4.4482216152605, 20.0 * 4.4482216152605);
    assert_true(input_of(&study, "friction.kinetic")->stated);
    assert_false(input_of(&study, "set.pressure")->stated);
    // Uncertain in one trim only.
    assert_range(&study, "trim.travel", 0, 0.0, 0.0);
    assert_range(&study, "trim.travel", 1, 0.6 * INCH, 0.75 * INCH);
    assert_non_null(input_of(&study, "inflow.rate"));
    assert_null(input_of(&study, "fluid.temperature"));
    assert_null(input_of(&study, "pilot.seat_unbalance"));
    assert_null(input_of(&study, "vessel.level")); // changes over time
    assert_null(input_of(&study, "pilot.travel"));
    assert_true(uncertainty_left_alone(&study, scenario, field_index_of("fluid.temperature")));
    assert_false(uncertainty_left_alone(&study, scenario, field_index_of("set.pressure")));
    assert_false(uncertainty_left_alone(&study, scenario, field_index_of("vessel.volume")));
    // Guesses left alone; flows of the study's own.
    assert_true(
        uncertainty_collect(&study, scenario, 0.0, SAMPLE_TRIANGULAR, message, sizeof message));
    assert_int_equal(study.input_count, 2);
    study.flow_count = 1;
    assert_true(
        uncertainty_collect(&study, scenario, 0.2, SAMPLE_TRIANGULAR, message, sizeof message));
    assert_null(input_of(&study, "inflow.rate"));
    scenario_free(scenario);
}

static void test_shapes_and_pairs(void **state) {
    (void)state;
    const char *const assignments[] = {"friction.kinetic={value: 8 lbf, low: 0 lbf, high: 20 lbf}",
                                       "pilot.bleed=about 0.1 in", "sense.bore=about 0.1 in"};
    struct scenario *scenario = changed(assignments, 3);
    struct uncertainty study = both_trims();
    assert_false(
        uncertainty_collect(&study, scenario, 0.2, SAMPLE_LOG_UNIFORM, message, sizeof message));
    assert_non_null(strstr(message, "friction.kinetic"));
    assert_true(
        uncertainty_collect(&study, scenario, 0.2, SAMPLE_UNIFORM, message, sizeof message));
    assert_true(
        uncertainty_shape(&study, "pilot.bleed", SAMPLE_LOG_UNIFORM, message, sizeof message));
    assert_int_equal(input_of(&study, "pilot.bleed")->range[1].shape, SAMPLE_LOG_UNIFORM);
    assert_int_equal(input_of(&study, "sense.bore")->range[1].shape, SAMPLE_UNIFORM);
    assert_false(
        uncertainty_shape(&study, "friction.kinetic", SAMPLE_LOG_UNIFORM, message, sizeof message));
    assert_false(uncertainty_shape(&study, "pilot.blede", SAMPLE_UNIFORM, message, sizeof message));
    assert_non_null(strstr(message, "did you mean pilot.bleed"));
    assert_true(
        uncertainty_pair_add(&study, "pilot.bleed", "sense.bore", 0.7, message, sizeof message));
    assert_false(
        uncertainty_pair_add(&study, "pilot.bleed", "pilot.bleed", 0.7, message, sizeof message));
    assert_false(
        uncertainty_pair_add(&study, "pilot.bleed", "sense.bore", 1.0, message, sizeof message));
    scenario_free(scenario);
}

// By the table of hardware: its relative range for a guess without one, a range as it is stated,
// its shape for both; 20 % for what it does not know, and nothing for what is no guess.
static void test_hardware_ranges(void **state) {
    (void)state;
    const char *const assignments[] = {
        "set.pressure=about 50 psig", "actuator.spring_rate=about 200 lbf/in",
        "pilot.bleed={value: 0.1 in, low: 0.08 in, high: 0.15 in, guess: yes}",
        "sense.bore={value: 0.1 in, low: 0.08 in, high: 0.15 in}",
        "friction.kinetic={value: 8 lbf, low: 0 lbf, high: 20 lbf, guess: yes}"};
    struct scenario *scenario = changed(assignments, 5);
    struct uncertainty study = both_trims();
    study.kind = HARDWARE_BLEED;
    study.table_ranges = study.table_shapes = study.table_ties = true;
    assert_true(
        uncertainty_collect(&study, scenario, 0.2, SAMPLE_TRIANGULAR, message, sizeof message));
    const struct hardware_row *row = hardware_find("actuator.spring_rate", HARDWARE_BLEED);
    const double rate = 200.0 * 175.12683524647636;
    assert_range(&study, "actuator.spring_rate", 0, rate * row->low / row->typical,
                 rate * row->high / row->typical);
    assert_int_equal(input_of(&study, "actuator.spring_rate")->range[0].shape, SAMPLE_LOG_UNIFORM);
    assert_range(&study, "pilot.bleed", 1, 0.08 * INCH, 0.15 * INCH);
    assert_int_equal(input_of(&study, "pilot.bleed")->range[1].shape, SAMPLE_LOG_UNIFORM);
    // Measured, so most likely as measured.
    assert_int_equal(input_of(&study, "sense.bore")->range[0].shape, SAMPLE_TRIANGULAR);
    // Down to nothing: no logarithm.
    assert_int_equal(input_of(&study, "friction.kinetic")->range[0].shape, SAMPLE_TRIANGULAR);
    struct scenario_case resolved = fixture_resolve(scenario, 0);
    const double atmosphere = resolved.site.atmosphere;
    scenario_case_free(&resolved);
    assert_range(&study, "set.pressure", 0, atmosphere + 40.0 * PSI, atmosphere + 60.0 * PSI);
    assert_null(input_of(&study, "set.pressure")->hardware);
    // One shape for all takes the table's away, a share its ranges.
    study.table_shapes = study.table_ranges = false;
    assert_true(
        uncertainty_collect(&study, scenario, 0.2, SAMPLE_TRIANGULAR, message, sizeof message));
    assert_range(&study, "actuator.spring_rate", 0, 0.8 * rate, 1.2 * rate);
    assert_int_equal(input_of(&study, "pilot.bleed")->range[0].shape, SAMPLE_TRIANGULAR);
    scenario_free(scenario);
}

static double pair_of(const struct uncertainty *study, const char *a, const char *b) {
    for (size_t i = 0; i < study->pair_count; i++) {
        const char *fields[2] = {study->input[study->pair[i].a].field,
                                 study->input[study->pair[i].b].field};
        if ((strcmp(fields[0], a) == 0 && strcmp(fields[1], b) == 0) ||
            (strcmp(fields[0], b) == 0 && strcmp(fields[1], a) == 0)) {
            return study->pair[i].correlation;
        }
    }
    return 0.0;
}

// What geometry ties is drawn together: product of the two rows' ties. What the user asks goes
// before; draws that are too few are drawn apart, and what was asked of them is refused.
static void test_hardware_ties(void **state) {
    (void)state;
    enum { MANY = 300 };
    const char *const assignments[] = {
        "actuator.diaphragm_area=about 38 in2", "actuator.spring_rate=about 200 lbf/in",
        "pilot.supply_seat=about 0.09 in", "pilot.bleed=about 0.06 in", "sense.bore=about 0.1 in"};
    struct scenario *scenario = changed(assignments, 5);
    struct study_job job = {.path = "test"};
    struct uncertainty study = both_trims();
    study.draws = MANY;
    study.kind = HARDWARE_BLEED;
    study.table_ranges = study.table_shapes = study.table_ties = true;
    assert_true(
        uncertainty_collect(&study, scenario, 0.2, SAMPLE_TRIANGULAR, message, sizeof message));
    assert_int_equal(study.pair_count, 6); // of four actuator parts; bore and preload are alone
    const double tie = hardware_find("actuator.diaphragm_area", HARDWARE_BLEED)->tie *
                       hardware_find("actuator.spring_rate", HARDWARE_BLEED)->tie;
    assert_close(pair_of(&study, "actuator.diaphragm_area", "actuator.spring_rate"), tie, 1e-12,
                 0.0);
    assert_int_equal(uncertainty_plan(&study, &job), STUDY_DONE);
    double x[MANY], y[MANY], z[MANY];
    const size_t area = (size_t)(input_of(&study, "actuator.diaphragm_area") - study.input);
    const size_t rate = (size_t)(input_of(&study, "actuator.spring_rate") - study.input);
    const size_t bore = (size_t)(input_of(&study, "sense.bore") - study.input);
    for (size_t i = 0; i < MANY; i++) {
        x[i] = uncertainty_drawn(&study, 0, i, area);
        y[i] = uncertainty_drawn(&study, 0, i, rate);
        z[i] = uncertainty_drawn(&study, 0, i, bore);
    }
    assert_close(statistics_spearman(x, y, MANY), tie, 0.0, 0.05);
    assert_close(statistics_spearman(x, z, MANY), 0.0, 0.0, 0.05);
    uncertainty_free(&study);
    assert_true(uncertainty_pair_add(&study, "actuator.spring_rate", "actuator.diaphragm_area", 0.2,
                                     message, sizeof message));
    assert_int_equal(study.pair_count, 6);
    assert_close(pair_of(&study, "actuator.diaphragm_area", "actuator.spring_rate"), 0.2, 0.0, 0.0);
    study.draws = study.input_count;
    assert_int_equal(uncertainty_plan(&study, &job), STUDY_BAD_USAGE); // asked of too few draws
    uncertainty_free(&study);
    assert_true(
        uncertainty_collect(&study, scenario, 0.2, SAMPLE_TRIANGULAR, message, sizeof message));
    assert_int_equal(uncertainty_plan(&study, &job), STUDY_DONE);
    assert_int_equal(study.pair_count, 0);
    uncertainty_free(&study);
    scenario_free(scenario);
}

// A flow counted in standard volume stays one when the gas is heavier: its mass grows in proportion
// (E: a mole of gas takes up the same standard volume).
static void test_flow_keeps_its_volume(void **state) {
    (void)state;
    const char *const assignments[] = {"fluid.gravity={value: 0.65, low: 0.6, high: 0.8}"};
    struct scenario *scenario = changed(assignments, 1);
    struct scenario_case resolved = fixture_resolve(scenario, 0);
    struct uncertainty study = both_trims();
    study.site = resolved.site;
    study.flow_count = 1;
    assert_null(units_parse("0.15 MMscf/d", UNIT_FLOW, &study.flow[0], message));
    assert_true(
        uncertainty_collect(&study, scenario, 0.2, SAMPLE_UNIFORM, message, sizeof message));
    double probability[2 * 2] = {0.0, 0.0, 1.0, 1.0};
    study.probability = probability;
    size_t gravity = (size_t)(input_of(&study, "fluid.gravity") - study.input);
    assert_int_equal(study.input_count, 2); // the preload of the scenario is a guess
    assert_close(uncertainty_drawn(&study, 0, 1, gravity), 0.8, 1e-12, 0.0);
    double light = uncertainty_flow(&study, 0, 0, 0), heavy = uncertainty_flow(&study, 0, 0, 1);
    assert_close(heavy / light, 0.8 / 0.6, 1e-12, 0.0);
    scenario_case_free(&resolved);
    scenario_free(scenario);
}

// --- Summaries of invented draws

enum { DRAWS = 200, INPUTS = 3 };

static double probability[DRAWS * INPUTS], result[DRAWS * SEVERITY_COLUMNS];

static struct uncertainty invented(void) {
    struct uncertainty study = {.trim_count = 1, .input_count = INPUTS, .draws = DRAWS};
    for (size_t i = 0; i < INPUTS; i++) {
        study.input[i].range[0] = (struct sample_range){SAMPLE_UNIFORM, 0.0, 0.5, 1.0};
    }
    sample_plan_fill(probability, DRAWS, INPUTS, 5);
    for (size_t i = 0; i < DRAWS * SEVERITY_COLUMNS; i++) {
        result[i] = (double)NAN;
    }
    study.probability = probability;
    study.result = result;
    return study;
}

static void set_draw(size_t draw, size_t outcome, double swing, double growth) {
    double *row = &result[draw * SEVERITY_COLUMNS];
    row[SEVERITY_OUTCOME] = (double)outcome;
    row[SEVERITY_SWING] = swing;
    row[SEVERITY_GROWTH] = growth;
    row[SEVERITY_ORDER] = (double)outcome + swing;
}

static void test_summary_finds_the_cause(void **state) {
    (void)state;
    struct uncertainty study = invented();
    size_t slams = 0;
    for (size_t i = 0; i < DRAWS; i++) {
        double cause = probability[i * INPUTS + 1];
        bool slam = cause < 0.3;
        set_draw(i, slam ? VERDICT_SLAMMING : VERDICT_STEADY, slam ? 0.3 - cause : 0.0, -cause);
        slams += slam;
    }
    struct uncertainty_summary s;
    assert_true(uncertainty_summarise(&study, 0, 0, &s));
    assert_int_equal(s.draws, DRAWS);
    assert_int_equal(s.count[VERDICT_SLAMMING], slams);
    assert_int_equal(slams, 60); // strata: exactly three tenths
    assert_int_equal(s.moving, 60);
    struct statistics_interval w = statistics_wilson(60, DRAWS, UNCERTAINTY_CONFIDENCE);
    assert_true(s.share[VERDICT_SLAMMING].low == w.low && s.moving_share.high == w.high);
    assert_int_equal(s.measure, SEVERITY_ORDER);
    assert_int_equal(s.telling, 1);
    assert_int_equal(s.effect[0].input, 1);
    // 140 draws share the lowest rank, 60 fall in order: E, by the formula for mean ranks,
    // -sqrt(1 - (140^3 - 140)/(200^3 - 200)) since the other column has no ties.
    double ties = (140.0 * 140.0 * 140.0 - 140.0) / (200.0 * 200.0 * 200.0 - 200.0);
    assert_close(s.effect[0].leading, -sqrt(1.0 - ties), 0.02, 0.0);
    assert_close(s.effect[0].growth, -1.0, 1e-12, 0.0); // more of it dies out sooner: better
    assert_true(s.effect[0].share > 0.9 && s.effect[2].share < 0.2);
}

static void test_summary_of_draws_all_alike(void **state) {
    (void)state;
    struct uncertainty study = invented();
    for (size_t i = 0; i < DRAWS; i++) {
        set_draw(i, VERDICT_STEADY, 0.0, probability[i * INPUTS + 2] - 1.0);
    }
    struct uncertainty_summary s;
    assert_true(uncertainty_summarise(&study, 0, 0, &s));
    assert_int_equal(s.measure, SEVERITY_GROWTH);
    assert_int_equal(s.effect[0].input, 2);
    assert_close(s.effect[0].leading, 1.0, 1e-12, 0.0); // more of it dies out later: worse
    assert_true(isnan(s.effect[0].severity));
    for (size_t i = 0; i < DRAWS; i++) {
        set_draw(i, VERDICT_STEADY, 0.0, 0.1);
    }
    assert_true(uncertainty_summarise(&study, 0, 0, &s));
    assert_int_equal(s.measure, SEVERITY_COLUMNS);
    assert_int_equal(s.telling, 0);
}

static void test_summary_leaves_out_what_cannot_be(void **state) {
    (void)state;
    struct uncertainty study = invented();
    for (size_t i = 0; i < DRAWS; i++) {
        set_draw(i, VERDICT_HUNTING, probability[i * INPUTS], 0.0);
    }
    for (size_t i = 0; i < 30; i++) {
        set_draw(i, i < 10 ? SEVERITY_IMPOSSIBLE : SEVERITY_OUT_OF_REACH, (double)NAN, (double)NAN);
    }
    set_draw(30, SEVERITY_FAILED, (double)NAN, (double)NAN);
    struct uncertainty_summary s;
    assert_true(uncertainty_summarise(&study, 0, 0, &s));
    assert_int_equal(s.draws, DRAWS - 30);
    assert_int_equal(s.count[SEVERITY_IMPOSSIBLE], 10);
    assert_int_equal(s.count[SEVERITY_OUT_OF_REACH], 20);
    assert_int_equal(s.count[SEVERITY_FAILED], 1);
    assert_int_equal(s.effect[0].input, 0);
    assert_close(s.effect[0].swing, 1.0, 1e-12, 0.0);
    for (size_t i = 0; i < DRAWS; i++) {
        set_draw(i, SEVERITY_IMPOSSIBLE, (double)NAN, (double)NAN);
    }
    assert_true(uncertainty_summarise(&study, 0, 0, &s));
    assert_int_equal(s.draws, 0);
    assert_int_equal(s.telling, 0);
}

// --- The main demo

static const char *const demo_path = "tests/scenarios/decline.yaml";

static struct uncertainty demo(size_t draws, uint64_t seed, const char *const *overrides,
                               size_t override_count) {
    struct uncertainty study = {
        .trim_count = 2, .trim = {0, 1}, .back_pressure = true, .draws = draws, .seed = seed};
    struct diagnostics list = {0};
    struct scenario *scenario = scenario_open(demo_path, overrides, override_count, &list);
    diagnostics_print(&list, stderr);
    diagnostics_free(&list);
    assert_non_null(scenario);
    assert_true(
        uncertainty_collect(&study, scenario, 0.2, SAMPLE_TRIANGULAR, message, sizeof message));
    scenario_free(scenario);
    return study;
}

static struct study_job demo_job(int threads, const char *const *overrides, size_t count) {
    return (struct study_job){.path = demo_path,
                              .overrides = overrides,
                              .override_count = count,
                              .threads = threads,
                              .quiet = true};
}

static void run(struct uncertainty *study, struct study_job job) {
    if (uncertainty_plan(study, &job) != STUDY_DONE ||
        uncertainty_run(study, &job, NULL) != STUDY_DONE) {
        fail_msg("%s", job.message);
    }
}

static void test_demo_whatever_the_threads(void **state) {
    (void)state;
    enum { FEW = 12 };
    struct uncertainty one = demo(FEW, 3, NULL, 0), many = demo(FEW, 3, NULL, 0);
    run(&one, demo_job(1, NULL, 0));
    run(&many, demo_job(3, NULL, 0));
    size_t size = 2 * FEW * SEVERITY_COLUMNS * sizeof(double);
    assert_memory_equal(one.result, many.result, size);
    struct uncertainty_summary full, reduced;
    assert_true(uncertainty_summarise(&one, 0, 0, &full));
    assert_true(uncertainty_summarise(&one, 1, 0, &reduced));
    // tests/test_demo.c measures the contrast with many draws; here nearly all must show it.
    assert_true(full.count[VERDICT_SLAMMING] >= FEW - 2);
    assert_true(reduced.count[VERDICT_STEADY] >= FEW - 2);
    // Both trims saw the same draws, inside their ranges.
    for (size_t i = 0; i < one.input_count; i++) {
        for (size_t d = 0; d < FEW; d++) {
            double value = uncertainty_drawn(&one, 0, d, i);
            assert_true(value == uncertainty_drawn(&one, 1, d, i));
            const struct sample_range *r = &one.input[i].range[0];
            assert_true(value >= r->low && value <= r->high);
        }
    }
    struct uncertainty other = demo(FEW, 4, NULL, 0);
    run(&other, demo_job(1, NULL, 0));
    assert_memory_not_equal(one.result, other.result, size);
    uncertainty_free(&one);
    uncertainty_free(&many);
    uncertainty_free(&other);
}

static void test_demo_with_contradicting_pairs(void **state) {
    (void)state;
    struct uncertainty study = demo(40, 1, NULL, 0);
    assert_true(uncertainty_pair_add(&study, "pilot.bleed", "pilot.supply_seat", 0.9, message,
                                     sizeof message));
    assert_true(uncertainty_pair_add(&study, "pilot.supply_seat", "sense.bore", 0.9, message,
                                     sizeof message));
    assert_true(
        uncertainty_pair_add(&study, "pilot.bleed", "sense.bore", -0.9, message, sizeof message));
    struct study_job job = demo_job(0, NULL, 0);
    assert_int_equal(uncertainty_plan(&study, &job), STUDY_BAD_USAGE);
    assert_non_null(strstr(job.message, "contradict"));
    uncertainty_free(&study);
}

// Drawn values that contradict each other are counted, and stop nothing.
static void test_demo_with_impossible_draws(void **state) {
    (void)state;
    const char *const overrides[] = {
        "downstream.pressure=15 psig", "run.duration=2 s",
        "vessel.pressure_limit={value: 51 psig, low: 40 psig, high: 60 psig}"};
    struct uncertainty study = demo(20, 1, overrides, 3);
    study.trim_count = 1;
    run(&study, demo_job(0, overrides, 3));
    struct uncertainty_summary s;
    assert_true(uncertainty_summarise(&study, 0, 0, &s));
    // A limit at or below the set pressure of 50 psig is refused: of the triangle from 40 over 51
    // to 60, 100/220 of the draws (E), and the strata leave one draw of slack.
    assert_in_range(s.count[SEVERITY_IMPOSSIBLE], 8, 10);
    assert_int_equal(s.draws + s.count[SEVERITY_IMPOSSIBLE] + s.count[SEVERITY_OUT_OF_REACH], 20);
    uncertainty_free(&study);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_what_is_uncertain),
        cmocka_unit_test(test_shapes_and_pairs),
        cmocka_unit_test(test_hardware_ranges),
        cmocka_unit_test(test_hardware_ties),
        cmocka_unit_test(test_flow_keeps_its_volume),
        cmocka_unit_test(test_summary_finds_the_cause),
        cmocka_unit_test(test_summary_of_draws_all_alike),
        cmocka_unit_test(test_summary_leaves_out_what_cannot_be),
        cmocka_unit_test(test_demo_whatever_the_threads),
        cmocka_unit_test(test_demo_with_contradicting_pairs),
        cmocka_unit_test(test_demo_with_impossible_draws),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
