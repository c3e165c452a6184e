// SPDX-License-Identifier: MIT
// Maps: the axes as a user writes them, and each point against the same question asked alone. The
// expectations are the program's own promises.
#include "support.h"

#include "map/map_lines.h"
#include "run/screening.h"

#include <stdlib.h>
#include <unistd.h>

static const char path[] = "tests/scenarios/decline.yaml";
static struct scenario *scenario;

static bool parse(struct map_axis *axis, const char *text) {
    struct diagnostics list = {0};
    bool fine = map_axis_parse(axis, "--up", text, scenario, 0, &list);
    assert_int_equal(fine, list.errors == 0);
    diagnostics_free(&list);
    return fine;
}

static void refused(const char *text, const char *words) {
    struct diagnostics list = {0};
    struct map_axis axis;
    assert_false(map_axis_parse(&axis, "--up", text, scenario, 0, &list));
    assert_true(list.count > 0);
    bool said = false;
    for (size_t i = 0; i < list.count; i++) {
        said = said || strstr(list.items[i].message, words) != NULL;
    }
    if (!said) {
        fail_msg("%s: '%s' does not say '%s'", text, list.items[0].message, words);
    }
    diagnostics_free(&list);
}

static void test_axis_as_written(void **state) {
    (void)state;
    struct map_axis axis;
    const double inch = 0.0254;
    static const char *const same[] = {"trim.port=1 1/2..2.5 in", "trim.port=1.5 in..2 1/2 in",
                                       "trim.port=3/2 in..63.5 mm", "trim.port=1.5e0..2.5 in"};
    for (size_t i = 0; i < sizeof same / sizeof same[0]; i++) {
        assert_true(parse(&axis, same[i]));
        assert_string_equal(axis.path, "trim.port");
        assert_close(axis.from, 1.5 * inch, 1e-14, 0.0);
        assert_close(axis.to, 2.5 * inch, 1e-14, 0.0);
        assert_false(axis.logarithmic);
    }
    // Shown in the unit that was asked in, of gas by the day in thousands; else as results are.
    const struct answer answer = {.units = UNITS_US};
    assert_true(parse(&axis, "trim.travel=0.02..0.08 ft"));
    assert_string_equal(map_axis_unit(&axis, &answer), "ft");
    assert_close(map_axis_shown(&axis, &answer, axis.to), 0.08, 1e-14, 0.0);
    assert_true(parse(&axis, "inflow.rate=0.05..1 MMscf/d"));
    assert_string_equal(map_axis_unit(&axis, &answer), "Mscf/d");
    map_axis_port(&axis, scenario, 0);
    assert_string_equal(map_axis_unit(&axis, &answer), "in");
    assert_true(parse(&axis, "friction.kinetic=0..40 lbf"));
    assert_close(axis.from, 0.0, 0.0, 0.0);
    assert_true(parse(&axis, "set.pressure=30..60 psig"));
    assert_close(axis.from, (30.0 + 14.696) * 6894.757293168361, 1e-9, 0.0);
    assert_true(parse(&axis, "inflow.rate=0.05..1 MMscf/d"));
    assert_true(map_axis_is_flow(&axis));
    assert_close(axis.to / axis.from, 20.0, 1e-12, 0.0);
    assert_true(parse(&axis, "run.relative_tolerance=1e-7..1e-5"));
    assert_close(axis.from, 1e-7, 1e-14, 0.0);
}

static void test_axis_refused(void **state) {
    (void)state;
    refused("trim.port", "allowed FIELD=FROM..TO");
    refused("trim.port=1 in", "allowed FIELD=FROM..TO");
    refused("trim.prot=1..2 in", "did you mean trim.port?");
    refused("trim.characteristic=1..2", "holds a number");
    refused("demand.rate=1..2 MMscf/d", "applies to this scenario"); // it is a back-pressure build
    refused("trim.port=2..1 in", "allowed FROM below TO");
    refused("trim.port=2..2 in", "allowed FROM below TO");
    refused("trim.port=1..2", "unit");
    refused("trim.port=1..2 psi", "trim.port");
    refused("trim.port=0..2 in", "trim.port"); // below the range of the field
    refused("trim.port=..2 in", "trim.port");
    refused("set.pressure=30..60 psi", "psig or psia");
    refused("=1..2 in", "found ''");
}

static void test_axis_values(void **state) {
    (void)state;
    for (int logarithmic = 0; logarithmic < 2; logarithmic++) {
        struct map_axis axis = {
            .from = 0.2, .to = 5.0, .count = 7, .logarithmic = logarithmic != 0};
        assert_close(map_axis_value(&axis, 0.0), 0.2, 1e-15, 0.0);
        assert_close(map_axis_value(&axis, 6.0), 5.0, 1e-15, 0.0);
        assert_close(map_axis_value(&axis, 3.0), logarithmic ? 1.0 : 2.6, 1e-14, 0.0);
        for (double at = 0.0; at <= 6.0; at += 0.75) {
            double value = map_axis_value(&axis, at);
            double share = logarithmic ? log(value / 0.2) / log(5.0 / 0.2) : (value - 0.2) / 4.8;
            assert_close(6.0 * share, at, 0.0, 1e-12); // evenly, as the axis is drawn
        }
    }
}

