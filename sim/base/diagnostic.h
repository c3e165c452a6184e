// SPDX-License-Identifier: MIT
// Messages about what a user wrote, each with its place. They are collected, sorted by place and
// printed once, so that one pass over a file shows everything that is wrong with it.
#pragma once

#include "base/arena.h"

#include <stdbool.h>
#include <stdio.h>

struct place {
    const char *file; // as it is to be printed
    int line;         // from 1; 0: the file as a whole
    int column;       // from 1
};

enum diagnostic_severity { DIAGNOSTIC_ERROR, DIAGNOSTIC_WARNING };

struct diagnostic {
    struct place place;
    enum diagnostic_severity severity;
    const char *message;
};

struct diagnostics {
    struct arena memory;
    struct diagnostic *items;
    size_t count;
    size_t capacity;
    size_t errors;
    bool no_memory; // something could not be kept or done for lack of memory: an error too
};

// An empty list is all zero bytes: struct diagnostics list = {0}.

// Adds an error or a warning. The same text at the same place is kept once.
void diagnostics_error(struct diagnostics *list, struct place place, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
void diagnostics_warn(struct diagnostics *list, struct place place, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

// Adds lack of memory to the errors, which takes no memory.
void diagnostics_no_memory(struct diagnostics *list);

// Leaves of a list what it held when it had so many items and errors; memory was not lacking.
void diagnostics_forget(struct diagnostics *list, size_t count, size_t errors);

// Orders by file (in order of first appearance), line and column; stable.
void diagnostics_sort(struct diagnostics *list);

// Writes one line each, `file:line:column: message`, sorted, at most DIAGNOSTICS_SHOWN of them, and
// last whether memory was lacking.
enum { DIAGNOSTICS_SHOWN = 50 };
void diagnostics_print(struct diagnostics *list, FILE *out);

void diagnostics_free(struct diagnostics *list);
