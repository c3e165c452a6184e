// SPDX-License-Identifier: MIT
// A file of its own for the tests of one program: made before them, removed after.
#pragma once

#include <stdlib.h>
#include <unistd.h>

static char fixture_file[] = "/tmp/lowlift-test-XXXXXX";

static int fixture_file_make(void **state) {
    (void)state;
    const int handle = mkstemp(fixture_file);
    return handle < 0 ? -1 : close(handle);
}

static int fixture_file_remove(void **state) {
    (void)state;
    return unlink(fixture_file);
}
