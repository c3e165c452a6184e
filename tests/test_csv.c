// SPDX-License-Identifier: MIT
// Tables as files: quoting as RFC 4180 asks, numbers in every locale, and words on lines.
#include "fixture_file.h"
#include "support.h"

#include "base/csv.h"
#include "base/wrap.h"
#include "fixture_locale.h"
#include "scenario/shown.h"

#include <stdlib.h>
#include <unistd.h>

static char text[4000];

static const char *contents(void) {
    FILE *stream = fopen(fixture_file, "rb");
    assert_non_null(stream);
    text[fread(text, 1, sizeof text - 1, stream)] = '\0';
    fclose(stream);
    return text;
}

// P: RFC 4180, rules 5 to 7.
static void test_csv_fields(void **state) {
    (void)state;
    struct csv csv;
    char folder[] = FIXTURE_COMMA_FOLDER;
    fixture_comma_begin(folder);
    assert_int_equal(csv_open(&csv, fixture_file), 0);
    csv_text(&csv, "plain");
    csv_heading(&csv, "flow", "MMscf/d");
    csv_heading(&csv, "draw", "");
    csv_end_row(&csv);
    csv_text(&csv, "with, comma");
    csv_text(&csv, "with \"quotes\"");
    csv_text(&csv, "two\nlines");
    csv_end_row(&csv);
    csv_number(&csv, 1.5);
    csv_number(&csv, (double)NAN);
    csv_number(&csv, -0.0);
    csv_text(&csv, "");
    csv_number(&csv, 1.0 / 3.0);
    csv_end_row(&csv);
    assert_int_equal(csv_close(&csv), 0);
    fixture_comma_end(folder);
    assert_string_equal(contents(), "plain,flow [MMscf/d],draw\r\n"
                                    "\"with, comma\",\"with \"\"quotes\"\"\",\"two\nlines\"\r\n"
                                    "1.5,,0,,0.333333333\r\n");
}

static void test_csv_errors(void **state) {
    (void)state;
    struct csv csv;
    assert_int_not_equal(csv_open(&csv, "/no/such/folder/x.csv"), 0);
    if (access("/dev/full", W_OK) == 0) {
        assert_int_equal(csv_open(&csv, "/dev/full"), 0);
        csv_text(&csv, "lost");
        csv_end_row(&csv);
        assert_int_not_equal(csv_close(&csv), 0);
    }
}

static const char *wrapped(int indent, const char *label, const char *words) {
    FILE *stream = fopen(fixture_file, "w");
    assert_non_null(stream);
    wrap_print(stream, indent, label, words);
    fclose(stream);
    return contents();
}

static void test_wrap(void **state) {
    (void)state;
    assert_string_equal(wrapped(2, "mind  ", "the valve"), "  mind  the valve\n");
    assert_string_equal(wrapped(0, "", ""), "\n");
    char words[400] = "";
    for (int i = 0; i < 40; i++) {
        strcat(words, i ? " word" : "word");
    }
    const char *rest = wrapped(4, "try ", words);
    int lines = 0, count = 0;
    while (*rest != '\0') {
        const char *end = strchr(rest, '\n');
        assert_true(end - rest <= WRAP_WIDTH);
        assert_true(lines == 0 || strncmp(rest, "        word", 12) == 0);
        for (const char *at = rest; at < end; at++) {
            count += strncmp(at, "word", 4) == 0;
        }
        lines++;
        rest = end + 1;
    }
    assert_int_equal(count, 40);
    assert_int_equal(lines, 3);
}

static void test_shown(void **state) {
    (void)state;
    struct scenario_case c = {.units = UNITS_US, .site = {.atmosphere = 101325.0}};
    char shown[64];
    shown_text(&c, UNIT_LENGTH, 0.0254 * 2.875, shown, sizeof shown);
    assert_string_equal(shown, "2.875 in");
    shown_text(&c, UNIT_PRESSURE_LEVEL, 101325.0 + 50.0 * 6894.757293168361, shown, sizeof shown);
    assert_string_equal(shown, "50 psig");
    shown_text(&c, UNIT_NONE, 12269.4, shown, sizeof shown);
    assert_string_equal(shown, "12269");
    shown_text(&c, UNIT_NONE, 1.5e8, shown, sizeof shown);
    assert_string_equal(shown, "1.5e+08");
    shown_text(&c, UNIT_LENGTH, (double)NAN, shown, sizeof shown);
    assert_string_equal(shown, "-");
    assert_true(isnan(shown_number(&c, UNIT_NONE, (double)INFINITY)));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_csv_fields),
        cmocka_unit_test(test_csv_errors),
        cmocka_unit_test(test_wrap),
        cmocka_unit_test(test_shown),
    };
    return cmocka_run_group_tests(tests, fixture_file_make, fixture_file_remove);
}
