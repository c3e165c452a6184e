// SPDX-License-Identifier: MIT
// Data files for pictures, and that no text in one is run. No outside source: this program's own
// promise.
#include "support.h"

#include "show/plot_script.h"

#include <stdlib.h>
#include <unistd.h>

static char text[4096];

static const char *written(const struct plot_table *table) {
    FILE *file = tmpfile();
    assert_non_null(file);
    assert_true(plot_table_write(file, table));
    rewind(file);
    size_t length = fread(text, 1, sizeof text - 1, file);
    text[length] = '\0';
    fclose(file);
    return text;
}

static void test_numbers_and_gaps(void **state) {
    (void)state;
    const double none = (double)NAN, far = (double)INFINITY;
    const double value[] = {1.0, 2.5, 3.0, none, none, none, none, none, far, 4e-7};
    struct plot_table table = {.rows = 5, .columns = 2, .value = value};
    // One gap of two rows is one empty line; a row that is only part a gap is none.
    assert_string_equal(written(&table), "1 2.5\n3 NaN\n\nNaN 4e-07\n");
    table.block = 2;
    assert_string_equal(written(&table), "1 2.5\n3 NaN\n\nNaN NaN\nNaN NaN\n\nNaN 4e-07\n");
    table.rows = 0;
    assert_string_equal(written(&table), "");
}

static void test_names(void **state) {
    (void)state;
    const double value[] = {1.0, 2.0};
    const char *const name[] = {"say \"no\"\\n", "two\nlines\x1f"};
    struct plot_table table = {.rows = 2, .columns = 1, .value = value, .name = name};
    assert_string_equal(written(&table), "\"say 'no'/n\" 1\n\"two lines \" 2\n");
}

static void test_texts_are_not_run(void **state) {
    (void)state;
    char folder[] = "/tmp/lowlift-table-test-XXXXXX", path[64], trap[64], hostile[400],
         message[300];
    assert_non_null(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/picture.svg", folder);
    snprintf(trap, sizeof trap, "%s/trap", folder);
    snprintf(hostile, sizeof hostile,
             "`touch %s` \"; system('touch %s'); \" @trap {/=90 $(touch %s)", trap, trap, trap);
    const double curve[] = {1.0, 0.2, 3.0, 2.0, 0.1, 3.0}, change[] = {1.5, 1.0}, bar[] = {1.0};
    const char *const name[] = {hostile};
    const double number[] = {1.0, 1.0, 2.0, 1.5, 1.0, 1.0, 2.0};
    const struct plot_table table[] = {{.rows = 2, .columns = 3, .value = curve},
                                       {.rows = 1, .columns = 2, .value = change},
                                       {.rows = 1, .columns = 1, .value = bar, .name = name}};
    struct plot_script script = {.name = "stability.gp",
                                 .heading = hostile,
                                 .title_count = 1,
                                 .title = name,
                                 .label_count = 1,
                                 .label = name,
                                 .number_count = 7,
                                 .number = number,
                                 .file_count = 3,
                                 .table = table};
    bool drawn = plot_script_draw(&script, path, PLOT_SVG, message, sizeof message);
    if (!drawn) {
        print_error("%s\n", message);
    }
    assert_true(drawn);
    assert_int_equal(access(path, R_OK), 0);
    assert_int_not_equal(access(trap, F_OK), 0);
    unlink(path);
    rmdir(folder);
}

static void test_missing_script(void **state) {
    (void)state;
    char message[300] = "";
    struct plot_script script = {.name = "no-such.gp", .heading = ""};
    assert_false(plot_script_draw(&script, "/tmp/x.svg", PLOT_SVG, message, sizeof message));
    assert_non_null(strstr(message, "no-such.gp"));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_numbers_and_gaps),
        cmocka_unit_test(test_names),
        cmocka_unit_test(test_texts_are_not_run),
        cmocka_unit_test(test_missing_script),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
