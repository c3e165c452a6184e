// SPDX-License-Identifier: MIT
// Days and dates against facts of the calendar and against each other.
#include "support.h"

#include "base/calendar.h"

static long parsed(const char *text) {
    char message[CALENDAR_MESSAGE_SIZE];
    long day = 0;
    const char *error = calendar_parse(text, &day, message);
    if (error) {
        print_error("%s: %s\n", text, error);
    }
    assert_null(error);
    return day;
}

static void days_apart(void **state) {
    (void)state;
    // P: POSIX.1-2017, "Seconds since the Epoch": 1970-01-01 is day 0; E: 365 and 366 days a year.
    assert_int_equal(parsed("1970-01-01"), 0);
    assert_int_equal(parsed("1969-12-31"), -1);
    assert_int_equal(parsed("2000-01-01") - parsed("1970-01-01"), 30 * 365 + 7);
    assert_int_equal(parsed("2000-03-01") - parsed("2000-02-28"), 2); // divisible by 400
    assert_int_equal(parsed("1900-03-01") - parsed("1900-02-28"), 1); // by 100 only
    assert_int_equal(parsed("2024-03-01") - parsed("2024-02-28"), 2); // by 4
    assert_int_equal(calendar_next_month(parsed("2024-01-31")), parsed("2024-02-01"));
    assert_int_equal(calendar_next_month(parsed("2024-12-01")), parsed("2025-01-01"));
    // E: 400 years of this calendar are 146,097 days, 20,871 whole weeks.
    assert_int_equal(parsed("2401-01-01") - parsed("2001-01-01"), 146097);
}

static void every_day_returns(void **state) {
    (void)state;
    long day = parsed("0001-01-01");
    char text[CALENDAR_TEXT_SIZE];
    for (int year = 1; year <= 9999; year++) {
        for (int month = 1; month <= 12; month++) {
            for (int number = 1; number <= calendar_month_length(year, month); number++, day++) {
                if (calendar_day(year, month, number) != day) {
                    fail_msg("%d-%d-%d", year, month, number);
                }
                // Formatting each of 3.6 million days would only cost time.
                if (number == 1 || number == calendar_month_length(year, month)) {
                    calendar_format((double)day + 0.999, text);
                    assert_int_equal(parsed(text), day);
                }
            }
        }
    }
    calendar_format((double)day, text);
    assert_string_equal(text, "-");
    calendar_format((double)day - 0.5, text);
    assert_string_equal(text, "9999-12-31");
    calendar_format((double)parsed("0001-01-01") - 0.5, text);
    assert_string_equal(text, "-");
    calendar_format((double)INFINITY, text);
    assert_string_equal(text, "-");
    calendar_format((double)NAN, text);
    assert_string_equal(text, "-");
}

static void refusals(void **state) {
    (void)state;
    static const struct {
        const char *text;
        const char *words;
    } rows[] = {
        {"", "YYYY-MM-DD"},
        {"2026", "YYYY-MM-DD"},
        {"2026-3-1", "YYYY-MM-DD"},
        {"26-03-01", "YYYY-MM-DD"},
        {"03/01/2026", "YYYY-MM-DD"},
        {"2026-03-01T", "YYYY-MM-DD"},
        {"2026-03-011", "YYYY-MM-DD"},
        {"0000-01-01", "YYYY-MM-DD"},
        {"-026-01-01", "YYYY-MM-DD"},
        {"2026-13-01", "months 01 to 12"},
        {"2026-00-01", "months"},
        {"2026-02-29", "01 to 28"},
        {"2024-02-30", "01 to 29"},
        {"2026-04-31", "01 to 30"},
        {"2026-01-00", "01 to 31"},
        {"2026-01-", "YYYY-MM-DD"},
        {"2026-", "YYYY-MM-DD"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char message[CALENDAR_MESSAGE_SIZE];
        long day;
        const char *error = calendar_parse(rows[i].text, &day, message);
        if (!error || !strstr(error, rows[i].words)) {
            fail_msg("'%s': %s", rows[i].text, error ? error : "accepted");
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(days_apart),
        cmocka_unit_test(every_day_returns),
        cmocka_unit_test(refusals),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
