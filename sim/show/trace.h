// SPDX-License-Identifier: MIT
// The record of a run as a CSV file (RFC 4180): a header of `name [unit]` columns and a last column
// `event`. The numbers are written the same way in every locale. A jump has a row for each of its
// sides, with equal time. What is not a number is an empty field.
#pragma once

#include "base/csv.h"

struct trace_column {
    const char *name; // such as "controlled pressure"
    const char *unit; // such as "psig"; empty: no unit
    double factor;    // written value = factor * SI value + offset
    double offset;
    size_t index; // of the SI value in the array given to trace_row
};

struct trace {
    struct csv csv;
    const struct trace_column *columns; // owned by the caller, who keeps them until the end
    size_t count;
};

// Open and write the header. Returns 0 or an errno value.
int trace_open(struct trace *trace, const char *path, const struct trace_column *columns,
               size_t count);

// Write one row. `event` may be NULL. Errors of the disk are kept and reported by trace_close.
void trace_row(struct trace *trace, const double *values, const char *event);

// Finish: the file appears. Returns 0 or an errno value, after which there is no new file.
int trace_close(struct trace *trace);

// Event of the last row of a run that was cut short.
#define TRACE_STOPPED "stopped"
