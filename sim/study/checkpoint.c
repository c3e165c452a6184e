// SPDX-License-Identifier: MIT
#include "study/checkpoint.h"

#include "base/clean.h"
#include "base/fingerprint.h"

#include <errno.h>
#include <fcntl.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

// A kill loses nothing, since what was written is the kernel's; a power cut loses this much. [s]
enum { SYNC_INTERVAL = 5 };

// Every part is eight bytes wide, so that the struct is the file's layout without gaps.
struct header {
    char magic[8];
    uint64_t byte_order; // reads as another number on a machine that counts bytes the other way
    uint64_t fingerprint, count, width;
    uint64_t checksum; // of all before
};

static const char MAGIC[8] = {'l', 'o', 'w', 'l', 'i', 'f', 't', '1'};
static const uint64_t BYTE_ORDER_MARK = 0x0102030405060708;

static enum checkpoint_status refuse(struct checkpoint *c, const char *path, const char *reason) {
    snprintf(c->message, sizeof c->message, "%.*s: %s", clean_whole(path, 300), path, reason);
    return CHECKPOINT_REFUSED;
}

static enum checkpoint_status fail(struct checkpoint *c, const char *path) {
    snprintf(c->message, sizeof c->message, "%.*s: %s", clean_whole(path, 300), path,
             strerror(errno));
    return CHECKPOINT_FAILED;
}

static uint64_t checksum(const void *bytes, size_t size) {
    return fingerprint_bytes(FINGERPRINT_START, bytes, size);
}

static struct header make_header(const struct checkpoint_study *study) {
    struct header h = {.byte_order = BYTE_ORDER_MARK,
                       .fingerprint = study->fingerprint,
                       .count = study->count,
                       .width = study->width};
    memcpy(h.magic, MAGIC, sizeof h.magic);
    h.checksum = checksum(&h, offsetof(struct header, checksum));
    return h;
}

// Record: index, numbers, checksum of both.
static size_t record_size(size_t width) {
    return 2 * sizeof(uint64_t) + width * sizeof(double);
}

static bool write_whole(int handle, const void *bytes, size_t size) {
    const char *at = bytes;
    while (size > 0) {
        ssize_t written = write(handle, at, size);
        if (written < 0 && errno == EINTR) {
            continue;
        }
        if (written <= 0) {
            errno = written == 0 ? EIO : errno;
            return false;
        }
        at += written;
        size -= (size_t)written;
    }
    return true;
}

// Bytes read, less than asked at the end of the file; -1 on an error.
static ssize_t read_whole(int handle, void *bytes, size_t size) {
    size_t had = 0;
    while (had < size) {
        ssize_t got = read(handle, (char *)bytes + had, size - had);
        if (got < 0 && errno == EINTR) {
            continue;
        }
        if (got < 0) {
            return -1;
        }
        if (got == 0) {
            break;
        }
        had += (size_t)got;
    }
    return (ssize_t)had;
}

static long clock_seconds(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (long)now.tv_sec;
}

// Take the records one by one; `*end` is where the last whole one ends.
static bool read_records(struct checkpoint *c, size_t count, double *result, bool *done,
                         off_t *end) {
    size_t size = record_size(c->width);
    ssize_t got;
    while ((got = read_whole(c->handle, c->record, size)) == (ssize_t)size) {
        uint64_t index, sum;
        memcpy(&index, c->record, sizeof index);
        memcpy(&sum, c->record + size - sizeof sum, sizeof sum);
        if (sum == checksum(c->record, size - sizeof sum) && index < count) {
            memcpy(&result[index * c->width], c->record + sizeof index, c->width * sizeof *result);
            done[index] = true;
        }
        *end += (off_t)size;
    }
    return got >= 0;
}

static enum checkpoint_status start_file(struct checkpoint *c, const char *path,
                                         const struct header *header) {
    if (ftruncate(c->handle, 0) != 0 || lseek(c->handle, 0, SEEK_SET) != 0 ||
        !write_whole(c->handle, header, sizeof *header) || fsync(c->handle) != 0) {
        return fail(c, path);
    }
    return CHECKPOINT_READY;
}

// Another process at work on the same file would be answered by a mix of both.
static bool lock(int handle) {
    struct flock whole = {.l_type = F_WRLCK, .l_whence = SEEK_SET};
    return fcntl(handle, F_SETLK, &whole) == 0 || (errno != EACCES && errno != EAGAIN);
}

