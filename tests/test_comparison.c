// SPDX-License-Identifier: MIT
// What `run` and `compare` answer: on the terminal, and as JSON read back by a library. No outside
// source: this program's own promise.
#include "support.h"

#include "fixture_capture.h"
#include "fixture_case.h"
#include "show/show.h"
#include "study/comparison.h"

#include <jansson.h>

#include <unistd.h>

enum { WIDTH_MAX = 100 };

// Trims of the main demo, changed, simulated and told; free with told_free.
struct told {
    struct scenario *scenario;
    struct comparison comparison;
    struct answer answer;
    enum study_status status;
    char *text;
};

static void told(struct told *t, const char *const *trim, const char *const *overrides,
                 bool tighter) {
    struct diagnostics list = {0};
    struct study_job job = {.path = decline};
    size_t count = 0;
    while (overrides && overrides[count]) {
        count++;
    }
    memset(t, 0, sizeof *t);
    t->scenario = scenario_open(decline, overrides, count, &list);
    assert_non_null(t->scenario);
    for (size_t i = 0; trim[i]; i++) {
        t->comparison.target[t->comparison.count++] = (struct comparison_target){
            t->scenario, scenario_trim_find(t->scenario, trim[i], &list)};
    }
    diagnostics_free(&list);
    t->comparison.tighter = tighter;
    t->status = comparison_run(&t->comparison, &job);
    comparison_answer(&t->comparison, &t->answer);
    assert_false(t->answer.failed);
    struct fixture_capture capture;
    fixture_capture_begin(&capture);
    show_text(capture.stream, &t->answer, false);
    t->text = fixture_capture_end(&capture);
    diagnostics_free(&job.list);
}

static void told_free(struct told *t) {
    answer_free(&t->answer);
    comparison_free(&t->comparison);
    scenario_free(t->scenario);
    free(t->text);
}

static const char *const full[] = {"full", NULL};
static const char *const reduced[] = {"reduced", NULL};
static const char *const both[] = {"full", "reduced", NULL};

static void check_width(const char *text) {
    size_t width = 0;
    for (const char *at = text; *at; at++) {
        width = *at == '\n' ? 0 : width + 1;
        if (width > WIDTH_MAX) {
            fail_msg("a line is wider than %d: %.120s", WIDTH_MAX, at + 1 - width);
        }
    }
}

// The reason may be longer than a line: its last part, of the blows, then stands on the next.
static void says_reason(const struct told *t) {
    char reason[200];
    snprintf(reason, sizeof reason, "%s", t->comparison.run[0].judged.reason);
    char *blows = strrchr(reason, ';');
    assert_non_null(blows);
    *blows = '\0';
    assert_says(t->text, reason);
    assert_says(t->text, "the hardest is a touch,");
}

static void test_run(void **state) {
    (void)state;
    struct told t;
    const char *const changes[] = {"title=100 %s %n $(x) `y`", NULL};
    told(&t, full, changes, false);
    assert_int_equal(strncmp(t.text, "100 %s %n $(x) `y`, trim full\n", 30), 0);
    assert_says(t.text, "  verdict: slamming - ");
    says_reason(&t);
    // The groups in order, each once; figures that do not exist are left out.
    static const char *const groups[] = {"\n  at rest\n", "\n  motion\n", "\n  seat and stop\n",
                                         "\n  the run itself\n", "\n  work of the solver\n"};
    const char *last = t.text;
    for (int i = 0; i < 5; i++) {
        assert_int_equal(fixture_count_text(t.text, groups[i]), 1);
        assert_true(strstr(t.text, groups[i]) > last);
        last = strstr(t.text, groups[i]);
    }
    assert_says(t.text, "controlled pressure at rest                     50 psig");
    assert_null(strstr(t.text, "surge"));
    assert_null(strstr(t.text, "nan"));
    check_width(t.text);
    told_free(&t);
}

