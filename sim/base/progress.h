// SPDX-License-Identifier: MIT
// How far long work is and how long it will still take, on one line of a terminal. Silent when
// standard error is no terminal.
#pragma once

#include <stdbool.h>
#include <stddef.h>

struct progress {
    bool shown;
    const char *label;
    size_t count, done;   // of all
    size_t at_start;      // done before this run
    double started, last; // [s]
    int width;            // of the line on the screen
};

// NULL as a label shows nothing.
struct progress progress_start(const char *label, size_t count, size_t done);
// One more is done. To be called by one thread at a time.
void progress_step(struct progress *progress);
// Clear the line.
void progress_end(struct progress *progress);

// "5 s", "3 min", "2 h 10 min".
void progress_duration(double seconds, char *text, size_t size);
