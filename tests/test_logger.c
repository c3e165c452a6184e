// SPDX-License-Identifier: MIT
// Files as loggers write them. Units: 1 psi is 6894.757293168361 Pa, standard atmosphere 101325 Pa
// (E, of their definitions); dates are ISO 8601.
#include "fixture_file.h"
#include "site/logger.h"
#include "site/logger_time.h"
#include "support.h"

#include <stdlib.h>
#include <unistd.h>

static const struct unit_context site = {.atmosphere = 101325.0};

static bool read_text(const char *text, struct logger_asked asked, struct logger *out,
                      struct diagnostics *list) {
    FILE *stream = fopen(fixture_file, "wb");
    assert_non_null(stream);
    fputs(text, stream);
    fclose(stream);
    asked.site = site;
    *list = (struct diagnostics){0};
    return logger_read(fixture_file, &asked, out, list);
}

static void test_forms(void **state) {
    (void)state;
    static const struct {
        const char *text;
        struct logger_asked asked;
        double second, pressure; // of the second row; gauge [psi]
    } cases[] = {
        {"time [s],pressure [psig]\n0,50\n0.5,51.5\n", {0}, 0.5, 51.5},
        {"time [s];pressure [psig]\r\n0;50\r\n0,5;51,5\r\n", {0}, 0.5, 51.5},
        {"Time (min)\tP1 (psig)\n0\t50\n0.5\t51.5\n", {0}, 30.0, 51.5},
        {"0,50\n0.5,51.5\n", {.unit = "psig"}, 0.5, 51.5},
        {"\xef\xbb\xbf\"Time\",\"Tank psig\"\n\"12:00:00\",\"50\"\n\"12:00:01.5\",\"51.5\"\n",
         {0},
         1.5,
         51.5},
        {"time,p [psig]\n23:59:59,50\n00:00:01,51.5\n", {0}, 2.0, 51.5},
        {"time,p [psig]\n11:59:59 PM,50\n12:00:01 AM,51.5\n", {0}, 2.0, 51.5},
        {"time,p [psig]\n2025-03-04 09:00:00,50\n2025-03-05T09:00:01Z,51.5\n", {0}, 86401.0, 51.5},
        {"Date,Time,p [psig]\n2025-02-28,23:59:59,50\n2025-03-01,00:00:00,51.5\n",
         {.time = "Date"},
         1.0,
         51.5},
        {"time,p [psig]\n3/4/2025 09:00,50\n3/5/2025 09:00,51.5\n",
         {.dates = "month-first"},
         86400.0,
         51.5},
        {"time,p [psig]\n3/4/2025 09:00,50\n3/5/2025 09:00,51.5\n",
         {.dates = "day-first"},
         30.0 * 86400.0,
         51.5},
        {"time,p [psia]\n0,64.7\n1,66.195948775513\n", {0}, 1.0, 51.5},
        {"time,a,b [psig]\n0,1,50\n1,1,51.5\n", {.column = {[LOGGER_PRESSURE] = "3"}}, 1.0, 51.5},
        {"# a comment, with commas\n\ntime,p [psig]\n0,50\n\n1,51.5\n", {0}, 1.0, 51.5},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct logger logger;
        struct diagnostics list;
        const bool fine = read_text(cases[i].text, cases[i].asked, &logger, &list);
        diagnostics_print(&list, stderr);
        if (!fine || logger.count != 2) {
            fail_msg("case %zu: %zu rows", i, logger.count);
        }
        assert_close(logger.time[1], cases[i].second, 1e-9, 1e-6);
        assert_close(logger.value[LOGGER_PRESSURE][1],
                     101325.0 + cases[i].pressure * 6894.757293168361, 1e-9, 0.0);
        logger_free(&logger);
        diagnostics_free(&list);
    }
}

