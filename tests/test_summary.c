// SPDX-License-Identifier: MIT
// The JSON summary of runs, read back.
#include "support.h"

#include "fixture_capture.h"
#include "fixture_case.h"
#include "run/figure.h"
#include "show/summary.h"

#include <jansson.h>

static const char awkward[] = "title=\"quotes \\\" back\\\\slash `x` $(y) 100 % \xc3\xa9\"";

static bool write_case(FILE *stream, const struct fixture_case *c, size_t trim) {
    const struct scenario *source[] = {c->scenario};
    const struct scenario_case *scenario[] = {&c->resolved};
    const struct simulation *run[] = {&c->run};
    return summary_write(stream, 1, source, &trim, scenario, run);
}

static json_t *read_back(const struct fixture_case *c, size_t trim) {
    struct fixture_capture capture;
    fixture_capture_begin(&capture);
    assert_true(write_case(capture.stream, c, trim));
    char *text = fixture_capture_end(&capture);
    json_error_t error;
    json_t *document = json_loads(text, JSON_REJECT_DUPLICATES, &error);
    if (!document) {
        fail_msg("not JSON: %s in line %d", error.text, error.line);
    }
    assert_int_equal(text[strlen(text) - 1], '\n');
    free(text);
    return document;
}

static const char *string_of(const json_t *object, const char *name) {
    const char *text = json_string_value(json_object_get(object, name));
    assert_non_null(text);
    return text;
}

static void check_figures(const json_t *run, const struct fixture_case *c) {
    const json_t *all = json_object_get(run, "figures");
    size_t count = 0;
    for (; figure_at(count); count++) {
        const struct figure *f = figure_at(count);
        const json_t *one = json_object_get(all, f->name);
        assert_non_null(one);
        const char *unit;
        double number = figure_number(f, f->value(&c->run, &c->resolved), &c->resolved, &unit);
        const json_t *value = json_object_get(one, "value");
        if (isfinite(number)) {
            assert_close(json_number_value(value), number, 1e-8, 0.0);
        } else {
            assert_true(json_is_null(value));
        }
        assert_int_equal(strncmp(string_of(one, "unit"), unit, strlen(unit)), 0);
    }
    assert_int_equal(json_object_size(all), count);
}

static void test_one_run(void **state) {
    (void)state;
    struct fixture_case c;
    const char *const changes[] = {awkward, "friction.kinetic=about 5 lbf", NULL};
    fixture_case_simulate(&c, decline, "full", changes);
    json_t *document = read_back(&c, 0);
    assert_string_equal(string_of(document, "program"), "lowlift");
    assert_non_null(json_object_get(document, "version"));
    json_t *run = json_array_get(json_object_get(document, "runs"), 0);
    assert_string_equal(string_of(run, "title"), c.resolved.title);
    assert_string_equal(c.resolved.title, "quotes \" back\\slash `x` $(y) 100 % \xc3\xa9");
    assert_string_equal(string_of(run, "trim"), "full");
    assert_string_equal(string_of(run, "outcome"), "done");
    assert_string_equal(string_of(run, "verdict"), verdict_name(c.run.judged.verdict));
    assert_string_equal(string_of(run, "reason"), c.run.judged.reason);
    assert_null(json_object_get(run, "message"));
    check_figures(run, &c);
    assert_int_equal(json_array_size(json_object_get(run, "modes")), c.run.modes.count);
    const json_t *steps = json_object_get(json_object_get(run, "solver"), "steps");
    assert_int_equal(json_integer_value(steps), c.run.statistics.steps);
    json_decref(document);
    fixture_case_close(&c);
}

static void test_where_values_come_from(void **state) {
    (void)state;
    struct fixture_case c;
    const char *const changes[] = {"run.duration=0.1 s", "friction.kinetic=about 4 lbf",
                                   "vessel.volume=6 ft3", NULL};
    fixture_case_simulate(&c, decline, "reduced", changes);
    json_t *document = read_back(&c, 1);
    json_t *run = json_array_get(json_object_get(document, "runs"), 0);
    json_t *inputs = json_object_get(run, "inputs");
    static const char *const rows[][3] = {{"friction.kinetic", "4 lbf", "guess"},
                                          {"vessel.volume", "6 ft3", "given"},
                                          {"trim.port", "1 1/2 in", "given"},
                                          {"trim.choking_ratio", "0.7", "default"}};
    for (int i = 0; i < 4; i++) {
        json_t *one = json_object_get(inputs, rows[i][0]);
        assert_string_equal(string_of(one, "text"), rows[i][1]);
        assert_string_equal(string_of(one, "source"), rows[i][2]);
    }
    // A liquid's field has no place in a gas scenario.
    assert_null(json_object_get(inputs, "fluid.bulk_modulus"));
    json_decref(document);
    fixture_case_close(&c);
}

static void test_failed_run(void **state) {
    (void)state;
    struct fixture_case c;
    const char *const changes[] = {"run.max_steps=300", NULL};
    fixture_case_simulate(&c, decline, "full", changes);
    json_t *document = read_back(&c, 0);
    json_t *run = json_array_get(json_object_get(document, "runs"), 0);
    assert_string_equal(string_of(run, "outcome"), "failed");
    assert_string_equal(string_of(run, "message"), c.run.message);
    json_decref(document);
    fixture_case_close(&c);
}

static void test_same_bytes_twice(void **state) {
    (void)state;
    char *text[2];
    for (int i = 0; i < 2; i++) {
        struct fixture_case c;
        struct fixture_capture capture;
        fixture_case_simulate(&c, decline, "full", NULL);
        fixture_capture_begin(&capture);
        assert_true(write_case(capture.stream, &c, 0));
        text[i] = fixture_capture_end(&capture);
        fixture_case_close(&c);
    }
    assert_string_equal(text[0], text[1]);
    free(text[0]);
    free(text[1]);
}

static void test_full_disk_is_told(void **state) {
    (void)state;
    struct fixture_case c;
    const char *const changes[] = {"run.duration=0.1 s", NULL};
    fixture_case_simulate(&c, decline, "full", changes);
    FILE *full = fopen("/dev/full", "w");
    if (!full) {
        fixture_case_close(&c);
        skip();
    }
    setvbuf(full, NULL, _IONBF, 0);
    assert_false(write_case(full, &c, 0));
    fclose(full);
    fixture_case_close(&c);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_one_run),           cmocka_unit_test(test_where_values_come_from),
        cmocka_unit_test(test_failed_run),        cmocka_unit_test(test_same_bytes_twice),
        cmocka_unit_test(test_full_disk_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
