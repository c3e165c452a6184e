// SPDX-License-Identifier: MIT
// An answer made by hand, written in every form. The form of the CSV is that of RFC 4180 (P): CRLF
// line ends, quotes doubled within quotes; JSON is read back by a library. The rest has no outside
// source: it is this program's own promise.
#include "answer/column.h"
#include "answer/picture.h"
#include "fixture_capture.h"
#include "show/plot_script.h"
#include "show/plot_table.h"
#include "show/show.h"
#include "support.h"

#include <jansson.h>

#include <dirent.h>
#include <locale.h>
#include <unistd.h>

static char folder[] = "/tmp/lowlift-show-XXXXXX";
static char path[300];

static const struct unit_context site = {.atmosphere = 101325.0,
                                         .base_pressure = 101325.0,
                                         .base_temperature = 288.7055555555555,
                                         .molar_mass = 0.0188,
                                         .density = (double)NAN};

static struct destination to = {
    .command = "test", .folder = folder, .stem = "made", .files = true, .picture_type = "svg"};

static int setup(void **state) {
    (void)state;
    return mkdtemp(folder) ? 0 : -1;
}

static void remove_files(void) {
    DIR *handle = opendir(folder);
    char name[600];
    for (struct dirent *entry; handle && (entry = readdir(handle)) != NULL;) {
        snprintf(name, sizeof name, "%s/%s", folder, entry->d_name);
        unlink(name);
    }
    closedir(handle);
}

static int teardown(void **state) {
    (void)state;
    remove_files();
    return rmdir(folder);
}

static char *text_of(const char *name) {
    static char text[20000];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *stream = fopen(path, "rb");
    assert_non_null(stream);
    const size_t length = fread(text, 1, sizeof text - 1, stream);
    text[length] = '\0';
    fclose(stream);
    return text;
}

static const struct answer_column columns[] = {
    COLUMN_TRIM,
    COLUMN_PRESSURE,
    COLUMN_PRESSURE_SWING,
    COLUMN_COUNT("contacts", "contacts"),
    COLUMN_FLAG("steady", "steady"),
    {.key = "way", .name = "way, \"odd\"", .kind = UNIT_LENGTH, .per = "/day", .digits = 3},
    {.key = "hidden", .name = "hidden", .form = ANSWER_WORD, .hidden = ANSWER_TERMINAL},
};
static const struct answer_column kick = COLUMN_KICK;

// 6894.757293168361 Pa are 1 psi, gauge counts from 101325 Pa, 0.0254 m are 1 in (E: of the units'
// definition).
static void make(struct answer *answer) {
    *answer = (struct answer){
        .scenario = "made.yaml", .title = "a made answer", .site = site, .units = UNITS_US};
    answer_say(answer, ANSWER_HEADING, "%s", answer->title);
    answer_fact(answer, &kick, 3.0 * 6894.757293168361, NULL);
    struct answer_table *table =
        answer_table(answer, "rows", "the rows:", columns, sizeof columns / sizeof columns[0]);
    answer_word(table, "full, \"big\"");
    answer_put(table, 50.0 * 6894.757293168361 + 101325.0);
    answer_put(table, 6894.757293168361);
    answer_put(table, 23.0);
    answer_flag(table, false);
    answer_put(table, 25.4);
    answer_word(table, "out of sight");
    answer_word(table, "reduced");
    answer_put(table, (double)NAN);
    answer_said(table, (double)INFINITY, "none up to %d psi", 10);
    answer_put(table, 0.0);
    answer_flag(table, true);
    answer_put(table, (double)NAN);
    answer_word(table, "");
    answer_say(answer, ANSWER_NOTE, "take care");
    answer_label(answer, ANSWER_FINDING, "advice: ", "fit %s", "reduced");
    answer_say(answer, ANSWER_TALK, "talk");
    answer_say(answer, ANSWER_BRIEF, "brief");
}

static void test_text(void **state) {
    (void)state;
    struct answer answer;
    struct fixture_capture capture;
    make(&answer);
    fixture_capture_begin(&capture);
    show_text(capture.stream, &answer, false);
    char *text = fixture_capture_end(&capture);
    assert_string_equal(
        text, "a made answer\n"
              "  kick that must die out: 3 psi\n"
              "  the rows:\n"
              "  trim         controlled     pressure swing  contacts  steady      way,\n"
              "                 pressure              [psi]                       \"odd\"\n"
              "                   [psig]                                       [in/day]\n"
              "  full, \"big\"          50                  1        23  no          1000\n"
              "  reduced               -  none up to 10 psi         0  yes            -\n"
              "  note: take care\n"
              "  advice: fit reduced\n"
              "  talk\n");
    free(text);
    fixture_capture_begin(&capture);
    show_text(capture.stream, &answer, true);
    text = fixture_capture_end(&capture);
    assert_string_equal(text, "brief\n");
    free(text);
    answer_free(&answer);
}

