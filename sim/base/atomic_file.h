// SPDX-License-Identifier: MIT
// Output files that appear whole or not at all: written aside in the same folder, renamed when
// everything is known to be on the disk. A target that is no regular file (a terminal, a pipe, a
// device) is written directly, and so is what /dev/stdout stands for. A named pipe is given
// ATOMIC_FILE_PATIENCE for somebody to read from it.
#pragma once

#include <stdbool.h>
#include <stdio.h>

enum { ATOMIC_FILE_PATH_MAX = 4096, ATOMIC_FILE_PATIENCE = 2 }; // [s]

struct atomic_file_disk;

struct atomic_file {
    FILE *stream;                    // to write to; NULL when not open
    struct atomic_file_disk *disk;   // behind the stream
    int slot;                        // in the registry of files aside; -1: written directly
    char path[ATOMIC_FILE_PATH_MAX]; // target, links resolved
};

// Open a file aside of `path`. Returns 0 or an errno value.
int atomic_file_open(struct atomic_file *file, const char *path);

// Flush, check, synchronise, close and rename. Returns 0 or the errno value of the first step that
// failed, in which case nothing is left behind and an older file at the path is untouched.
int atomic_file_commit(struct atomic_file *file);

// What such an errno value means for an output file.
const char *atomic_file_reason(int code);

// Close and remove the file aside. Does nothing when the file is not open.
void atomic_file_abort(struct atomic_file *file);

// Remove all files aside that are open anywhere in the program. Safe in a signal handler.
void atomic_file_remove_all(void);
