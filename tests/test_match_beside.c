// SPDX-License-Identifier: MIT
// A record with chamber pressure and travel beside the controlled pressure: read in their units,
// measured over the cycles of the pressure, and a better witness than the pressure alone. Against
// made-up signals (E) and a hidden regulator drawn from the ranges (own definition).
#include "fixture_file.h"
#include "fixture_scenario.h"

#include "run/simulate.h"
#include "site/match_beside.h"
#include "site/match_inside.h"

#include <stdlib.h>
#include <unistd.h>

enum { COUNT = 800, CANDIDATES = 40 };

static const double pi = 3.14159265358979;

// Pressure 50 psig swinging by 2 psi at 0.5 Hz, chamber a quarter of a cycle behind between 20 and
// 30 psig, travel in step with the pressure from 0.1 to 0.3 of a unit.
static void write_waves(const char *unit, double one) {
    FILE *out = fopen(fixture_file, "wb");
    assert_non_null(out);
    fprintf(out, "time [s],pressure [psig],chamber [psig],travel [%s]\n", unit);
    for (int i = 0; i < COUNT; i++) {
        const double phase = 2.0 * pi * 0.5 * 0.05 * i;
        fprintf(out, "%.2f,%.4f,%.4f,%.5f\n", 0.05 * i, 50.0 + sin(phase), 25.0 - 5.0 * cos(phase),
                one * (0.2 + 0.1 * sin(phase)));
    }
    assert_int_equal(fclose(out), 0);
}

static bool read_waves(struct match_record *record, const char *chamber, const char *travel,
                       struct diagnostics *list) {
    char why[300];
    const struct match_record_asked asked = {.path = fixture_file,
                                             .chamber = chamber,
                                             .travel = travel,
                                             .site = {.atmosphere = 101325.0},
                                             .set_pressure = 101325.0 + 50.0 * 6894.757};
    return match_record_read(record, &asked, why, sizeof why, list);
}

static void test_beside_waves(void **state) {
    (void)state;
    struct diagnostics list = {0};
    struct match_record record;
    double distance;
    write_waves("in", 1.0);
    assert_true(read_waves(&record, "chamber", "travel", &list));
    assert_int_equal(match_beside_count(&record), 2);
    const double *chamber = &record.feature[FEATURE_BESIDE + BESIDE_CHAMBER * BESIDE_FEATURES];
    const double *travel = &record.feature[FEATURE_BESIDE + BESIDE_TRAVEL * BESIDE_FEATURES];
    assert_close(chamber[BESIDE_MEAN], 101325.0 + 25.0 * 6894.757, 1e-3, 0.0);
    assert_close(chamber[BESIDE_SWING], 10.0 * 6894.757, 0.02, 0.0);
    assert_close(travel[BESIDE_MEAN], 0.2 * 0.0254, 5e-3, 0.0);
    assert_close(travel[BESIDE_SWING], 0.2 * 0.0254, 0.02, 0.0);
    // Cycles begin where the pressure rises through its mean: the chamber is then at its least.
    assert_close(chamber[BESIDE_WAVE], -5.0 * 6894.757 * cos(2.0 * pi * 0.5 / MATCH_PHASES), 0.02,
                 300.0);
    assert_false(record.travel_share);
    // It fits itself; a mean off by its tolerance, a tenth of the swing, costs a half.
    assert_close(match_beside_fit(&record, record.feature, &distance), 0.0, 0.0, 1e-9);
    double other[MATCH_RECORD_FEATURES];
    memcpy(other, record.feature, sizeof other);
    other[FEATURE_BESIDE + BESIDE_TRAVEL * BESIDE_FEATURES + BESIDE_MEAN] +=
        0.1 * travel[BESIDE_SWING];
    assert_close(match_beside_fit(&record, other, &distance), -0.5, 1e-6, 0.0);
    assert_close(distance, 1.0, 1e-6, 0.0);
    other[FEATURE_BESIDE + BESIDE_TRAVEL * BESIDE_FEATURES + BESIDE_MEAN] = (double)NAN;
    assert_true(isinf(match_beside_fit(&record, other, &distance)));
    write_waves("%", 100.0);
    const bool read = read_waves(&record, NULL, "travel", &list);
    diagnostics_print(&list, stderr);
    assert_true(read);
    assert_int_equal(match_beside_count(&record), 1);
    assert_true(record.travel_share);
    assert_close(travel[BESIDE_MEAN], 0.2, 5e-3, 0.0);
    write_waves("turns", 1.0);
    assert_false(read_waves(&record, NULL, "travel", &list));
    assert_non_null(strstr(list.items[0].message, "travel: found no unit"));
    diagnostics_free(&list);
    list = (struct diagnostics){0};
    write_waves("in", 0.0); // a stuck indicator says nothing
    assert_true(read_waves(&record, NULL, "travel", &list));
    assert_int_equal(match_beside_count(&record), 0);
    diagnostics_free(&list);
}

