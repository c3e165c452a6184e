// SPDX-License-Identifier: MIT
// Output files that are whole or absent, and the trace written and read back.
// The form of the CSV is that of RFC 4180 (P): CRLF line ends, quotes doubled within quotes.
#include "fixture_trace.h"
#include "show/trace.h"
#include "support.h"

#include <dirent.h>
#include <errno.h>
#include <locale.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

static char folder[] = "/tmp/lowlift-trace-XXXXXX";
static char path[256];

static int setup(void **state) {
    (void)state;
    if (mkdtemp(folder) == NULL) {
        return -1;
    }
    snprintf(path, sizeof path, "%s/run.csv", folder);
    return 0;
}

static int teardown(void **state) {
    (void)state;
    unlink(path);
    return rmdir(folder); // fails when a file aside was left behind
}

static int files_in_folder(void) {
    int count = 0;
    DIR *handle = opendir(folder);
    assert_non_null(handle);
    for (struct dirent *entry; (entry = readdir(handle)) != NULL;) {
        count += strcmp(entry->d_name, ".") != 0 && strcmp(entry->d_name, "..") != 0;
    }
    closedir(handle);
    return count;
}

static void file_read(char *text, size_t size) {
    FILE *stream = fopen(path, "rb");
    assert_non_null(stream);
    size_t length = fread(text, 1, size - 1, stream);
    text[length] = '\0';
    fclose(stream);
}

static void file_write(const char *text) {
    FILE *stream = fopen(path, "wb");
    assert_non_null(stream);
    fputs(text, stream);
    fclose(stream);
}

static void test_commit_and_abort(void **state) {
    (void)state;
    struct atomic_file file;
    char text[64];
    assert_int_equal(atomic_file_open(&file, path), 0);
    fputs("first", file.stream);
    assert_int_not_equal(access(path, F_OK), 0); // nothing at the path until the end
    assert_int_equal(atomic_file_commit(&file), 0);
    file_read(text, sizeof text);
    assert_string_equal(text, "first");

    assert_int_equal(chmod(path, 0640), 0);
    assert_int_equal(atomic_file_open(&file, path), 0);
    fputs("second", file.stream);
    atomic_file_abort(&file);
    atomic_file_abort(&file);
    file_read(text, sizeof text);
    assert_string_equal(text, "first");

    assert_int_equal(atomic_file_open(&file, path), 0);
    fputs("third", file.stream);
    assert_int_equal(atomic_file_commit(&file), 0);
    struct stat status;
    assert_int_equal(stat(path, &status), 0);
    assert_int_equal(status.st_mode & 0777, 0640);
    assert_int_equal(files_in_folder(), 1);
    unlink(path);
}

static void test_remove_all(void **state) {
    (void)state;
    struct atomic_file file;
    assert_int_equal(atomic_file_open(&file, path), 0);
    assert_int_equal(files_in_folder(), 1);
    atomic_file_remove_all();
    assert_int_equal(files_in_folder(), 0);
    assert_int_not_equal(atomic_file_commit(&file), 0);
    assert_int_equal(files_in_folder(), 0);
}

static void test_disk_errors(void **state) {
    (void)state;
    struct atomic_file file;
    assert_int_equal(atomic_file_open(&file, "/nowhere/at/all.csv"), ENOENT);
    assert_int_equal(atomic_file_open(&file, folder), EISDIR);
    // /dev/full takes writes and fails at the flush, like a full disk.
    assert_int_equal(atomic_file_open(&file, "/dev/full"), 0);
    fputs("text", file.stream);
    assert_int_equal(atomic_file_commit(&file), ENOSPC);
    assert_int_equal(atomic_file_open(&file, "/dev/null"), 0);
    assert_int_equal(atomic_file_commit(&file), 0);
}

static const struct trace_column COLUMNS[] = {
    {"time", "s", 1.0, 0.0, 0},
    {"controlled pressure", "psig", 1.0 / 6894.757293168361, -14.695948775513, 2},
    {"plug travel", "in", 1.0 / 0.0254, 0.0, 1},
    {"loops, \"odd\"", "", 1.0, 0.0, 3},
};

static void trace_write(void) {
    struct trace trace;
    assert_int_equal(trace_open(&trace, path, COLUMNS, 4), 0);
    double values[] = {0.0, 0.0254, 446062.75, -0.0};
    trace_row(&trace, values, NULL);
    values[0] = 0.1;
    values[1] = (double)NAN;
    trace_row(&trace, values, "seat contact");
    trace_row(&trace, values, "odd, \"quoted\"\nevent");
    trace_row(&trace, values, TRACE_STOPPED);
    assert_int_equal(trace_close(&trace), 0);
}

