// SPDX-License-Identifier: MIT
// The parts of a match: the space of the draws, rows against runs, records against waves; and, for
// a few hidden regulators, that the whole finds them. tests/proof does that for forty.
#include "fixture_scenario.h"

#include "site/match_inside.h"
#include "steady/steadiness.h"

#include <stdlib.h>
#include <unistd.h>

static char path[] = "/tmp/lowlift-match-XXXXXX";
static char base[20000];

static int setup(void **state) {
    (void)state;
    const int handle = mkstemp(path);
    FILE *in = fopen("scenarios/matched.yaml", "rb");
    assert_non_null(in);
    base[fread(base, 1, sizeof base - 1, in)] = '\0';
    fclose(in);
    char *end = strstr(base, "# What two gauges");
    assert_non_null(end);
    *end = '\0';
    return handle < 0 ? -1 : close(handle);
}

static int teardown(void **state) {
    (void)state;
    return unlink(path);
}

struct bench {
    struct study_job job;
    struct scenario_case resolved;
    struct match *match;
};

// A match of rows, prepared.
static struct bench prepare(const char *rows) {
    struct bench b = {.job = {.path = path, .trim_count = 1, .quiet = true}};
    FILE *out = fopen(path, "wb");
    assert_non_null(out);
    fprintf(out, "%sobserved:\n%s", base, rows);
    assert_int_equal(fclose(out), 0);
    b.job.scenario = scenario_open(path, NULL, 0, &b.job.list);
    diagnostics_print(&b.job.list, stderr);
    assert_non_null(b.job.scenario);
    assert_int_equal(study_job_resolve(&b.job, 0, &b.resolved), STUDY_DONE);
    b.match = calloc(1, sizeof *b.match);
    b.match->wanted = 30;
    b.match->most = 24;
    b.match->seed = 1;
    assert_int_equal(match_prepare(b.match, &b.job, &b.resolved, 0.2), STUDY_DONE);
    return b;
}

static void finish(struct bench *b) {
    match_free(b->match);
    free(b->match);
    scenario_case_free(&b->resolved);
    scenario_free(b->job.scenario);
    diagnostics_free(&b->job.list);
}

static const char story[] = "  - {flow: 3 MMscf/d, downstream.pressure: 40 psig, seen: quiet}\n"
                            "  - {flow: 0.15 MMscf/d, seen: hits its seat}\n";

// The ranges are filled evenly, parts of one size go together as the table of hardware says, and a
// step keeps both.
static void test_match_space(void **state) {
    (void)state;
    struct bench b = prepare(story);
    enum { DRAWS = 4000 };
    const size_t width = b.match->space.input_count;
    double *score = calloc(width, sizeof *score);
    double *next = calloc(width, sizeof *next);
    double *x = calloc(DRAWS, sizeof *x);
    double *y = calloc(DRAWS, sizeof *y);
    assert_true(b.match->space.pair_count > 0);
    const struct uncertainty_pair *pair = &b.match->space.pair[0];
    double mean = 0.0;
    double square = 0.0;
    match_space_draw(b.match, 0, score);
    for (size_t i = 0; i < DRAWS; i++) {
        match_space_step(b.match, i + 1, 0.7, score, next);
        memcpy(score, next, width * sizeof *score);
        x[i] = match_probability(b.match, score, pair->a);
        y[i] = match_probability(b.match, score, pair->b);
        mean += x[i] / DRAWS;
        square += x[i] * x[i] / DRAWS;
        const struct sample_range *range = &b.match->space.input[pair->a].range[0];
        const double value = match_value(b.match, score, pair->a, 0);
        assert_true(value >= range->low && value <= range->high);
    }
    // Mean and spread of an even draw; a walk of such steps counts as a third of its length.
    assert_close(mean, 0.5, 0.0, 0.03);
    assert_close(square - mean * mean, 1.0 / 12.0, 0.0, 0.008);
    assert_close(statistics_spearman(x, y, DRAWS), pair->correlation, 0.0, 0.05);
    free(score);
    free(next);
    free(x);
    free(y);
    finish(&b);
}

