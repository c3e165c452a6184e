// SPDX-License-Identifier: MIT
// The decline and the envelope of a scenario: read, fitted to a record, refused with the right
// words.
#include "fixture_scenario.h"

#include "base/calendar.h"
#include "trims/decline.h"
#include "trims/decline_study.h"

#include <stdlib.h>
#include <unistd.h>

static struct scenario *with(const char *const *overrides) {
    struct diagnostics list = {0};
    struct scenario *scenario = fixture_load(pilot_scenario);
    for (size_t i = 0; overrides[i]; i++) {
        assert_true(scenario_override(scenario, overrides[i], &list));
    }
    diagnostics_free(&list);
    return scenario;
}

static void stated(void **state) {
    (void)state;
    static const char *const fields[] = {
        "decline.kind=exponential", "decline.start=2026-01-01", "decline.rate_start=0.15 MMscf/d",
        "decline.annual=70 %",      "decline.basis=effective",  NULL};
    struct scenario *scenario = with(fields);
    struct scenario_case c = fixture_resolve(scenario, 0);
    struct diagnostics list = {0};
    struct decline d;
    assert_true(decline_prepare(scenario, &c, &d, &list));
    assert_false(d.fitted);
    // E: -ln(1 - 0.7)
    assert_close(d.curve.nominal, 1.203972804325936, 1e-14, 0.0);
    assert_close(d.curve.rate, scenario_get_si(scenario, 0, "inflow.rate"), 1e-14, 0.0);
    assert_int_equal(d.day, calendar_day(2026, 1, 1));
    assert_close(d.today, 0.0, 0.0, 0.0);
    decline_free(&d);
    scenario_case_free(&c);
    // The same share as a slope: nominal as it stands; hyperbolic by its secant.
    assert_true(scenario_override(scenario, "decline.basis=nominal", &list));
    c = fixture_resolve(scenario, 0);
    assert_true(decline_prepare(scenario, &c, &d, &list));
    assert_close(d.curve.nominal, 0.7, 1e-15, 0.0);
    decline_free(&d);
    scenario_case_free(&c);
    assert_true(scenario_override(scenario, "decline.basis=effective", &list));
    assert_true(scenario_override(scenario, "decline.kind=hyperbolic", &list));
    assert_true(scenario_override(scenario, "decline.exponent=0.5", &list));
    c = fixture_resolve(scenario, 0);
    assert_true(decline_prepare(scenario, &c, &d, &list));
    // E: 0.3 = (1 + D/2)^-2
    assert_close(d.curve.nominal, 2.0 * (1.0 / sqrt(0.3) - 1.0), 1e-14, 0.0);
    decline_free(&d);
    scenario_case_free(&c);
    scenario_free(scenario);
}

// A record in a file of its own; the caller removes it.
static void write_record(char *path, const char *text) {
    strcpy(path, "/tmp/lowlift-record-XXXXXX");
    const int handle = mkstemp(path);
    assert_true(handle >= 0);
    assert_int_equal(write(handle, text, strlen(text)), strlen(text));
    close(handle);
}

static bool prepare(const char *text, const char *more, struct decline *d, char *message,
                    size_t size) {
    char path[64];
    char field[128];
    write_record(path, text);
    snprintf(field, sizeof field, "decline.record=%s", path);
    const char *const fields[] = {field, more, NULL};
    struct scenario *scenario = with(fields);
    struct scenario_case c = fixture_resolve(scenario, 0);
    struct diagnostics list = {0};
    const bool fine = decline_prepare(scenario, &c, d, &list);
    snprintf(message, size, "%s", list.count > 0 ? list.items[0].message : "");
    assert_int_equal(fine, list.errors == 0);
    diagnostics_free(&list);
    scenario_case_free(&c);
    scenario_free(scenario);
    unlink(path);
    return fine;
}