static struct map make_map(bool simulated, size_t across, size_t up) {
    struct map map = {.scenario = scenario, .simulated = simulated, .fine = true};
    map_axis_flow(&map.across, scenario, 0);
    map_axis_port(&map.up, scenario, 0);
    map.across.count = across;
    map.up.count = up;
    return map;
}

static enum study_status run(struct map *map, int threads, const char *checkpoint) {
    char message[300];
    struct study study = {.path = path, .threads = threads, .checkpoint = checkpoint};
    return map_run(map, &study, message, sizeof message);
}

// One point asked alone: the port is set as from the command line, the flow after the screw.
static struct steadiness_settled alone(double port, double flow, struct simulation *simulation) {
    char text[80];
    const char *const overrides[] = {text};
    struct diagnostics list = {0};
    struct scenario_case resolved;
    struct steadiness subject;
    snprintf(text, sizeof text, "trim.port=%.17g m", port);
    struct scenario *changed = scenario_open(path, overrides, 1, &list);
    assert_non_null(changed);
    assert_true(scenario_resolve(changed, 0, &resolved, &list));
    assert_true(steadiness_prepare(&resolved, &subject));
    struct steadiness_settled settled = steadiness_settled(&subject, flow);
    if (simulation) {
        struct scenario_case held = subject.held;
        held.model.flow = schedule_constant(flow);
        simulate(&held, simulation);
    }
    scenario_case_free(&resolved);
    scenario_free(changed);
    diagnostics_free(&list);
    return settled;
}

static void test_linear_points(void **state) {
    (void)state;
    struct map map = make_map(false, 5, 4);
    assert_int_equal(run(&map, 2, NULL), STUDY_DONE);
    for (size_t j = 0; j < map.up.count; j++) {
        for (size_t i = 0; i < map.across.count; i++) {
            const double *row = map_row(&map, i, j);
            struct steadiness_settled s = alone(map_axis_value(&map.up, (double)j),
                                                map_axis_value(&map.across, (double)i), NULL);
            assert_int_equal((int)row[MAP_REST], s.rest);
            if (isfinite(s.growth)) {
                assert_close(row[MAP_GROWTH], s.growth, 1e-9, 0.0);
                assert_close(row[MAP_PRESSURE], s.pressure, 1e-12, 0.0);
            }
            assert_true(isnan(row[MAP_VERDICT]));
        }
    }
    // The trims as they are: small motions grow at the full port only
    // (tests/scenarios/decline.yaml).
    assert_string_equal(map_outcome(&map, map_trim_row(&map, 0)), "unsteady");
    assert_string_equal(map_outcome(&map, map_trim_row(&map, 1)), "steady");
    // The screw holds 50 psig at the scenario's flow.
    assert_close(map_trim_row(&map, 0)[MAP_PRESSURE], (50.0 + 14.696) * 6894.757293168361, 1e-6,
                 0.0);
    map_free(&map);
}

// Tried by the one-step method first, a map shows the same; and what was drawn agreed.
static void test_screened_points(void **state) {
    (void)state;
    struct screening counted = {0};
    struct map maps[2] = {make_map(true, 6, 5), make_map(true, 6, 5)};
    for (int k = 0; k < 2; k++) {
        char message[300];
        const char *const screened[] = {"run.screened=yes"};
        struct study study = {
            .path = path, .overrides = screened, .override_count = k == 1, .screening = &counted};
        maps[k].fine = false;
        assert_int_equal(map_run(&maps[k], &study, message, sizeof message), STUDY_DONE);
        assert_int_equal(atomic_load(&counted.runs) > 20, k == 1);
    }
    for (size_t j = 0; j < maps[0].up.count; j++) {
        for (size_t i = 0; i < maps[0].across.count; i++) {
            const double *a = map_row(&maps[0], i, j), *b = map_row(&maps[1], i, j);
            if (isfinite(a[MAP_VERDICT])) {
                assert_int_equal((int)a[MAP_VERDICT], (int)b[MAP_VERDICT]);
            }
        }
    }
    print_message("%lu runs, %lu again, %lu sampled, %lu of them otherwise\n",
                  atomic_load(&counted.runs), atomic_load(&counted.again),
                  atomic_load(&counted.sampled), atomic_load(&counted.differing));
    assert_int_equal(atomic_load(&counted.differing), 0);
    map_free(&maps[0]);
    map_free(&maps[1]);
}

static void test_simulated_points(void **state) {
    (void)state;
    struct map map = make_map(true, 3, 2);
    assert_int_equal(run(&map, 2, NULL), STUDY_DONE);
    for (size_t j = 0; j < 2; j++) {
        const double *row = map_row(&map, 1, j);
        struct simulation s;
        alone(map_axis_value(&map.up, (double)j), map_axis_value(&map.across, 1.0), &s);
        assert_int_equal((int)row[MAP_VERDICT], s.judged.verdict);
        assert_close(row[MAP_SWING], s.judged.figures.pressure_swing, 1e-6, 0.0);
        simulation_free(&s);
    }
    assert_string_equal(map_outcome(&map, map_trim_row(&map, 0)), "slamming");
    assert_string_equal(map_outcome(&map, map_trim_row(&map, 1)), "steady");
    map_free(&map);
}