static void test_side_by_side(void **state) {
    (void)state;
    struct answer answer;
    struct fixture_capture capture;
    make(&answer);
    answer.table->layout = ANSWER_SIDE_BY_SIDE;
    fixture_capture_begin(&capture);
    show_text(capture.stream, &answer, false);
    char *text = fixture_capture_end(&capture);
    assert_says(text, "  trim                 full, \"big\"            reduced\n");
    assert_says(text, "  controlled pressure      50 psig                  -\n");
    assert_says(text, "  pressure swing             1 psi  none up to 10 psi\n");
    free(text);
    answer_free(&answer);
}

static void test_csv(void **state) {
    (void)state;
    struct answer answer;
    make(&answer);
    assert_true(show_tables(&answer, &to));
    assert_string_equal(text_of("made.rows.csv"),
                        "trim,controlled pressure [psig],pressure swing [psi],contacts,steady,"
                        "\"way, \"\"odd\"\" [in/day]\",hidden\r\n"
                        "\"full, \"\"big\"\"\",50,1,23,no,1000,out of sight\r\n"
                        "reduced,,inf,0,yes,,\r\n");
    answer_free(&answer);
    remove_files();
}

static void test_json(void **state) {
    (void)state;
    struct answer answer;
    make(&answer);
    assert_true(show_summary(&answer, &to));
    json_t *document = json_loads(text_of("made.json"), JSON_REJECT_DUPLICATES, NULL);
    assert_non_null(document);
    json_t *rows = json_object_get(document, "rows");
    assert_int_equal(json_array_size(rows), 2);
    json_t *row = json_array_get(rows, 0);
    json_t *pressure = json_object_get(row, "controlled_pressure");
    assert_close(json_number_value(json_object_get(pressure, "value")), 50.0, 1e-8, 0.0);
    assert_string_equal(json_string_value(json_object_get(pressure, "unit")), "psig");
    assert_int_equal(json_integer_value(json_object_get(row, "contacts")), 23);
    assert_true(json_is_false(json_object_get(row, "steady")));
    row = json_array_get(rows, 1);
    assert_true(json_is_null(json_object_get(json_object_get(row, "pressure_swing"), "value")));
    json_t *fact = json_object_get(document, "kick");
    assert_close(json_number_value(json_object_get(fact, "value")), 3.0, 1e-8, 0.0);
    assert_string_equal(json_string_value(json_array_get(json_object_get(document, "findings"), 0)),
                        "advice: fit reduced");
    json_decref(document);
    answer_free(&answer);
    remove_files();
}

// A row is made when it is written, and never kept.
static void fill(const void *context, size_t row, struct answer_cell *cell) {
    cell[0] = (struct answer_cell){(double)row * *(const double *)context, NULL};
}

static void test_filled_rows(void **state) {
    (void)state;
    static const struct answer_column time[] = {{.key = "time", .name = "time", .unit = "s"}};
    const double step = 0.1;
    struct answer answer = {.title = "", .scenario = ""};
    struct answer_table *table = answer_table(&answer, "", NULL, time, 1);
    table->rows = 3;
    table->fill = fill;
    table->context = &step;
    table->file = "trace";
    assert_true(show_tables(&answer, &to));
    assert_string_equal(text_of("trace.csv"), "time [s]\r\n0\r\n0.1\r\n0.2\r\n");
    answer_free(&answer);
    remove_files();
}

// A comma as decimal point, in a process that has set such a locale, must not reach a file.
static void test_locale(void **state) {
    (void)state;
    const char *names[] = {"de_DE.UTF-8", "de_DE", "fr_FR.UTF-8", "nl_NL.UTF-8"};
    bool found = false;
    for (size_t i = 0; !found && i < sizeof names / sizeof names[0]; i++) {
        found = setlocale(LC_ALL, names[i]) != NULL;
    }
    if (!found) {
        skip();
    }
    struct answer answer;
    make(&answer);
    answer.table->cell[2].number *= 1.5;
    const bool good = show_tables(&answer, &to);
    setlocale(LC_ALL, "C");
    assert_true(good);
    assert_says(text_of("made.rows.csv"), ",1.5,");
    answer_free(&answer);
    remove_files();
}