// E: rates that halve every 365.25 days, on dates as near as days come to quarters of such years.
static void record(void **state) {
    (void)state;
    static const char text[] = "# invented\r\ndate,rate [MMscf/d]\r\n"
                               "2019-07-01,0.1\r\n" // before decline.start
                               "2020-01-01,1.6\r\n"
                               "2020-12-31,0.80018983\r\n"  // 365 days
                               "2021-06-01,0\r\n"           // shut in
                               "2022-01-01,0.399810227\r\n" // 731 days
                               "2023-01-01,0.2\r\n"         // 1096 days, less a quarter
                               "2024-01-01,0.1\r\n"
                               "2025-01-01,0.05\r\n";
    struct decline d;
    char message[200];
    assert_true(prepare(text, "decline.start=2020-01-01", &d, message, sizeof message));
    assert_true(d.fitted);
    assert_int_equal(d.model, ARPS_EXPONENTIAL);
    assert_close(d.curve.nominal, log(2.0), 1e-3, 0.0);
    assert_int_equal(d.record.count, 6);
    assert_int_equal(d.skipped, 1);
    assert_int_equal(d.earlier, 1);
    assert_int_equal(d.day, calendar_day(2020, 1, 1));
    assert_close(d.today, 1827.0 / 365.25, 1e-12, 0.0);
    assert_non_null(strstr(d.reason, "hyperbolic"));
    char words[200];
    decline_words(&d, words, sizeof words);
    assert_non_null(strstr(words, "exponential, 50 % in the first year"));
    decline_free(&d);
}