static const char EXPECTED[] = "time [s],controlled pressure [psig],plug travel [in],\"loops, "
                               "\"\"odd\"\"\",event\r\n"
                               "0,50,1,0,\r\n"
                               "0.1,50,,0,seat contact\r\n"
                               "0.1,50,,0,\"odd, \"\"quoted\"\"\nevent\"\r\n"
                               "0.1,50,,0,stopped\r\n";

static void test_trace_bytes(void **state) {
    (void)state;
    char text[1024];
    trace_write();
    file_read(text, sizeof text);
    // 446062.75 Pa is 50 psig to within 1e-6: only the last printed digits may differ.
    char *place = text;
    while ((place = strstr(place, ",50.")) != NULL || (place = strstr(text, ",49.9")) != NULL) {
        char *end = strchr(place + 1, ',');
        memmove(place + 3, end, strlen(end) + 1);
        memcpy(place, ",50", 3);
    }
    assert_string_equal(text, EXPECTED);
    unlink(path);
}

static void test_trace_reads_itself(void **state) {
    (void)state;
    struct trace_table table;
    char message[256];
    trace_write();
    if (!trace_read(path, &table, message, sizeof message)) {
        fail_msg("%s", message);
    }
    assert_int_equal(table.columns, 4);
    assert_int_equal(table.rows, 4);
    assert_string_equal(table.name[1], "controlled pressure");
    assert_string_equal(table.unit[1], "psig");
    assert_string_equal(table.name[3], "loops, \"odd\"");
    assert_string_equal(table.unit[3], "");
    assert_close(table.value[1], 50.0, 1e-6, 0.0);
    assert_close(table.value[2], 1.0, 1e-9, 0.0);
    assert_true(isnan(table.value[6]));
    assert_string_equal(table.event[0], "");
    assert_string_equal(table.event[2], "odd, \"quoted\"\nevent");
    assert_string_equal(table.event[3], TRACE_STOPPED);
    trace_table_free(&table);
    unlink(path);
}

static void test_trace_refuses(void **state) {
    (void)state;
    const struct {
        const char *text;
        const char *place;
        const char *words;
    } cases[] = {
        {"", ":1:", "event"},
        {"time [s],pressure\r\n", ":1:", "event"},
        {"time [s],event\r\n1\r\n", ":2:", "shorter"},
        {"time [s],event\r\n1,,3\r\n", ":2:", "longer"},
        {"time [s],event\n1,\n1x,\n", ":3:", "not a number"},
        {"time [s],event\r\n\"1,\r\n", ":3:", "shorter"},
        {"\"time", ":1:", "does not end"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; ++i) {
        struct trace_table table;
        char message[256];
        file_write(cases[i].text);
        assert_false(trace_read(path, &table, message, sizeof message));
        if (strstr(message, cases[i].place) == NULL || strstr(message, cases[i].words) == NULL) {
            fail_msg("case %zu says: %s", i, message);
        }
    }
    unlink(path);
    struct trace_table table;
    char message[256];
    assert_false(trace_read(path, &table, message, sizeof message));
    assert_non_null(strstr(message, "No such file"));
}

// A comma as decimal point, in a process that has set such a locale, must not reach the file.
static void test_trace_ignores_locale(void **state) {
    (void)state;
    const char *names[] = {"de_DE.UTF-8", "de_DE", "fr_FR.UTF-8", "nl_NL.UTF-8"};
    bool found = false;
    for (size_t i = 0; !found && i < sizeof names / sizeof names[0]; ++i) {
        found = setlocale(LC_ALL, names[i]) != NULL;
    }
    if (!found) {
        skip();
    }
    char text[1024];
    trace_write();
    file_read(text, sizeof text);
    setlocale(LC_ALL, "C");
    assert_non_null(strstr(text, "\r\n0.1,"));
    unlink(path);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_commit_and_abort),     cmocka_unit_test(test_remove_all),
        cmocka_unit_test(test_disk_errors),          cmocka_unit_test(test_trace_bytes),
        cmocka_unit_test(test_trace_reads_itself),   cmocka_unit_test(test_trace_refuses),
        cmocka_unit_test(test_trace_ignores_locale),
    };
    return cmocka_run_group_tests(tests, setup, teardown);
}