static void test_notes(void **state) {
    (void)state;
    struct told t;
    const char *const few[] = {"run.max_steps=300", NULL};
    told(&t, full, few, false);
    assert_int_equal(t.status, STUDY_SOLVER_FAILED);
    assert_says(t.text, "note: stopped at");
    assert_says(t.text, "run.max_steps");
    told_free(&t);
    const char *const flood[] = {"inflow.rate=40 MMscf/d", "set.adjusted=at-crack", NULL};
    told(&t, reduced, flood, false);
    assert_says(t.text, "verdict: wide open");
    assert_says(t.text, "does not hold the set pressure at the largest flow");
    told_free(&t);
}

static void test_comparison(void **state) {
    (void)state;
    struct told t;
    told(&t, both, NULL, false);
    const char *title = t.comparison.scenario[0].title;
    assert_int_equal(strncmp(t.text, title, strlen(title)), 0);
    assert_says(t.text, "            full        reduced\n");
    assert_says(t.text, "        slamming         steady\n");
    assert_says(t.text, "  full: ");
    says_reason(&t);
    assert_null(strstr(t.text, "surge"));
    assert_int_equal(comparison_worst(&t.comparison), VERDICT_SLAMMING);
    check_width(t.text);
    told_free(&t);
}

static void test_inputs(void **state) {
    (void)state;
    struct told t;
    const char *const changes[] = {"run.duration=0.1 s", NULL};
    told(&t, reduced, changes, false);
    assert_says(t.text, "  given:");
    assert_says(t.text, "  guessed, so measure them:");
    assert_says(t.text, "  left at the default:");
    assert_says(t.text, "trim.port = 1 1/2 in;");      // of this trim, not the common one
    assert_says(t.text, " friction.kinetic = 5 lbf;"); // without the word `about`
    assert_null(strstr(t.text, "choking_ratio"));      // a default, only counted
    assert_says(t.text, "--inputs lists them");
    assert_null(strstr(t.text, "fluid.bulk_modulus")); // not of this build
    assert_says(t.text, "no better than its guesses");
    check_width(t.text);
    told_free(&t);
}

static void test_tighter(void **state) {
    (void)state;
    struct told t;
    told(&t, full, NULL, true);
    assert_says(t.text, "at a ten times tighter tolerance (1.0e-07): verdict slamming");
    assert_null(strstr(t.text, "nan"));
    size_t rows = 0;
    for (const struct answer_table *table = t.answer.table; table; table = table->next) {
        for (size_t i = 0; strcmp(table->key, "tighter") == 0 && i < table->rows; i++) {
            const struct answer_cell *cell = answer_row(table, i, NULL);
            const bool swing = strcmp(cell[1].text, "pressure swing") == 0;
            assert_true(cell[3].text || cell[3].number >= 0.0);
            assert_true(!swing || cell[3].number < 1.0); // %: the motion is that of the demo
            rows++;
        }
    }
    assert_true(rows > 10);
    told_free(&t);
}

// --- JSON

static char folder[] = "/tmp/lowlift-comparison-XXXXXX";

static json_t *read_back(const struct told *t) {
    char path[300];
    struct destination to = {
        .command = "run", .folder = folder, .stem = "one", .files = true, .quiet = true};
    assert_true(show_summary(&t->answer, &to));
    snprintf(path, sizeof path, "%s/one.json", folder);
    json_error_t error;
    json_t *document = json_load_file(path, JSON_REJECT_DUPLICATES, &error);
    if (!document) {
        fail_msg("not JSON: %s in line %d", error.text, error.line);
    }
    unlink(path);
    return document;
}

static const char *string_of(const json_t *object, const char *name) {
    const char *text = json_string_value(json_object_get(object, name));
    assert_non_null(text);
    return text;
}

static void check_figures(const json_t *row, const struct comparison *c) {
    for (size_t i = 0; figure_at(i); i++) {
        const struct figure *f = figure_at(i);
        const json_t *one = json_object_get(row, f->name);
        assert_non_null(one);
        const char *unit;
        const double number =
            figure_number(f, f->value(&c->run[0], &c->scenario[0]), &c->scenario[0], &unit);
        const json_t *value = json_is_object(one) ? json_object_get(one, "value") : one;
        if (isfinite(number)) {
            assert_close(json_number_value(value), number, 1e-8, 0.0);
        } else {
            assert_true(json_is_null(value));
        }
        if (unit[0]) {
            assert_int_equal(strncmp(string_of(one, "unit"), unit, strlen(unit)), 0);
        }
    }
}

