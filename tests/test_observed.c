// SPDX-License-Identifier: MIT
// Rows of `observed`: plain words, ranges, and what differed then.
#include "fixture_scenario.h"

static struct scenario *with_rows(const char *rows, struct diagnostics *list) {
    char text[4000];
    snprintf(text, sizeof text, "%sobserved:\n%s", pilot_scenario, rows);
    return scenario_load_text("test.yaml", text, strlen(text), list);
}

static void test_observed_rows(void **state) {
    (void)state;
    struct diagnostics list = {0};
    struct scenario *scenario =
        with_rows("  - {flow: 3 MMscf/d, downstream.pressure: 40 psig, seen: quiet}\n"
                  "  - {flow: 150 Mscf/d, seen: bangs, frequency: 0.5..2 Hz, swing: 3 psi..0.5 bar,"
                  " since: 2025-03, trim: full}\n"
                  "  - {flow: 150 Mscf/d, seen: hunts, frequency: 30/min, trim: reduced}\n",
                  &list);
    diagnostics_print(&list, stderr);
    assert_int_equal(list.errors, 0);
    assert_int_equal(scenario_observed_count(scenario), 3);
    const struct scenario_observed *row = scenario_observed_at(scenario, 0);
    assert_int_equal(row->seen, SEEN_QUIET);
    assert_true(isnan(row->frequency_low) && isnan(row->swing_high));
    assert_int_equal(row->change_count, 1);
    assert_string_equal(row->change[0], "downstream.pressure");
    // Gauge counts from the site, 1500 ft up: 13.9 psia by the standard atmosphere.
    const double psi = 6894.757293168361;
    assert_close(scenario_si(scenario, 0, &row->change_value[0]) / psi, 40.0 + 13.92, 0.0, 0.03);
    row = scenario_observed_at(scenario, 1);
    assert_int_equal(row->seen, SEEN_HITS);
    assert_string_equal(row->said, "bangs");
    assert_string_equal(row->since, "2025-03");
    assert_close(row->frequency_low, 0.5, 1e-12, 0.0);
    assert_close(row->frequency_high, 2.0, 1e-12, 0.0);
    assert_close(row->swing_low, 3.0 * psi, 1e-12, 0.0);
    assert_close(row->swing_high, 0.5e5, 1e-12, 0.0);
    // A single number is one read by eye: a quarter either way.
    row = scenario_observed_at(scenario, 2);
    assert_close(row->frequency_low, 0.4, 1e-12, 0.0);
    assert_close(row->frequency_high, 0.625, 1e-12, 0.0);
    assert_null(scenario_observed_at(scenario, 3));
    scenario_free(scenario);
    diagnostics_free(&list);
}

static void refused(const char *row, const char *place, const char *message) {
    struct diagnostics list = {0};
    char text[200];
    struct scenario *scenario = with_rows(row, &list);
    bool found = false;
    for (size_t i = 0; i < list.count; i++) {
        snprintf(text, sizeof text, "%d:%d", list.items[i].place.line, list.items[i].place.column);
        found = found || (strstr(list.items[i].message, message) && strcmp(text, place) == 0);
    }
    if (!found) {
        diagnostics_print(&list, stderr);
        print_error("no '%s' at %s\n", message, place);
    }
    assert_true(found);
    assert_int_equal(scenario_observed_count(scenario), 0);
    scenario_free(scenario);
    diagnostics_free(&list);
}

static void test_observed_mistakes(void **state) {
    (void)state;
    refused("  - {flow: 3 MMscf/d, seen: quit}\n", "40:29", "did you mean quiet?");
    refused("  - {flow: 3 MMscf/d, sean: quiet}\n", "40:23", "did you mean seen?");
    refused("  - {flow: 3 MMscf/d, downsteam.pressure: 4 psig, seen: quiet}\n", "40:23",
            "did you mean downstream.pressure?");
    refused("  - {flow: 3 psi, seen: quiet}\n", "40:12", "observed.flow");
    refused("  - {seen: quiet}\n", "40:5", "a row needs `flow` and `seen`");
    refused("  - {flow: 3 MMscf/d}\n", "40:5", "a row needs `flow` and `seen`");
    refused("  - {flow: 3 MMscf/d, seen: slams, frequency: 2..1 Hz}\n", "40:47",
            "allowed a range above zero");
    refused("  - {flow: 3 MMscf/d, seen: slams, swing: 2..4 psig}\n", "40:43", "observed.swing");
    refused("  - {flow: 3 MMscf/d, seen: quiet, swing: 2..4 psi}\n", "40:5",
            "with words that say it moves");
    refused("  - quiet\n", "40:5", "each row is a mapping");
    struct diagnostics list = {0};
    struct scenario *scenario = with_rows("  - {flow: 3 MMscf/d, seen: quiet, trim: ful}\n", &list);
    assert_int_equal(list.errors, 1);
    assert_non_null(strstr(list.items[0].message, "observed.trim: no trim 'ful'"));
    scenario_free(scenario);
    diagnostics_free(&list);
}

// Every word means something, and none means two things.
static void test_observed_words(void **state) {
    (void)state;
    bool meant[SEEN_COUNT] = {false};
    enum observed_seen seen;
    enum observed_seen other;
    for (size_t i = 0; seen_word(i, &seen); i++) {
        meant[seen] = true;
        for (size_t k = 0; k < i; k++) {
            assert_string_not_equal(seen_word(i, &seen), seen_word(k, &other));
        }
    }
    for (size_t k = 0; k < SEEN_COUNT; k++) {
        assert_true(meant[k]);
    }
    // What slams shut does not stay shut.
    const char *nearest;
    assert_true(seen_find("slams shut", &seen, &nearest) && seen == SEEN_HITS);
    assert_true(seen_find("oscillates", &seen, &nearest) && seen == SEEN_MOVES);
    assert_true(seen_find("closed", &seen, &nearest) && seen == SEEN_SHUT);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_observed_rows),
        cmocka_unit_test(test_observed_mistakes),
        cmocka_unit_test(test_observed_words),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
