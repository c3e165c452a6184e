// SPDX-License-Identifier: MIT
// The record of a run as a table: samples in order, both sides of each event before the first later
// sample, and what happened in a last column. The numbers stay in the simulation.
#pragma once

#include "answer/answer.h"
#include "run/simulate.h"

// Event of the last row of a run that was cut short.
#define TRACE_STOPPED "stopped"

struct trace_table {
    const struct simulation *run;
    struct trace_row *row;
    int channel[CHANNEL_COUNT]; // those that the build has
    size_t channels;
};

// Add the table, written to FOLDER/file.csv alone. The trace and the simulation must outlive the
// answer. Free with trace_table_free whatever the outcome.
void trace_table_add(struct answer *answer, const struct simulation *run, const char *file,
                     struct trace_table *trace);
void trace_table_free(struct trace_table *trace);
