// SPDX-License-Identifier: MIT
#include "show/destination.h"

#include "base/clean.h"

#include "base/ranks.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

enum { LOOKS = 20 }; // a second, at the folder that another holds

bool destination_fail(const struct destination *to, const char *path, const char *cause) {
    clean_say(stderr, "lowlift %s: %s: %s", to->command, path, cause);
    return false;
}

static bool make_folder(const struct destination *to) {
    return mkdir(to->folder, 0777) == 0 || errno == EEXIST ||
           destination_fail(to, to->folder, strerror(errno));
}

int destination_hold(const struct destination *to) {
    if (!make_folder(to)) {
        return -1;
    }
    // Only a folder: a pipe of that name would wait for somebody to write, and no signal end that.
    const int handle = ranks_first() ? open(to->folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC)
                                     : open("/dev/null", O_RDONLY | O_CLOEXEC);
    if (handle < 0) {
        destination_fail(to, to->folder, strerror(errno));
        return -1;
    }
    for (int looks = 0; flock(handle, LOCK_EX | LOCK_NB) != 0 && errno == EWOULDBLOCK; looks++) {
        if (looks == LOOKS * DESTINATION_PATIENCE) {
            destination_fail(to, to->folder, "another program keeps writing into this folder");
            close(handle);
            return -1;
        }
        nanosleep(&(struct timespec){0, 1000000000 / LOOKS}, NULL);
    }
    return handle;
}

void destination_let_go(int handle) {
    close(handle);
}

bool destination_path(const struct destination *to, const char *stem, const char *ending,
                      char path[DESTINATION_PATH_SIZE]) {
    if (!make_folder(to)) {
        return false;
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
