// SPDX-License-Identifier: MIT
#include "show/destination.h"

#include "base/clean.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>

bool destination_fail(const struct destination *to, const char *path, const char *cause) {
    clean_say(stderr, "lowlift %s: %s: %s", to->command, path, cause);
    return false;
}

bool destination_path(const struct destination *to, const char *stem, const char *ending,
                      char path[DESTINATION_PATH_SIZE]) {
    if (mkdir(to->folder, 0777) != 0 && errno != EEXIST) {
        return destination_fail(to, to->folder, strerror(errno));
    }
    const int length = snprintf(path, DESTINATION_PATH_SIZE, "%s/%s.%s", to->folder, stem, ending);
    if (length < 0 || length >= DESTINATION_PATH_SIZE) {
        return destination_fail(to, to->folder, strerror(ENAMETOOLONG));
    }
    return true;
}

void destination_say(const struct destination *to, const char *path) {
    if (!to->quiet) {
        clean_say(stdout, "wrote %s", path);
    }
}
