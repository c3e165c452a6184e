// SPDX-License-Identifier: MIT
#include "study/trace_table.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum row_of { ROW_SAMPLE, ROW_BEFORE, ROW_AFTER }; // a sample, or one side of an event

struct trace_row {
    enum row_of what;
    size_t at;
    const char *event; // NULL: none
};

static size_t add(struct trace_table *trace, size_t rows, enum row_of what, size_t at,
                  const char *event) {
    trace->row[rows].what = what;
    trace->row[rows].at = at;
    trace->row[rows].event = event;
    return rows + 1;
}

// In the order of time; their number.
static size_t list_rows(struct trace_table *trace) {
    const struct simulation *s = trace->run;
    size_t rows = 0;
    size_t event = 0;
    for (size_t i = 0; i <= s->count; i++) {
        const double time = i < s->count ? (double)i * s->step : (double)INFINITY;
        for (; event < s->event_count && s->event[event].time < time; event++) {
            rows = add(trace, rows, ROW_BEFORE, event, NULL);
            rows = add(trace, rows, ROW_AFTER, event, s->event[event].name);
        }
        if (i < s->count) {
            rows = add(trace, rows, ROW_SAMPLE, i, NULL);
        }
    }
    if (s->outcome != SIMULATION_DONE && rows > 0) {
        struct trace_row *last = &trace->row[rows - 1];
        if (last->event) {
            rows = add(trace, rows, last->what, last->at, TRACE_STOPPED);
        } else {
            last->event = TRACE_STOPPED;
        }
    }
    return rows;
}

static void fill(const void *context, size_t row, struct answer_cell *cell) {
    const struct trace_table *trace = context;
    const struct simulation *s = trace->run;
    const struct trace_row *r = &trace->row[row];
    const struct simulation_event *e = r->what == ROW_SAMPLE ? NULL : &s->event[r->at];
    cell[0] = (struct answer_cell){e ? e->time : (double)r->at * s->step, NULL};
    for (size_t c = 0; c < trace->channels; c++) {
        const int k = trace->channel[c];
        const double value = !e                      ? s->channel[k][r->at]
                             : r->what == ROW_BEFORE ? e->before[k]
                                                     : e->after[k];
        cell[c + 1] = (struct answer_cell){value, NULL};
    }
    cell[trace->channels + 1] = (struct answer_cell){(double)NAN, r->event};
}

void trace_table_add(struct answer *answer, const struct simulation *run, const char *file,
                     struct trace_table *trace) {
    memset(trace, 0, sizeof *trace);
    trace->run = run;
    trace->row = calloc(run->count + 2 * run->event_count + 2, sizeof *trace->row);
    struct answer_column *column = answer_columns(answer, CHANNEL_COUNT + 2);
    if (!trace->row || !column) {
        answer->failed = true;
        return;
    }
    column[0] = (struct answer_column){.key = "time", .name = "time", .unit = "s"};
    for (int k = 0; k < CHANNEL_COUNT; k++) {
        const struct channel_row *row = channel_row((enum channel)k);
        if (channel_applies(&run->start.regulator, (enum channel)k)) {
            trace->channel[trace->channels++] = k;
            column[trace->channels] =
                (struct answer_column){.key = row->name, .name = row->name, .kind = row->kind};
        }
    }
    column[trace->channels + 1] =
        (struct answer_column){.key = "event", .name = "event", .form = ANSWER_WORD};
    struct answer_table *table = answer_table(answer, "trace", NULL, column, trace->channels + 2);
    table->file = answer_keep(answer, "%s", file);
    table->hidden = ANSWER_TERMINAL | ANSWER_JSON;
    table->rows = list_rows(trace);
    table->fill = fill;
    table->context = trace;
}

void trace_table_free(struct trace_table *trace) {
    free(trace->row);
    trace->row = NULL;
}