static void test_threads_and_checkpoint(void **state) {
    (void)state;
    char kept[] = "/tmp/lowlift-map-XXXXXX";
    int handle = mkstemp(kept);
    assert_true(handle >= 0);
    close(handle);
    struct map one = make_map(false, 6, 5), two = make_map(false, 6, 5), other;
    assert_int_equal(run(&one, 1, kept), STUDY_DONE);
    assert_int_equal(run(&two, 8, NULL), STUDY_DONE);
    size_t size = (map_count(&one) + 2) * MAP_WIDTH * sizeof *one.row;
    assert_memory_equal(one.row, two.row, size);
    map_free(&two);
    assert_int_equal(run(&two, 2, kept), STUDY_DONE); // all from the file
    assert_memory_equal(one.row, two.row, size);
    // Another axis, another kind of map, another scenario: none takes the file up.
    other = make_map(false, 6, 5);
    other.up.to *= 1.01;
    assert_int_equal(run(&other, 1, kept), STUDY_BAD_CHECKPOINT);
    map_free(&other);
    other = make_map(true, 6, 5);
    assert_int_equal(run(&other, 1, kept), STUDY_BAD_CHECKPOINT);
    map_free(&other);
    map_free(&one);
    map_free(&two);
    unlink(kept);
}

static void test_fingerprint_of_a_scenario(void **state) {
    (void)state;
    struct diagnostics list = {0};
    static const char *const changes[] = {"trim.port=2.8 in", "trims.reduced.port=1.4 in",
                                          "inflow.rate=0.2 MMscf/d", "trim.direction=flow-to-open",
                                          "trim.flow_table=[[0, 0], [0.5, 0.4], [1, 1]]"};
    struct scenario *copy = scenario_copy(scenario);
    unsigned long own = scenario_fingerprint(scenario);
    assert_true(scenario_fingerprint(copy) == own);
    for (size_t i = 0; i < sizeof changes / sizeof changes[0]; i++) {
        unsigned long before = scenario_fingerprint(copy);
        assert_true(scenario_override(copy, changes[i], &list));
        assert_true(scenario_fingerprint(copy) != before);
    }
    assert_true(scenario_fingerprint(scenario) == own); // the copy's changes are its own
    scenario_free(copy);
    diagnostics_free(&list);
}

static void test_impossible_and_out_of_reach(void **state) {
    (void)state;
    struct map map = make_map(false, 2, 3);
    struct map_axis axis;
    assert_true(parse(&axis, "trim.port=0.05..3 in")); // the smallest does not pass today's flow
    axis.count = 3;
    map.up = axis;
    assert_int_equal(run(&map, 1, NULL), STUDY_DONE);
    assert_string_equal(map_outcome(&map, map_row(&map, 0, 0)), "set pressure out of reach");
    assert_true(isnan(map_row(&map, 0, 0)[MAP_GROWTH]));
    map_free(&map);
}

// The line on which small motions neither grow nor die out, against eigenvalues beside it.
static void test_boundary(void **state) {
    (void)state;
    struct map map = make_map(false, 16, 16);
    struct map_lines lines;
    assert_int_equal(run(&map, 2, NULL), STUDY_DONE);
    assert_true(map_lines_find(&map, 1.0, &lines));
    assert_int_equal(lines.boundary.line_count, 1);
    assert_int_equal(lines.swing_count, 0);
    for (size_t i = 0; i < lines.boundary.end[0]; i += 5) {
        double flow = map_axis_value(&map.across, lines.boundary.x[i]);
        double port = map_axis_value(&map.up, lines.boundary.y[i]);
        assert_true(alone(0.98 * port, flow, NULL).growth < 0.0);
        assert_true(alone(1.02 * port, flow, NULL).growth > 0.0);
    }
    map_lines_free(&lines);
    map_free(&map);
}

static int open_scenario(void **state) {
    (void)state;
    struct diagnostics list = {0};
    scenario = scenario_open(path, NULL, 0, &list);
    diagnostics_print(&list, stderr);
    diagnostics_free(&list);
    return scenario ? 0 : -1;
}

static int close_scenario(void **state) {
    (void)state;
    scenario_free(scenario);
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_axis_as_written),
        cmocka_unit_test(test_axis_refused),
        cmocka_unit_test(test_axis_values),
        cmocka_unit_test(test_linear_points),
        cmocka_unit_test(test_screened_points),
        cmocka_unit_test(test_simulated_points),
        cmocka_unit_test(test_threads_and_checkpoint),
        cmocka_unit_test(test_fingerprint_of_a_scenario),
        cmocka_unit_test(test_impossible_and_out_of_reach),
        cmocka_unit_test(test_boundary),
    };
    return cmocka_run_group_tests(tests, open_scenario, close_scenario);
}
