// SPDX-License-Identifier: MIT
// A file of finished points that a killed study goes on from: a header that names the study, then
// one record a point, only ever appended. Each record carries its own checksum, so that whatever a
// power cut leaves half written is left out and computed again. Knows nothing of what is studied.
#pragma once

#include <stdbool.h>
#include <stddef.h>

enum checkpoint_status {
    CHECKPOINT_READY,
    CHECKPOINT_REFUSED, // not a checkpoint, or of another study, or in use
    CHECKPOINT_FAILED,  // cannot be read or written
};

struct checkpoint {
    int handle;        // of the file; -1: none
    size_t width;      // numbers a point yields
    long last_synced;  // [s], of a clock that never goes back
    char *record;      // room for one
    char message[512]; // one line, of the last refusal or failure
};

// What a file is of: one of another study, or other sizes, is refused.
struct checkpoint_study {
    unsigned long fingerprint;
    size_t count; // points
    size_t width; // numbers a point yields
};

// Open or create the file, and read its finished points: done[i] becomes true and the numbers go to
// result[i * width]. What is torn at its end is cut off.
enum checkpoint_status checkpoint_open(struct checkpoint *checkpoint, const char *path,
                                       const struct checkpoint_study *study, double *result,
                                       bool *done);

// Take in the points of another file of the same study that this one lacks, and remove that file.
enum checkpoint_status checkpoint_absorb(struct checkpoint *checkpoint, const char *path,
                                         const struct checkpoint_study *study, double *result,
                                         bool *done);

// Append one finished point; false when the file cannot take it. To be called by one thread at a
// time.
bool checkpoint_add(struct checkpoint *checkpoint, size_t index, const double *result);

// Bring everything to the disk and close; false when that fails. Does nothing when not open.
bool checkpoint_close(struct checkpoint *checkpoint);