// --- A hidden regulator

static struct scenario_case resolve(const struct match *match, const struct scenario *scenario,
                                    const double *score, struct scenario **own) {
    struct study_change change[STUDY_CHANGES_MAX];
    struct scenario_case c = {0};
    struct diagnostics list = {0};
    *own = scenario_copy(scenario);
    const size_t count = match_rows_changes(match, &match->row[0], score, change);
    for (size_t i = 0; i < count; i++) {
        assert_true(scenario_set_si(*own, change[i].field, change[i].si));
    }
    assert_true(scenario_resolve(*own, 0, &c, &list));
    diagnostics_free(&list);
    return c;
}

// What a logger of 20 samples a second writes of it.
static void write_record(const struct match *match, const struct scenario *scenario,
                         const double *score) {
    struct scenario *own;
    struct scenario_case c = resolve(match, scenario, score, &own);
    struct simulation run;
    c.run.duration = 40.0;
    c.run.stop_early = false;
    simulate(&c, &run);
    FILE *out = fopen(fixture_file, "wb");
    assert_non_null(out);
    fprintf(out, "time [s],pressure [kPa(a)],chamber [kPa(a)],travel [mm]\n");
    for (double t = 15.0; t < 39.9; t += 0.05) {
        const size_t i = (size_t)(t / run.step);
        assert_true(i < run.count);
        fprintf(out, "%.3f,%.3f,%.3f,%.4f\n", t, 1e-3 * run.channel[CHANNEL_CONTROLLED_PRESSURE][i],
                1e-3 * run.channel[CHANNEL_CHAMBER_PRESSURE][i],
                1e3 * run.channel[CHANNEL_TRAVEL][i]);
    }
    assert_int_equal(fclose(out), 0);
    simulation_free(&run);
    scenario_case_free(&c);
    scenario_free(own);
}

// How far draws lie from the truth in the values that chamber and travel rest on, by weights exp of
// how well they fit; mean square over places in the ranges.
static double error_of(const struct match *match, const double *truth, const double *score,
                       const double *result, bool beside) {
    static const char *const fields[] = {"actuator.diaphragm_area", "actuator.preload",
                                         "trim.discharge", "trim.port"};
    const size_t width = match->space.input_count;
    struct match alike = *match;
    alike.record.beside[BESIDE_CHAMBER] = alike.record.beside[BESIDE_TRAVEL] = beside;
    double sum = 0.0;
    double error = 0.0;
    for (size_t i = 0; i < CANDIDATES; i++) {
        double distance;
        const double fit =
            match_rows_fit(&alike, &match->row[0], &result[i * MATCH_COLUMNS], &distance);
        // A quarter of the weight, so that the few draws of a test are not left with the best one.
        const double weight = isfinite(fit) ? exp(0.25 * fit) : 0.0;
        sum += weight;
        for (size_t k = 0; k < width; k++) {
            for (size_t f = 0; f < sizeof fields / sizeof fields[0]; f++) {
                if (strcmp(match->space.input[k].field, fields[f]) == 0) {
                    const double off = match_probability(match, &score[i * width], k) -
                                       match_probability(match, truth, k);
                    error += weight * off * off;
                }
            }
        }
    }
    assert_true(sum > 0.0);
    return error / sum;
}