static void test_match_rows(void **state) {
    (void)state;
    struct bench b = prepare("  - {flow: 3 MMscf/d, seen: quiet}\n"
                             "  - {flow: 0.15 MMscf/d, seen: hits its seat, frequency: 1..2 Hz}\n"
                             "  - {flow: 2 MMscf/d, seen: wide open, trim: small}\n");
    const struct match *m = b.match;
    assert_int_equal(m->row_count, 3);
    assert_int_equal(m->row[2].trim, 2);
    double screen[SCREEN_COLUMNS] = {[SCREEN_REST] = STEADINESS_UNSTEADY, [SCREEN_GROWTH] = 0.3};
    assert_false(match_rows_may(&m->row[0], screen));
    assert_true(match_rows_may(&m->row[1], screen));
    assert_false(match_rows_may(&m->row[2], screen));
    const struct match_row direct = {.seen = m->row[0].seen, .sticks = true};
    assert_true(match_rows_may(&direct, screen));
    screen[SCREEN_GROWTH] = 0.01; // hidden by friction
    assert_true(match_rows_may(&m->row[0], screen));
    screen[SCREEN_REST] = STEADINESS_STEADY;
    screen[SCREEN_DAMPING] = 0.1; // a kick may keep it going
    assert_true(match_rows_may(&m->row[0], screen));
    assert_true(match_rows_may(&m->row[1], screen));
    screen[SCREEN_DAMPING] = 0.6;
    assert_false(match_rows_may(&m->row[1], screen));
    double result[MATCH_COLUMNS] = {[MATCH_OUTCOME] = VERDICT_SLAMMING, [MATCH_FREQUENCY] = 1.5};
    double distance;
    assert_true(isinf(match_rows_fit(m, &m->row[0], result, &distance)));
    assert_close(match_rows_fit(m, &m->row[1], result, &distance), 0.0, 0.0, 1e-12);
    // A fifth beyond the end of what was said is one tolerance.
    result[MATCH_FREQUENCY] = 2.0 * exp(0.2);
    assert_close(match_rows_fit(m, &m->row[1], result, &distance), -0.5, 1e-9, 0.0);
    assert_close(distance, 1.0, 1e-9, 0.0);
    result[MATCH_OUTCOME] = VERDICT_STEADY;
    assert_true(isinf(match_rows_fit(m, &m->row[1], result, &distance)));
    finish(&b);
}

// Seen wide open: no screw makes it hold its set pressure there, which speaks for it, and against
// it where it was seen quiet.
static void test_match_wide_open(void **state) {
    (void)state;
    struct bench b = prepare("  - {flow: 60 MMscf/d, seen: wide open}\n"
                             "  - {flow: 60 MMscf/d, seen: quiet}\n");
    struct scenario_case c = b.resolved;
    c.set_at_flow = true;
    c.model.flow = schedule_constant(b.match->row[0].change[0].si);
    for (int i = 0; i < 2; i++) {
        double result[MATCH_COLUMNS];
        double distance;
        match_rows_run(b.match, &b.match->row[i], 0, &c, result);
        const double fit = match_rows_fit(b.match, &b.match->row[i], result, &distance);
        assert_true(i == 0 ? fit == 0.0 : isinf(fit));
    }
    finish(&b);
}

// Two draws side by side pin nothing down: of two drawn evenly one pair in four lies so close.
static void test_match_few_draws(void **state) {
    (void)state;
    struct bench b = prepare(story);
    struct match *m = b.match;
    const size_t width = m->space.input_count;
    m->count = 2;
    m->weight = malloc(2 * sizeof *m->weight);
    m->score = malloc(2 * width * sizeof *m->score);
    assert_non_null(m->weight);
    assert_non_null(m->score);
    for (size_t i = 0; i < 2; i++) {
        m->weight[i] = 0.5;
        for (size_t k = 0; k < width; k++) {
            m->score[i * width + k] = 0.01 * (double)i;
        }
    }
    for (size_t k = 0; k < width; k++) {
        assert_int_equal(match_tables_learnt(m, k).kind, MATCH_UNTOUCHED);
    }
    finish(&b);
}

