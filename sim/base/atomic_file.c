// SPDX-License-Identifier: MIT
#define _GNU_SOURCE // realpath, fopencookie

#include "base/atomic_file.h"

#include "base/ranks.h"

#include <errno.h>
#include <fcntl.h>
#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

enum { SLOTS = 32, NAMES_MAX = 10000, BUFFER_SIZE = 1 << 16 };

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

// --- The stream. One of the C library would remember that a write failed, but not why: a full disk
// and a broken one would read the same.

struct atomic_file_disk {
    int handle;
    int error; // errno of the first write that failed
};

static ssize_t disk_write(void *cookie, const char *bytes, size_t size) {
    struct atomic_file_disk *disk = cookie;
    size_t done = 0;
    while (done < size) {
        const ssize_t written = write(disk->handle, bytes + done, size - done);
        if (written < 0 && errno == EINTR) {
            continue;
        }
        if (written <= 0) {
            disk->error = disk->error ? disk->error : written < 0 ? errno : EIO;
            return 0;
        }
        done += (size_t)written;
    }
    return (ssize_t)done;
}

// Takes the handle in any case.
static int stream_open(struct atomic_file *file, int handle) {
    const cookie_io_functions_t calls = {.write = disk_write};
    file->disk = malloc(sizeof *file->disk);
    file->stream = file->disk ? fopencookie(file->disk, "w", calls) : NULL;
    if (!file->stream) {
        close(handle);
        free(file->disk);
        file->disk = NULL;
        return ENOMEM;
    }
    setvbuf(file->stream, NULL, _IOFBF, BUFFER_SIZE);
    *file->disk = (struct atomic_file_disk){handle, 0};
    return 0;
}

static int stream_close(struct atomic_file *file, bool keep) {
    struct atomic_file_disk *disk = file->disk;
    const bool failed = fflush(file->stream) != 0 || ferror(file->stream);
    int code = disk->error ? disk->error : failed ? EIO : 0;
    if (keep && code == 0 && file->slot >= 0 && fsync(disk->handle) != 0) {
        code = errno;
    }
    fclose(file->stream); // holds nothing any more, and knows no handle
    if (close(disk->handle) != 0 && code == 0) {
        code = errno;
    }
    free(disk);
    file->disk = NULL;
    file->stream = NULL;
    return code;
}

// --- Targets that are no regular file

// Whether the path is this program's standard output by another name.
static bool is_standard_output(const char *path, const struct stat *status) {
    struct stat own;
    return (strncmp(path, "/dev/", 5) == 0 || strncmp(path, "/proc/", 6) == 0) &&
           fstat(STDOUT_FILENO, &own) == 0 && own.st_dev == status->st_dev &&
           own.st_ino == status->st_ino;
}

// Opening a pipe from which nobody reads would wait for ever, and no signal would end that.
static int pipe_open(const char *path) {
    int handle = -1;
    for (int tries = 0; tries <= 100 * ATOMIC_FILE_PATIENCE; tries++) {
        handle = open(path, O_WRONLY | O_NONBLOCK | O_CLOEXEC);
        if (handle >= 0 || errno != ENXIO) {
            break;
        }
        nanosleep(&(struct timespec){0, 10000000}, NULL);
    }
    if (handle >= 0) {
        fcntl(handle, F_SETFL, 0); // from now on it may wait
    }
    return handle;
}

static int open_direct(struct atomic_file *file, const char *path, const struct stat *status) {
    int handle;
    if (is_standard_output(path, status)) {
        fflush(stdout);
        handle = dup(STDOUT_FILENO);
    } else if (S_ISFIFO(status->st_mode)) {
        handle = pipe_open(path);
    } else {
        handle = open(path, O_WRONLY | O_NOCTTY | O_CLOEXEC);
    }
    return handle >= 0 ? stream_open(file, handle) : errno;
}

const char *atomic_file_reason(int code) {
    return code == ENXIO ? "nobody reads from this pipe" : strerror(code);
}

// --- Files

int atomic_file_open(struct atomic_file *file, const char *path) {
    struct stat status;
    *file = (struct atomic_file){.slot = -1};
    if (!ranks_first()) { // writes the same, which nobody needs twice
        path = "/dev/null";
    }
    int code = target_resolve(path, file->path);
    if (code != 0) {
        return code;
    }
    const bool exists = stat(file->path, &status) == 0 || stat(path, &status) == 0;
    if (exists && (!S_ISREG(status.st_mode) || is_standard_output(path, &status))) {
        return open_direct(file, path, &status);
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
        close(handle);
    } else {
        code = stream_open(file, handle);
    }
    if (code != 0) {
        unlink(registry[slot].path);
        atomic_store(&registry[slot].state, SLOT_FREE);
        file->slot = -1;
    }
    return code;
}

int atomic_file_commit(struct atomic_file *file) {
    int code = stream_close(file, true);
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
    stream_close(file, false);
    if (file->slot >= 0) {
        unlink(registry[file->slot].path);
        atomic_store(&registry[file->slot].state, SLOT_FREE);
        file->slot = -1;
    }
}