static void test_refusals(void **state) {
    (void)state;
    static const struct {
        const char *text;
        struct logger_asked asked;
        const char *place, *words;
    } cases[] = {
        {"time,pressure [psi]\n0,50\n", {0}, ":1:6:", "psig or psia"},
        {"time,pressure\n0,50\n", {0}, ":1:6:", "--unit"},
        {"time,p [psig]\n0,50\n1,fifty\n2,51\n3,x\n", {0}, ":3:3:", "a number"},
        {"time,p [psig]\n0,50\n1e3000,51\n", {0}, ":3:1:", "seconds, a clock"},
        {"time [min],p [psig]\n0,50\n1e308,51\n", {0}, ":3:1:", "a number"},
        {"time,p [psig]\n0,50\n1,1e308\n", {0}, ":3:3:", "a number"},
        {"time,p [psig]\n24:00:00,50\n24:05:00,51\n", {0}, ":3:1:", "a clock such as"},
        {"time,p [psig]\nnoon,50\n", {0}, ":2:1:", "a clock"},
        {"time,p [psig]\n3/4/2025 09:00,50\n", {0}, ":2:1:", "--dates"},
        {"time,p [psig]\n0,50\n", {.column = {[LOGGER_PRESSURE] = "q"}}, "", "number from 1 to 2"},
        {"time,p [psig]\n0,50\n", {.time = "tyme"}, "", "did you mean 'time'?"},
        {"time,a,b\n0,1,2\n", {0}, ":1:1:", "--pressure"},
        {"", {0}, "", "nothing"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct logger logger;
        struct diagnostics list;
        char *text;
        size_t size;
        assert_false(read_text(cases[i].text, cases[i].asked, &logger, &list));
        FILE *stream = open_memstream(&text, &size);
        diagnostics_print(&list, stream);
        fclose(stream);
        if (!strstr(text, cases[i].place) || !strstr(text, cases[i].words)) {
            fail_msg("case %zu says: %s", i, text);
        }
        free(text);
        logger_free(&logger);
        diagnostics_free(&list);
    }
}

// All errors of a file in one pass.
static void test_many_errors(void **state) {
    (void)state;
    struct logger logger;
    struct diagnostics list;
    assert_false(
        read_text("time,p [psig]\n0,x\n1,y\n2,z\n", (struct logger_asked){0}, &logger, &list));
    assert_int_equal(list.errors, 3);
    logger_free(&logger);
    diagnostics_free(&list);
}

// Room for a first row that is no heading and a last one without a line feed (the sanitizer sees
// it).
static void test_neither_heading_nor_last_line_feed(void **state) {
    (void)state;
    struct logger logger;
    struct diagnostics list;
    assert_true(
        read_text("0,50\n1,51\n2,52\n3,53", (struct logger_asked){.unit = "psig"}, &logger, &list));
    assert_int_equal(logger.count, 4);
    assert_close(logger.time[3], 3.0, 1e-15, 0.0);
    logger_free(&logger);
    diagnostics_free(&list);
}

// An empty cell is a sample that was not taken.
static void test_empty_cells(void **state) {
    (void)state;
    struct logger logger;
    struct diagnostics list;
    assert_true(read_text("time,p [psig],travel\n0,50,\n1,,12\n2,51,13\n",
                          (struct logger_asked){.column = {[LOGGER_TRAVEL] = "travel"}}, &logger,
                          &list));
    assert_int_equal(logger.count, 3);
    assert_true(isnan(logger.value[LOGGER_PRESSURE][1]));
    assert_true(isnan(logger.value[LOGGER_TRAVEL][0]));
    assert_close(logger.value[LOGGER_TRAVEL][2], 13.0, 1e-12, 0.0);
    logger_free(&logger);
    diagnostics_free(&list);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_forms),
        cmocka_unit_test(test_refusals),
        cmocka_unit_test(test_many_errors),
        cmocka_unit_test(test_neither_heading_nor_last_line_feed),
        cmocka_unit_test(test_empty_cells),
    };
    return cmocka_run_group_tests(tests, fixture_file_make, fixture_file_remove);
}