// A wave of known frequency, swing and shape.
static void test_match_record(void **state) {
    (void)state;
    enum { COUNT = 1000 };
    double even[COUNT];
    struct match_record record = {.enough = true};
    const double pi = acos(-1.0);
    for (size_t i = 0; i < COUNT; i++) {
        even[i] = 4e5 + 5000.0 * sin(2.0 * pi * 0.8 * 0.05 * (double)i);
    }
    assert_true(match_record_measure(even, COUNT, 0.05, &record));
    assert_close(record.feature[FEATURE_FREQUENCY], 0.8, 1e-3, 0.0);
    assert_close(record.feature[FEATURE_SWING], 1e4, 0.02, 0.0);
    for (int k = 0; k < MATCH_PHASES; k++) {
        const double phase = ((double)k + 0.5) / MATCH_PHASES;
        assert_close(record.feature[FEATURE_WAVE + k], 5000.0 * sin(2.0 * pi * phase), 0.0, 120.0);
    }
    double distance;
    assert_close(match_record_fit(&record, record.feature, &distance), 0.0, 0.0, 1e-9);
    struct match_record other = {.enough = true};
    for (size_t i = 0; i < COUNT; i++) {
        even[i] = 4e5 + 5000.0 * asin(sin(2.0 * pi * 0.8 * 0.05 * (double)i)) / (0.5 * pi);
    }
    assert_true(match_record_measure(even, COUNT, 0.05, &other));
    // A triangle of the same size lies apart from a sine, but not far.
    const double apart = match_record_apart(&record, other.feature);
    assert_true(apart > 0.02 && apart < 0.1);
    // Two cycles are the least.
    assert_false(match_record_measure(even, 30, 0.05, &other));
}

// As draws for other studies they are the same regulators; those that are kin say in their file
// what they are worth.
static void check_as_draws(struct bench *b) {
    struct draws draws;
    assert_true(match_draws(b->match, b->job.scenario, &draws));
    assert_int_equal(draws.count, b->match->count);
    assert_close(draws_effective(&draws), match_effective(b->match), 1e-9, 0.0);
    for (size_t i = 0; i < draws.count; i++) {
        struct scenario *copy = scenario_copy(b->job.scenario);
        assert_true(draws_apply(&draws, i, copy, &b->job.list));
        scenario_free(copy);
    }
    draws_free(&draws);
    struct answer answer = {0};
    b->match->kin = 5.5;
    assert_true(match_tables_draws(&answer, &(struct match_told){b->match, NULL, b->job.scenario}));
    const struct answer_table *table = answer.item->table;
    assert_int_equal(table->rows, b->match->count);
    assert_string_equal(table->column[1].key, "worth");
    assert_string_equal(table->cell[1].text, "5.5");
    answer_free(&answer);
}

// Hidden regulators: most of their values lie in the 90 % intervals, and the draws do what was
// seen.
static void test_match_truths(void **state) {
    (void)state;
    enum { TRUTHS = 2 };
    size_t held = 0;
    size_t values = 0;
    for (uint64_t k = 0; k < TRUTHS; k++) {
        struct bench b = prepare(story);
        const size_t width = b.match->space.input_count;
        double *truth = calloc(width, sizeof *truth);
        double result[2][MATCH_COLUMNS];
        double distance;
        bool told = false;
        // The first of a row of draws that does what the story says.
        for (uint64_t i = 0; i < 60 && !told; i++) {
            match_space_draw(b.match, 777000 + 100 * k + i, truth);
            const double *const one[] = {truth};
            told = true;
            for (size_t r = 0; r < 2 && told; r++) {
                assert_int_equal(match_rows_simulate(b.match, &b.job, r, 1, one, result[r]),
                                 STUDY_DONE);
                told = isfinite(match_rows_fit(b.match, &b.match->row[r], result[r], &distance));
            }
        }
        assert_true(told);
        assert_int_equal(match_find(b.match, &b.job), STUDY_DONE);
        assert_true(b.match->count >= 8);
        assert_true(match_effective(b.match) <= (double)b.match->count + 1e-9);
        double sum = 0.0;
        for (size_t i = 0; i < b.match->count; i++) {
            sum += b.match->weight[i];
            assert_close(b.match->result[2 * i * MATCH_COLUMNS + MATCH_OUTCOME], VERDICT_STEADY,
                         0.0, 1.0);
        }
        assert_close(sum, 1.0, 1e-12, 0.0);
        for (size_t i = 0; i < width; i++) {
            const struct match_learnt l = match_tables_learnt(b.match, i);
            const double place = match_probability(b.match, truth, i);
            held += place >= l.low && place <= l.high;
            values++;
        }
        check_as_draws(&b);
        free(truth);
        finish(&b);
    }
    // 46 values; with few draws the ends of the intervals are rough.
    assert_true(held >= (size_t)(0.75 * (double)values));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_match_space),     cmocka_unit_test(test_match_rows),
        cmocka_unit_test(test_match_wide_open), cmocka_unit_test(test_match_few_draws),
        cmocka_unit_test(test_match_record),    cmocka_unit_test(test_match_truths),
    };
    return cmocka_run_group_tests(tests, setup, teardown);
}
