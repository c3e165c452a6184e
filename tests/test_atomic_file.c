// SPDX-License-Identifier: MIT
// Output files that are whole or absent. No outside source: this program's own promise.
#include "base/atomic_file.h"
#include "support.h"

#include <dirent.h>
#include <errno.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

static char folder[] = "/tmp/lowlift-file-XXXXXX";
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

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_commit_and_abort),
        cmocka_unit_test(test_remove_all),
        cmocka_unit_test(test_disk_errors),
    };
    return cmocka_run_group_tests(tests, setup, teardown);
}