static enum checkpoint_status take_up(struct checkpoint *c, const char *path,
                                      const struct header *wanted, double *result, bool *done) {
    struct stat status;
    if (fstat(c->handle, &status) != 0) {
        return fail(c, path);
    }
    if (!S_ISREG(status.st_mode)) {
        return refuse(c, path, "not a plain file, so it cannot keep finished points");
    }
    if (!lock(c->handle)) {
        return refuse(c, path, "another study is writing to this file now");
    }
    struct header found;
    ssize_t got = read_whole(c->handle, &found, sizeof found);
    if (got < 0) {
        return fail(c, path);
    }
    if ((size_t)got < sizeof found && memcmp(&found, wanted, (size_t)got) == 0) {
        return start_file(c, path, wanted); // empty, or killed before the first point
    }
    if ((size_t)got < sizeof found || memcmp(found.magic, MAGIC, sizeof MAGIC) != 0 ||
        found.byte_order != BYTE_ORDER_MARK ||
        found.checksum != checksum(&found, offsetof(struct header, checksum))) {
        return refuse(c, path, "not a file of finished points; name another, or remove it");
    }
    if (memcmp(&found, wanted, sizeof found) != 0) {
        return refuse(c, path,
                      "holds the points of another study (other scenario, options or version); "
                      "name another file, or remove it");
    }
    off_t end = (off_t)sizeof found;
    if (!read_records(c, (size_t)wanted->count, result, done, &end) ||
        ftruncate(c->handle, end) != 0 || lseek(c->handle, end, SEEK_SET) != end) {
        return fail(c, path);
    }
    return CHECKPOINT_READY;
}

enum checkpoint_status checkpoint_open(struct checkpoint *c, const char *path,
                                       const struct checkpoint_study *study, double *result,
                                       bool *done) {
    *c = (struct checkpoint){.handle = -1, .width = study->width, .last_synced = clock_seconds()};
    c->record = malloc(record_size(study->width));
    if (!c->record) {
        errno = ENOMEM;
        return fail(c, path);
    }
    // Not to wait when the path is a pipe.
    c->handle = open(path, O_RDWR | O_CREAT | O_NONBLOCK | O_CLOEXEC, 0666);
    struct header header = make_header(study);
    enum checkpoint_status status =
        c->handle < 0 ? fail(c, path) : take_up(c, path, &header, result, done);
    if (status != CHECKPOINT_READY) {
        if (c->handle >= 0) {
            close(c->handle);
        }
        free(c->record);
        c->handle = -1;
        c->record = NULL;
    }
    return status;
}

bool checkpoint_add(struct checkpoint *c, size_t index, const double *result) {
    size_t size = record_size(c->width);
    uint64_t number = index;
    memcpy(c->record, &number, sizeof number);
    memcpy(c->record + sizeof number, result, c->width * sizeof *result);
    uint64_t sum = checksum(c->record, size - sizeof sum);
    memcpy(c->record + size - sizeof sum, &sum, sizeof sum);
    bool fine = write_whole(c->handle, c->record, size);
    long now = clock_seconds();
    if (fine && now - c->last_synced >= SYNC_INTERVAL) {
        fine = fsync(c->handle) == 0;
        c->last_synced = now;
    }
    if (!fine) {
        snprintf(c->message, sizeof c->message, "finished points cannot be kept: %s",
                 strerror(errno));
    }
    return fine;
}

static bool add_missing(struct checkpoint *c, size_t count, const double *result, const bool *found,
                        bool *done) {
    for (size_t i = 0; i < count; i++) {
        if (found[i] && !done[i]) {
            if (!checkpoint_add(c, i, &result[i * c->width])) {
                return false;
            }
            done[i] = true;
        }
    }
    return true;
}

enum checkpoint_status checkpoint_absorb(struct checkpoint *c, const char *path,
                                         const struct checkpoint_study *study, double *result,
                                         bool *done) {
    struct checkpoint other;
    bool *found = calloc(study->count + 1, sizeof *found);
    if (!found) {
        errno = ENOMEM;
        return fail(c, path);
    }
    enum checkpoint_status status = checkpoint_open(&other, path, study, result, found);
    if (status != CHECKPOINT_READY) {
        memcpy(c->message, other.message, sizeof c->message);
    } else if (!add_missing(c, study->count, result, found, done) || fsync(c->handle) != 0) {
        status = CHECKPOINT_FAILED;
    } else {
        unlink(path);
    }
    checkpoint_close(&other);
    free(found);
    return status;
}

bool checkpoint_close(struct checkpoint *c) {
    if (c->handle < 0) {
        return true;
    }
    bool fine = fsync(c->handle) == 0;
    if (close(c->handle) != 0) {
        fine = false;
    }
    if (!fine) {
        snprintf(c->message, sizeof c->message, "finished points cannot be kept: %s",
                 strerror(errno));
    }
    free(c->record);
    c->handle = -1;
    c->record = NULL;
    return fine;
}