static void test_one_run(void **state) {
    (void)state;
    struct told t;
    const char *const changes[] = {"title=\"quotes \\\" back\\\\slash `x` $(y) 100 % \xc3\xa9\"",
                                   "friction.kinetic=about 5 lbf", NULL};
    told(&t, full, changes, false);
    json_t *document = read_back(&t);
    assert_string_equal(string_of(document, "program"), "lowlift");
    assert_non_null(json_object_get(document, "version"));
    assert_string_equal(string_of(document, "title"),
                        "quotes \" back\\slash `x` $(y) 100 % \xc3\xa9");
    const json_t *row = json_array_get(json_object_get(document, "runs"), 0);
    assert_string_equal(string_of(row, "label"), "full");
    assert_string_equal(string_of(row, "outcome"), "done");
    assert_string_equal(string_of(row, "verdict"),
                        verdict_name(t.comparison.run[0].judged.verdict));
    assert_string_equal(string_of(row, "reason"), t.comparison.run[0].judged.reason);
    assert_string_equal(string_of(row, "message"), "");
    check_figures(row, &t.comparison);
    assert_int_equal(json_array_size(json_object_get(document, "modes")),
                     t.comparison.run[0].modes.count);
    assert_int_equal(json_integer_value(json_object_get(row, "steps")),
                     t.comparison.run[0].statistics.steps);
    json_decref(document);
    told_free(&t);
}

static void test_where_values_come_from(void **state) {
    (void)state;
    struct told t;
    const char *const changes[] = {"run.duration=0.1 s", "friction.kinetic=about 4 lbf",
                                   "vessel.volume=6 ft3", NULL};
    told(&t, reduced, changes, false);
    json_t *document = read_back(&t);
    static const char *const rows[][3] = {{"friction.kinetic", "4 lbf", "guess"},
                                          {"vessel.volume", "6 ft3", "given"},
                                          {"trim.port", "1 1/2 in", "given"},
                                          {"trim.choking_ratio", "0.7", "default"}};
    int met = 0;
    size_t index;
    json_t *one;
    json_array_foreach(json_object_get(document, "inputs"), index, one) {
        for (int i = 0; i < 4; i++) {
            if (strcmp(string_of(one, "field"), rows[i][0]) == 0) {
                assert_string_equal(string_of(one, "text"), rows[i][1]);
                assert_string_equal(string_of(one, "source"), rows[i][2]);
                met++;
            }
        }
        // A liquid's field has no place in a gas scenario.
        assert_string_not_equal(string_of(one, "field"), "fluid.bulk_modulus");
    }
    assert_int_equal(met, 4);
    json_decref(document);
    told_free(&t);
}

static void test_failed_run(void **state) {
    (void)state;
    struct told t;
    const char *const changes[] = {"run.max_steps=300", NULL};
    told(&t, full, changes, false);
    json_t *document = read_back(&t);
    const json_t *row = json_array_get(json_object_get(document, "runs"), 0);
    assert_string_equal(string_of(row, "outcome"), "failed");
    assert_string_equal(string_of(row, "message"), t.comparison.run[0].message);
    json_decref(document);
    told_free(&t);
}

static void test_same_words_twice(void **state) {
    (void)state;
    struct told a, b;
    told(&a, both, NULL, false);
    told(&b, both, NULL, false);
    assert_string_equal(a.text, b.text);
    told_free(&a);
    told_free(&b);
}

static int setup(void **state) {
    (void)state;
    return mkdtemp(folder) ? 0 : -1;
}

static int teardown(void **state) {
    (void)state;
    return rmdir(folder);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_run),
        cmocka_unit_test(test_notes),
        cmocka_unit_test(test_comparison),
        cmocka_unit_test(test_inputs),
        cmocka_unit_test(test_tighter),
        cmocka_unit_test(test_one_run),
        cmocka_unit_test(test_where_values_come_from),
        cmocka_unit_test(test_failed_run),
        cmocka_unit_test(test_same_words_twice),
    };
    return cmocka_run_group_tests(tests, setup, teardown);
}
