// SPDX-License-Identifier: MIT
// A locale that writes a comma into numbers, since no machine need have one. The build makes it
// once (LOWLIFT_LOCALES, set by ctest); a test run by hand makes its own, which takes seconds.
#pragma once

#include "support.h"

#include <locale.h>
#include <stdlib.h>
#include <unistd.h>

#define FIXTURE_COMMA_FOLDER "/tmp/lowlift-locale-XXXXXX"

// From here to fixture_comma_end the process is in it. `folder` begins as FIXTURE_COMMA_FOLDER.
static inline void fixture_comma_begin(char *folder) {
    char command[200];
    const char *built = getenv("LOWLIFT_LOCALES");
    assert_non_null(mkdtemp(folder));
    if (!built) {
        snprintf(command, sizeof command, "localedef -i de_DE -f UTF-8 '%s/de_DE.UTF-8' >&2",
                 folder);
        assert_int_equal(system(command), 0);
    }
    setenv("LOCPATH", built ? built : folder, 1);
    assert_non_null(setlocale(LC_ALL, "de_DE.UTF-8"));
    assert_string_equal(localeconv()->decimal_point, ",");
}

static inline void fixture_comma_end(const char *folder) {
    char command[80];
    setlocale(LC_ALL, "C");
    unsetenv("LOCPATH");
    snprintf(command, sizeof command, "rm -r '%s'", folder);
    assert_int_equal(system(command), 0);
}
