// SPDX-License-Identifier: MIT
// What a person reads on the terminal.
#include "support.h"

#include "fixture_capture.h"
#include "fixture_case.h"
#include "show/report.h"

enum { WIDTH_MAX = 100 };

static void check_width(const char *text) {
    size_t width = 0;
    for (const char *at = text; *at; at++) {
        width = *at == '\n' ? 0 : width + 1;
        if (width > WIDTH_MAX) {
            fail_msg("a line is wider than %d: %.120s", WIDTH_MAX, at + 1 - width);
        }
    }
}

static char *run_text(const struct fixture_case *c) {
    struct fixture_capture capture;
    fixture_capture_begin(&capture);
    report_run(capture.stream, &c->resolved, &c->run);
    return fixture_capture_end(&capture);
}

static void test_run(void **state) {
    (void)state;
    struct fixture_case c;
    const char *const changes[] = {"title=100 %s %n $(x) `y`", NULL};
    fixture_case_simulate(&c, decline, "full", changes);
    char *text = run_text(&c);
    assert_int_equal(strncmp(text, "100 %s %n $(x) `y`, trim full\n", 30), 0);
    assert_says(text, "  verdict: slamming - ");
    assert_says(text, c.run.judged.reason);
    // The groups in order, each once; figures that do not exist are left out.
    static const char *const groups[] = {"\n  at rest\n", "\n  motion\n", "\n  seat and stop\n",
                                         "\n  the run itself\n"};
    const char *last = text;
    for (int i = 0; i < 4; i++) {
        assert_int_equal(fixture_count_text(text, groups[i]), 1);
        assert_true(strstr(text, groups[i]) > last);
        last = strstr(text, groups[i]);
    }
    assert_says(text, "controlled pressure at rest                    50 psig");
    assert_null(strstr(text, "surge"));
    assert_null(strstr(text, "nan"));
    char work[64];
    snprintf(work, sizeof work, "%ld steps", c.run.statistics.steps);
    assert_says(text, work);
    free(text);
    fixture_case_close(&c);
}

static void test_notes(void **state) {
    (void)state;
    struct fixture_case c;
    const char *const few[] = {"run.max_steps=300", NULL};
    fixture_case_simulate(&c, decline, "full", few);
    char *text = run_text(&c);
    assert_says(text, "note: stopped at");
    assert_says(text, "run.max_steps");
    free(text);
    fixture_case_close(&c);
    const char *const flood[] = {"inflow.rate=40 MMscf/d", "set.adjusted=at-crack", NULL};
    fixture_case_simulate(&c, decline, "reduced", flood);
    text = run_text(&c);
    assert_says(text, "verdict: wide open");
    assert_says(text, "does not hold the set pressure at the largest flow");
    free(text);
    fixture_case_close(&c);
}

static void test_comparison(void **state) {
    (void)state;
    struct fixture_case a, b;
    fixture_case_simulate(&a, decline, "full", NULL);
    fixture_case_simulate(&b, decline, "reduced", NULL);
    const struct scenario_case *scenario[] = {&a.resolved, &b.resolved};
    const struct simulation *run[] = {&a.run, &b.run};
    struct fixture_capture capture;
    fixture_capture_begin(&capture);
    const char *const label[] = {"full", "reduced"};
    report_comparison(capture.stream, 2, label, scenario, run);
    char *text = fixture_capture_end(&capture);
    assert_int_equal(strncmp(text, a.resolved.title, strlen(a.resolved.title)), 0);
    assert_says(text, "               full            reduced\n");
    assert_says(text, "           slamming             steady\n");
    assert_says(text, "  full: ");
    assert_says(text, a.run.judged.reason);
    assert_says(text, b.run.judged.reason);
    assert_null(strstr(text, "surge"));
    free(text);
    fixture_case_close(&a);
    fixture_case_close(&b);
}

static char *inputs_text(const char *const *changes, bool everything) {
    struct fixture_case c;
    fixture_case_open(&c, decline, "reduced", changes);
    struct fixture_capture capture;
    fixture_capture_begin(&capture);
    report_inputs(capture.stream, c.scenario, 1, everything);
    char *text = fixture_capture_end(&capture);
    fixture_case_close(&c);
    check_width(text);
    return text;
}

static void test_inputs(void **state) {
    (void)state;
    char *text = inputs_text(NULL, false);
    assert_says(text, "  given:");
    assert_says(text, "  guessed, so measure them:");
    assert_says(text, "  left at the default:");
    assert_says(text, " trim.port = 1 1/2 in;");     // of this trim, not the common one
    assert_says(text, " friction.kinetic = 5 lbf;"); // without the word `about`
    assert_null(strstr(text, "choking_ratio"));      // a default, only counted
    assert_says(text, " in all (--inputs lists them)\n");
    assert_null(strstr(text, "fluid.bulk_modulus")); // not of this build
    assert_says(text, "no better than its guesses");
    free(text);
    text = inputs_text(NULL, true);
    assert_says(text, " trim.choking_ratio = 0.7;");
    assert_says(text, " site.atmosphere = of the altitude");
    assert_null(strstr(text, "= ="));
    assert_null(strstr(text, "in all"));
    free(text);
}

static void test_tighter(void **state) {
    (void)state;
    struct fixture_case a, b;
    const char *const tight[] = {"run.relative_tolerance=1e-7", NULL};
    fixture_case_simulate(&a, decline, "full", NULL);
    fixture_case_simulate(&b, decline, "full", tight);
    struct fixture_capture capture;
    fixture_capture_begin(&capture);
    report_tighter(capture.stream, &a.resolved, &a.run, &b.run);
    char *text = fixture_capture_end(&capture);
    assert_says(text, "at a ten times tighter tolerance (1.0e-07): verdict slamming");
    assert_says(text, "controlled pressure at rest");
    assert_says(text, "moved 0 %");
    assert_null(strstr(text, "nan"));
    free(text);
    // A figure that only one of them has.
    b.run.seat_force = 0.0;
    fixture_capture_begin(&capture);
    report_tighter(capture.stream, &a.resolved, &a.run, &b.run);
    text = fixture_capture_end(&capture);
    if (a.run.seat_force > 0.0) {
        assert_says(text, "appears in one run only");
    }
    free(text);
    fixture_case_close(&a);
    fixture_case_close(&b);
}

static void test_cautions(void **state) {
    (void)state;
    struct fixture_capture capture;
    fixture_capture_begin(&capture);
    report_cautions(capture.stream);
    char *text = fixture_capture_end(&capture);
    assert_says(text, "A model");
    assert_says(text, "H2S");
    assert_says(text, "isolate, vent and prove zero");
    assert_says(text, "sizes no relief device");
    check_width(text);
    free(text);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_run),        cmocka_unit_test(test_notes),
        cmocka_unit_test(test_comparison), cmocka_unit_test(test_inputs),
        cmocka_unit_test(test_tighter),    cmocka_unit_test(test_cautions),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
