// SPDX-License-Identifier: MIT
// Rows of `expect`: what is met, what is missed, what cannot be read, and refusals.
#include "support.h"

#undef expect_check // a macro of cmocka, which this test has no use for

#include "fixture_capture.h"
#include "fixture_scenario.h"
#include "run/expect.h"

// A reducing valve that settles within seconds, and the rows under test.
static struct scenario *load(const char *rows, struct diagnostics *list) {
    char text[4096];
    snprintf(text, sizeof text,
             "%sfriction: {viscous: 300 N s/m}\nrun: {duration: 20 s}\nexpect:\n%s",
             direct_scenario, rows);
    return scenario_load_text("test.yaml", text, strlen(text), list);
}

static struct expect_tally check(const char *rows, char **said) {
    struct diagnostics list = {0};
    struct scenario *scenario = load(rows, &list);
    diagnostics_print(&list, stderr);
    assert_int_equal(list.errors, 0);
    diagnostics_free(&list);
    struct fixture_capture capture;
    fixture_capture_begin(&capture);
    struct expect_tally tally = expect_check(capture.stream, scenario, NULL, NULL);
    *said = fixture_capture_end(&capture);
    scenario_free(scenario);
    return tally;
}

struct row {
    const char *text;
    bool met;
    const char *words;
};

static void test_rows(void **state) {
    (void)state;
    static const struct row rows[] = {
        {"{quantity: verdict, value: steady}", true, "verdict = steady, expected steady"},
        {"{quantity: verdict, value: chatter}", false, "verdict = steady, expected chatter"},
        {"{quantity: verdict, value: stedy}", false, "expected stedy"},
        // Set at crack, it holds a little less than the set pressure at flow.
        {"{quantity: rest_pressure, value: 75 kPa(g), tolerance: 10 kPa}", true, "rest_pressure"},
        {"{quantity: rest_pressure, value: 100 kPa(g), tolerance: 1 Pa}", false,
         "expected 100 kPa"},
        // What is found is told in the row's own unit.
        {"{quantity: rest_pressure, value: 175 kPa(a), tolerance: 5 %}", true,
         " kPa(a), expected 175 kPa(a) within 5 %"},
        {"{quantity: rest_pressure, value: 200 kPa(a), tolerance: 0.01 %}", false, "within 0.01 %"},
        {"{quantity: rest_pressure, value: 25 psia, tolerance: 5 %}", true, " psia, expected"},
        {"{quantity: rest_opening, value: 2.7 %, tolerance: 10 %}", true, "rest_opening"},
        {"{quantity: seat_rate, value: 0, tolerance: 0.1}", true, "seat_rate = 0"},
        {"{quantity: seat_rate, value: 0, tolerance: 5 %}", true, "seat_rate = 0"},
        // What is not there is not met.
        {"{quantity: surge, value: 1 bar, tolerance: 100 bar}", false, "surge = -"},
        // What cannot be read is missed, and says so.
        {"{quantity: rest_presure, value: 1 bar, tolerance: 1 %}", false, "no such figure"},
        {"{quantity: rest_pressure, value: 50 psi, tolerance: 1 %}", false, "psig or psia?"},
        {"{quantity: rest_pressure, value: 1 m, tolerance: 1 %}", false, "unreadable value"},
        {"{quantity: rest_pressure, value: 1 bar(g), tolerance: 1 m}", false,
         "unreadable tolerance"},
        {"{quantity: rest_pressure, value: 1 bar(g)}", false, "unreadable tolerance"},
        {"{quantity: rest_pressure, value: 1 bar(g), tolerance: much %}", false, "unreadable"},
        // Refusals of a scenario that is not refused.
        {"{quantity: refusal, value: psig}", false, "read without an error"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char line[256], *said;
        snprintf(line, sizeof line, "  - %s\n", rows[i].text);
        struct expect_tally tally = check(line, &said);
        if (tally.met != rows[i].met || tally.missed != !rows[i].met) {
            fail_msg("%s: %zu met, %zu missed: %s", rows[i].text, tally.met, tally.missed, said);
        }
        assert_says(said, rows[i].words);
        assert_says(said, "test.yaml:17:5: ");
        assert_int_equal(fixture_count_text(said, "MISSED"), tally.missed);
        assert_int_equal(fixture_count_text(said, "\n"), 1);
        free(said);
    }
}

static void test_rows_are_counted(void **state) {
    (void)state;
    char *said;
    struct expect_tally tally = check("  - {quantity: verdict, value: steady}\n"
                                      "  - {quantity: verdict, value: slamming}\n"
                                      "  - {quantity: seat_rate, value: 0, tolerance: 1}\n",
                                      &said);
    assert_int_equal(tally.met, 2);
    assert_int_equal(tally.missed, 1);
    assert_says(said, "test.yaml:18:5: MISSED");
    free(said);
}

static void test_rows_of_several_trims(void **state) {
    (void)state;
    struct scenario *scenario = fixture_load(pilot_scenario);
    struct diagnostics list = {0};
    assert_true(scenario_override(scenario, "run.duration=30 s", &list));
    struct fixture_capture capture;
    fixture_capture_begin(&capture);
    struct expect_tally tally = expect_check(capture.stream, scenario, NULL, NULL);
    char *said = fixture_capture_end(&capture);
    assert_int_equal(tally.met + tally.missed, 1);
    assert_says(said, "test.yaml:38:5: ");
    assert_says(said, "full verdict = ");
    free(said);
    scenario_free(scenario);
}

// A run that the solver gave up meets nothing.
static void test_no_run(void **state) {
    (void)state;
    struct scenario *scenario = fixture_load(pilot_scenario);
    struct diagnostics list = {0};
    assert_true(scenario_override(scenario, "run.max_steps=200", &list));
    struct fixture_capture capture;
    fixture_capture_begin(&capture);
    struct expect_tally tally = expect_check(capture.stream, scenario, NULL, NULL);
    char *said = fixture_capture_end(&capture);
    assert_int_equal(tally.met, 0);
    assert_int_equal(tally.missed, 1);
    assert_says(said, "run.max_steps");
    free(said);
    scenario_free(scenario);
}

static void test_refusal(void **state) {
    (void)state;
    struct diagnostics list = {0};
    struct scenario *scenario = load("  - {quantity: refusal, value: minimum_duration}\n"
                                     "  - {quantity: refusal, value: psig}\n"
                                     "  - {quantity: verdict, value: steady}\n",
                                     &list);
    assert_true(expect_wants_refusal(scenario));
    assert_true(scenario_override(scenario, "run.minimum_duration=30 s", &list));
    assert_false(scenario_check(scenario, &list));
    struct fixture_capture capture;
    fixture_capture_begin(&capture);
    diagnostics_print(&list, capture.stream);
    char *errors = fixture_capture_end(&capture);
    fixture_capture_begin(&capture);
    struct expect_tally tally = expect_refusal(capture.stream, scenario, errors);
    free(errors);
    char *said = fixture_capture_end(&capture);
    assert_int_equal(tally.met, 1);
    assert_int_equal(tally.missed, 1);
    assert_says(said, "must not be more than run.duration");
    assert_says(said, "no error with these words");
    free(said);
    diagnostics_free(&list);
    scenario_free(scenario);
    scenario = fixture_load(pilot_scenario);
    assert_false(expect_wants_refusal(scenario));
    scenario_free(scenario);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_rows),
        cmocka_unit_test(test_rows_are_counted),
        cmocka_unit_test(test_rows_of_several_trims),
        cmocka_unit_test(test_no_run),
        cmocka_unit_test(test_refusal),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
