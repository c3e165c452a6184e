// SPDX-License-Identifier: MIT
// A trace read back, so that tests can compare what was written with what was meant.
#pragma once

#include "base/arena.h"

#include <stdbool.h>
#include <stddef.h>

struct trace_table {
    struct arena memory;
    size_t columns; // of numbers, without `event`
    size_t rows;
    const char **name;  // [columns], without the unit
    const char **unit;  // [columns]
    double *value;      // [rows][columns], in the units of the file; NaN for an empty field
    const char **event; // [rows], empty text for none
};

// Read a trace back. Returns false with a message of one line in `message`; nothing is then to be
// freed.
bool trace_read(const char *path, struct trace_table *table, char *message, size_t message_size);

void trace_table_free(struct trace_table *table);
