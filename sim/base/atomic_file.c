// SPDX-License-Identifier: MIT
#define _XOPEN_SOURCE 700 // realpath

#include "base/atomic_file.h"

#include "base/ranks.h"

#include <errno.h>
#include <fcntl.h>
#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { SLOTS = 32, NAMES_MAX = 10000 };

enum { SLOT_FREE, SLOT_TAKEN, SLOT_LIVE };

// Files aside that exist now. The paths are static memory, because a signal handler reads them; a
// slot is live only while its path is complete.
static struct {
    atomic_int state;
    char path[ATOMIC_FILE_PATH_MAX];
} registry[SLOTS];

static atomic_uint names; // number in the next name aside

static int registry_take(void) {
    for (int i = 0; i < SLOTS; i++) {
        int free_state = SLOT_FREE;
        if (atomic_compare_exchange_strong(&registry[i].state, &free_state, SLOT_TAKEN)) {
            return i;
        }
    }
    return -1;
}

void atomic_file_remove_all(void) {
    for (int i = 0; i < SLOTS; i++) {
        int live = SLOT_LIVE;
        if (atomic_compare_exchange_strong(&registry[i].state, &live, SLOT_TAKEN)) {
            unlink(registry[i].path);
        }
    }
}

// Create a file of a fresh name in the folder of the target. Plain open, not mkstemp: the file is
// to get the permissions that the user's umask gives. The slot is live from just before, so that no
// signal finds a file that nobody knows.
static int aside_create(const char *target, int slot) {
    char *aside = registry[slot].path;
    const char *slash = strrchr(target, '/');
    int folder = slash ? (int)(slash - target) + 1 : 0;
    for (int tries = 0; tries < NAMES_MAX; tries++) {
        int length = snprintf(aside, ATOMIC_FILE_PATH_MAX, "%.*s.lowlift-%ld-%u", folder, target,
                              (long)getpid(), atomic_fetch_add(&names, 1u));
        if (length < 0 || length >= ATOMIC_FILE_PATH_MAX) {
            errno = ENAMETOOLONG;
            return -1;
        }
        atomic_store(&registry[slot].state, SLOT_LIVE);
        int handle = open(aside, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
        if (handle >= 0 || errno != EEXIST) {
            return handle;
        }
        atomic_store(&registry[slot].state, SLOT_TAKEN);
    }
    return -1;
}

// The place a path stands for: a link is followed, so that it survives the rename.
static int target_resolve(const char *path, char *target) {
    char *real = realpath(path, NULL);
    const char *source = real ? real : path;
    int code = strlen(source) < ATOMIC_FILE_PATH_MAX ? 0 : ENAMETOOLONG;
    if (code == 0) {
        memcpy(target, source, strlen(source) + 1);
    }
    free(real);
    return code;
}

static int open_direct(struct atomic_file *file, const char *path) {
    file->stream = fopen(path, "w");
    return file->stream ? 0 : errno;
}

int atomic_file_open(struct atomic_file *file, const char *path) {
    struct stat status;
    file->stream = NULL;
    file->slot = -1;
    if (!ranks_first()) { // writes the same, which nobody needs twice
        return open_direct(file, "/dev/null");
    }
    int code = target_resolve(path, file->path);
    if (code != 0) {
        return code;
    }
    bool exists = stat(file->path, &status) == 0;
    if (exists && !S_ISREG(status.st_mode)) {
        return open_direct(file, path);
    }
    // A rename would get round a file that its owner has made read-only.
    if (exists && access(file->path, W_OK) != 0) {
        return errno;
    }
    int slot = registry_take();
    if (slot < 0) {
        return EMFILE;
    }
    int handle = aside_create(file->path, slot);
    if (handle < 0) {
        code = errno;
        atomic_store(&registry[slot].state, SLOT_FREE);
        return code;
    }
    file->slot = slot;
    if (exists && fchmod(handle, status.st_mode & 0777) != 0) {
        code = errno;
    }
    file->stream = code == 0 ? fdopen(handle, "w") : NULL;
    if (!file->stream) {
        code = code != 0 ? code : errno;
        close(handle);
        unlink(registry[slot].path);
        atomic_store(&registry[slot].state, SLOT_FREE);
    }
    return code;
}

int atomic_file_commit(struct atomic_file *file) {
    int code = 0;
    // A write that failed earlier leaves only the error flag; its errno is gone.
    if (ferror(file->stream)) {
        code = EIO;
    }
    if (fflush(file->stream) != 0 && code == 0) {
        code = errno;
    }
    if (file->slot >= 0 && code == 0 && fsync(fileno(file->stream)) != 0) {
        code = errno;
    }
    if (fclose(file->stream) != 0 && code == 0) {
        code = errno;
    }
    file->stream = NULL;
    if (file->slot < 0) {
        return code;
    }
    if (code == 0 && rename(registry[file->slot].path, file->path) != 0) {
        code = errno;
    }
    if (code != 0) {
        unlink(registry[file->slot].path);
    }
    atomic_store(&registry[file->slot].state, SLOT_FREE);
    file->slot = -1;
    return code;
}

void atomic_file_abort(struct atomic_file *file) {
    if (!file->stream) {
        return;
    }
    fclose(file->stream);
    file->stream = NULL;
    if (file->slot >= 0) {
        unlink(registry[file->slot].path);
        atomic_store(&registry[file->slot].state, SLOT_FREE);
        file->slot = -1;
    }
}