// A match by the record alone, at today's flow.
static struct match *prepare(struct study_job *job, struct scenario_case *resolved) {
    struct match *match = calloc(1, sizeof *match);
    size_t recorded = 0;
    *job = (struct study_job){.path = "scenarios/which-port.yaml", .trim_count = 1, .quiet = true};
    job->scenario = scenario_open(job->path, NULL, 0, &job->list);
    assert_non_null(match);
    assert_non_null(job->scenario);
    assert_int_equal(study_job_resolve(job, 0, resolved), STUDY_DONE);
    match->seed = 1;
    match->most = CANDIDATES;
    match->record.enough = true;
    assert_int_equal(match_prepare(match, job, resolved, 0.2), STUDY_DONE);
    while (!match->row[recorded].recorded) {
        recorded++;
    }
    match->row[0] = match->row[recorded];
    match->row[0].seen = NULL;
    match->row_count = 1;
    return match;
}

// The first of a row of draws that moves, hidden, and its record.
static void hide(struct match *match, struct study_job *job, const struct scenario_case *resolved,
                 double *truth) {
    char why[300];
    const struct match_record_asked asked = {.path = fixture_file,
                                             .chamber = "chamber",
                                             .travel = "travel",
                                             .site = resolved->site,
                                             .set_pressure = resolved->set_pressure};
    bool enough = false;
    for (uint64_t k = 0; k < 20 && !enough; k++) {
        match_space_draw(match, 777 + k, truth);
        write_record(match, job->scenario, truth);
        enough = match_record_read(&match->record, &asked, why, sizeof why, &job->list);
    }
    assert_true(enough);
    assert_int_equal(match_beside_count(&match->record), 2);
}

static void test_beside_pins_down(void **state) {
    (void)state;
    struct study_job job;
    struct scenario_case resolved = {0};
    struct match *match = prepare(&job, &resolved);
    const size_t width = match->space.input_count;
    double *truth = calloc(width, sizeof *truth);
    double *score = calloc(CANDIDATES * width, sizeof *score);
    double *result = calloc(CANDIDATES * MATCH_COLUMNS, sizeof *result);
    const double *at[CANDIDATES];
    double distance;
    hide(match, &job, &resolved, truth);
    for (size_t i = 0; i < CANDIDATES; i++) {
        at[i] = &score[i * width];
        if (i == 0) {
            memcpy(score, truth, width * sizeof *truth);
        } else {
            match_space_step(match, 1000 + i, 0.4, truth, &score[i * width]);
        }
    }
    assert_int_equal(match_rows_simulate(match, &job, 0, CANDIDATES, at, result), STUDY_DONE);
    // The truth fits its own record, in all channels.
    assert_true(match_rows_fit(match, &match->row[0], result, &distance) > -1.0);
    const double alone = error_of(match, truth, score, result, false);
    const double with = error_of(match, truth, score, result, true);
    print_message("mean square of places: %.4f by the pressure, %.4f with chamber and travel\n",
                  alone, with);
    // Of four truths so tried it came out as 0.64 to 0.81 of the other.
    assert_true(with < 0.85 * alone);
    free(truth);
    free(score);
    free(result);
    match_free(match);
    free(match);
    scenario_case_free(&resolved);
    scenario_free(job.scenario);
    diagnostics_free(&job.list);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_beside_waves),
        cmocka_unit_test(test_beside_pins_down),
    };
    return cmocka_run_group_tests(tests, fixture_file_make, fixture_file_remove);
}