static void refused_records(void **state) {
    (void)state;
    static const struct {
        const char *text, *more, *words;
    } rows[] = {
        {"date,rate [MMscf/d]\n2020-01-01,1\n2020-02-01,1\n", NULL, "found 2 rates above nothing"},
        {"date,rate [MMscf/d]\n2020-01-01,1\n2020-02-01,2\n2020-03-01,3\n2020-04-01,4\n"
         "2020-05-01,5\n2020-06-01,6\n",
         NULL, "do not fall"},
        {"date,rate [MMscf/d]\n2020-01-01,1\n2020-02-01,0.9\n2020-03-01,0.8\n2020-04-01,0.7\n"
         "2020-05-01,0.6\n",
         "decline.kind=hyperbolic", "allowed 6 or more"},
        {"date,rate [MMscf/d]\n2020-01-01,1\n2020-13-01,0.9\n", NULL, "months 01 to 12"},
        {"date,rate [MMscf/d]\n2020-01-01,1\n2020-02-01,-0.9\n", NULL, "less than nothing"},
        {"date,rate [MMscf/d]\n2020-02-01,1\n2020-01-01,0.9\n", NULL, "times must not fall"},
        {"day,rate [MMscf/d]\n2020-02-01,1\n", NULL, "date,rate"},
        {"date,rate\n2020-02-01,1\n", NULL, "columns with units"},
        {"date,rate [psig]\n2020-02-01,1\n", NULL, "MMscf/d"},
        {"date,rate [MMscf/d]\n2020-02-01,1,2\n", NULL, "two columns"},
        {"date,rate [MMscf/d]\n2020-02-01,much\n", NULL, "found 'much'"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct decline d;
        char message[300];
        const bool fine = prepare(rows[i].text, rows[i].more, &d, message, sizeof message);
        decline_free(&d);
        if (fine || !strstr(message, rows[i].words)) {
            fail_msg("row %zu: '%s'", i, message);
        }
    }
}

// Fields that contradict each other or are not whole: the field named, and key words.
// NOLINTNEXTLINE(readability-function-size): a table of rows
static void refused_fields(void **state) {
    (void)state;
    static const struct {
        const char *fields[6];
        const char *words;
    } rows[] = {
        {{"decline.kind=exponential"}, "decline.basis: is missing; say whether"},
        {{"decline.kind=exponential"}, "decline.start: is missing"},
        {{"decline.start=2026-01-01"}, "decline.kind: 'best' needs decline.record"},
        {{"decline.start=2026-1-1"}, "decline.start: found '2026-1-1'; allowed a date"},
        {{"decline.start=2026-02-29"}, "allowed days 01 to 28"},
        {{"decline.record=x.csv", "decline.annual=20 %"}, "decline.annual: give this or"},
        {{"decline.annual=100 %", "decline.basis=effective"}, "less than 100 %; is it nominal?"},
        {{"decline.annual=-5 %"}, "decline.annual: found '-5 %'; allowed"},
        {{"decline.kind=hyperbolic"}, "decline.exponent: is missing"},
        {{"decline.kind=hyperbolic", "decline.exponent=0"}, "0 is an exponential"},
        {{"decline.kind=harmonic", "decline.exponent=1"}, "belongs to a hyperbolic"},
        {{"decline.rate_start=0 MMscf/d"}, "decline.rate_start: found"},
        {{"envelope.lowest=1 MMscf/d"}, "envelope.peak: is missing"},
        {{"envelope.pressure_low=10 psig", "envelope.pressure_high=20 psig"},
         "envelope.lowest: is missing"},
        {{"envelope.lowest=1 MMscf/d", "envelope.peak=0.5 MMscf/d"},
         "must be above envelope.lowest, '1 MMscf/d'"},
        {{"envelope.lowest=1 MMscf/d", "envelope.peak=1 MMscf/d"}, "must be above"},
        {{"envelope.lowest=1 MMscf/d", "envelope.peak=2 MMscf/d", "envelope.normal=3 MMscf/d"},
         "envelope.normal: found '3 MMscf/d'; allowed from"},
        {{"envelope.lowest=0 MMscf/d", "envelope.peak=2 MMscf/d"}, "envelope.lowest: found"},
        {{"envelope.lowest=1 MMscf/d", "envelope.peak=2 MMscf/d", "envelope.pressure_low=9 psig"},
         "envelope.pressure_high: is missing"},
        {{"envelope.lowest=1 MMscf/d", "envelope.peak=2 MMscf/d", "envelope.pressure_low=20 psig",
          "envelope.pressure_high=10 psig"},
         "must not be below envelope.pressure_low"},
        {{"envelope.lowest=1 MMscf/d", "envelope.peak=2 MMscf/d", "envelope.pressure_low=20 psig",
          "envelope.pressure_high=50 psig"},
         "must be below the set pressure"},
        {{"envelope.lowest=1 MMscf/d", "envelope.peak=2 MMscf/d", "envelope.pressure_low=12 psig",
          "envelope.pressure_high=130 psig", "envelope.pressure_of=set"},
         "must be above the downstream pressure"},
        {{"envelope.lowest=1 MMscf/d", "envelope.peak=2 MMscf/d", "envelope.pressure_low=40 psig",
          "envelope.pressure_high=130 psig", "envelope.pressure_of=set"},
         "must be below vessel.pressure_limit"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct scenario *scenario = with(rows[i].fields);
        struct scenario_case c;
        struct diagnostics list = {0};
        bool found = false;
        assert_false(scenario_resolve(scenario, 0, &c, &list));
        for (size_t k = 0; k < list.count; k++) {
            found = found || strstr(list.items[k].message, rows[i].words);
        }
        if (!found) {
            diagnostics_print(&list, stderr);
            fail_msg("row %zu: nobody said '%s'", i, rows[i].words);
        }
        diagnostics_free(&list);
        scenario_case_free(&c);
        scenario_free(scenario);
    }
    // No decline at all is no mistake of the scenario, only of asking for it.
    struct scenario *scenario = fixture_load(pilot_scenario);
    struct scenario_case c = fixture_resolve(scenario, 0);
    struct diagnostics list = {0};
    struct decline d;
    assert_false(decline_prepare(scenario, &c, &d, &list));
    assert_non_null(strstr(list.items[0].message, "decline: is missing"));
    diagnostics_free(&list);
    scenario_case_free(&c);
    scenario_free(scenario);
}

// Below its window a plug may stay shut: it does not move by itself then.
static void said_of_a_shut_plug(void **state) {
    (void)state;
    struct decline_study study = {0};
    struct answer answer = {0};
    struct decline_trim trim = {.outlook = {.state = OUTLOOK_DELICATE,
                                            .kicked = {.years = (double)NAN},
                                            .settled = {.when = OUTLOOK_NO_FLOW}}};
    trim.window.below_settled = VERDICT_SHUT;
    assert_non_null(strstr(decline_study_sentence(&answer, &study, &trim), "stays shut"));
    trim.window.below_settled = VERDICT_HUNTING;
    assert_non_null(strstr(decline_study_sentence(&answer, &study, &trim), "moves by itself"));
    answer_free(&answer);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(stated),
        cmocka_unit_test(record),
        cmocka_unit_test(refused_records),
        cmocka_unit_test(refused_fields),
        cmocka_unit_test(said_of_a_shut_plug),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
