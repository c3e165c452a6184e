// SPDX-License-Identifier: MIT
#include "show/trace.h"

#include <math.h>

static void write_header(struct trace *trace) {
    for (size_t i = 0; i < trace->count; ++i) {
        csv_heading(&trace->csv, trace->columns[i].name, trace->columns[i].unit);
    }
    csv_text(&trace->csv, "event");
    csv_end_row(&trace->csv);
}

int trace_open(struct trace *trace, const char *path, const struct trace_column *columns,
               size_t count) {
    trace->columns = columns;
    trace->count = count;
    int code = csv_open(&trace->csv, path);
    if (code == 0) {
        write_header(trace);
    }
    return code;
}

void trace_row(struct trace *trace, const double *values, const char *event) {
    for (size_t i = 0; i < trace->count; ++i) {
        const struct trace_column *column = &trace->columns[i];
        double value = column->factor * values[column->index] + column->offset;
        if (isinf(value)) { // which a table leaves empty
            csv_text(&trace->csv, value > 0.0 ? "inf" : "-inf");
        } else {
            csv_number(&trace->csv, value);
        }
    }
    csv_text(&trace->csv, event != NULL ? event : "");
    csv_end_row(&trace->csv);
}

int trace_close(struct trace *trace) {
    return csv_close(&trace->csv);
}