static void test_disk_errors(void **state) {
    (void)state;
    struct answer answer;
    make(&answer);
    struct destination nowhere = to;
    nowhere.folder = "/dev/null/none";
    assert_false(show_tables(&answer, &nowhere));
    assert_false(show_summary(&answer, &nowhere));
    answer.failed = true; // as when memory ran out: nothing is written
    assert_false(show_answer(&answer, &to));
    assert_int_not_equal(access(path, F_OK), 0);
    answer_free(&answer);
}

// --- Pictures

static void test_picture_data(void **state) {
    (void)state;
    struct answer answer = {.title = ""};
    const double none = (double)NAN;
    struct picture_data *data = picture_data(&answer, 2);
    picture_row(data, NULL, (const double[]){1.0, 2.5});
    picture_break(data);
    picture_break(data);
    picture_row(data, "say \"no\"\\n\x1f", (const double[]){none, 4e-7});
    picture_next_set(data);
    picture_row(data, NULL, (const double[]){(double)INFINITY, 3.0});
    struct fixture_capture capture;
    fixture_capture_begin(&capture);
    assert_true(plot_table_write(capture.stream, data));
    char *text = fixture_capture_end(&capture);
    // Two breaks are one empty line; a further set begins after two.
    assert_string_equal(text, "1 2.5\n\n\"say 'no'/n \" NaN 4e-07\n\n\nNaN 3\n");
    free(text);
    answer_free(&answer);
}

static void test_texts_are_not_run(void **state) {
    (void)state;
    char trap[400];
    char hostile[1300];
    char message[300] = "";
    snprintf(trap, sizeof trap, "%s/trap", folder);
    snprintf(hostile, sizeof hostile,
             "`touch %s` \"; system('touch %s'); \" @trap {/=90 $(touch %s)", trap, trap, trap);
    struct answer answer = {.title = ""};
    picture_begin(&answer, "stability.gp", hostile);
    picture_title(&answer, "%s", hostile);
    picture_label(&answer, "%s", hostile);
    const double number[] = {1.0, 1.0, 2.0, 1.5, 1.0, 1.0, 2.0};
    for (size_t i = 0; i < sizeof number / sizeof number[0]; i++) {
        picture_number(&answer, number[i]);
    }
    struct picture_data *curve = picture_data(&answer, 3);
    picture_row(curve, NULL, (const double[]){1.0, 0.2, 3.0});
    picture_row(curve, NULL, (const double[]){2.0, 0.1, 3.0});
    picture_row(picture_data(&answer, 2), NULL, (const double[]){1.5, 1.0});
    picture_row(picture_data(&answer, 1), hostile, (const double[]){1.0});
    snprintf(path, sizeof path, "%s/picture.svg", folder);
    const bool drawn = plot_script_draw(&answer.picture, path, PLOT_SVG, message, sizeof message);
    if (!drawn) {
        print_error("%s\n", message);
    }
    assert_true(drawn);
    assert_int_equal(access(path, R_OK), 0);
    assert_int_not_equal(access(trap, F_OK), 0);
    answer_free(&answer);
    remove_files();
}

static void test_missing_script(void **state) {
    (void)state;
    char message[300] = "";
    struct answer answer = {.title = ""};
    picture_begin(&answer, "no-such.gp", "");
    assert_false(
        plot_script_draw(&answer.picture, "/tmp/x.svg", PLOT_SVG, message, sizeof message));
    assert_says(message, "no-such.gp");
    answer_free(&answer);
}

static void test_cautions(void **state) {
    (void)state;
    struct fixture_capture capture;
    fixture_capture_begin(&capture);
    show_cautions(capture.stream);
    char *text = fixture_capture_end(&capture);
    static const char *const words[] = {
        "trapped", "springs", "pinch", "H2S", "maker's", "licensed", "sizes no relief device"};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        assert_says(text, words[i]);
    }
    free(text);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_text),
        cmocka_unit_test(test_side_by_side),
        cmocka_unit_test(test_csv),
        cmocka_unit_test(test_json),
        cmocka_unit_test(test_filled_rows),
        cmocka_unit_test(test_locale),
        cmocka_unit_test(test_disk_errors),
        cmocka_unit_test(test_picture_data),
        cmocka_unit_test(test_texts_are_not_run),
        cmocka_unit_test(test_missing_script),
        cmocka_unit_test(test_cautions),
    };
    return cmocka_run_group_tests(tests, setup, teardown);
}
