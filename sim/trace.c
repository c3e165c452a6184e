// SPDX-License-Identifier: MIT
#include "trace.h"

#include <errno.h>
#include <math.h>
#include <string.h>

static void write_text(FILE *stream, const char *text) {
    if (strpbrk(text, ",\"\r\n") == NULL) {
        fputs(text, stream);
        return;
    }
    fputc('"', stream);
    for (; *text != '\0'; ++text) {
        if (*text == '"') {
            fputc('"', stream);
        }
        fputc(*text, stream);
    }
    fputc('"', stream);
}

static void write_header(struct trace *trace) {
    for (size_t i = 0; i < trace->count; ++i) {
        char title[256];
        const struct trace_column *column = &trace->columns[i];
        snprintf(title, sizeof title, column->unit[0] != '\0' ? "%s [%s]" : "%s", column->name,
                 column->unit);
        write_text(trace->file.stream, title);
        fputc(',', trace->file.stream);
    }
    fputs("event\r\n", trace->file.stream);
}

int trace_open(struct trace *trace, const char *path, const struct trace_column *columns,
               size_t count) {
    trace->columns = columns;
    trace->count = count;
    trace->locale = newlocale(LC_NUMERIC_MASK, "C", (locale_t)0);
    if (trace->locale == (locale_t)0) {
        return errno;
    }
    int code = atomic_file_open(&trace->file, path);
    if (code != 0) {
        freelocale(trace->locale);
        return code;
    }
    write_header(trace);
    return 0;
}

void trace_row(struct trace *trace, const double *values, const char *event) {
    FILE *stream = trace->file.stream;
    locale_t before = uselocale(trace->locale);
    for (size_t i = 0; i < trace->count; ++i) {
        const struct trace_column *column = &trace->columns[i];
        double value = column->factor * values[column->index] + column->offset;
        if (!isnan(value)) {
            fprintf(stream, "%.9g", value + 0.0); // + 0.0 takes the sign off a zero
        }
        fputc(',', stream);
    }
    uselocale(before);
    write_text(stream, event != NULL ? event : "");
    fputs("\r\n", stream);
}

int trace_close(struct trace *trace) {
    freelocale(trace->locale);
    return atomic_file_commit(&trace->file);
}

void trace_abort(struct trace *trace) {
    freelocale(trace->locale);
    atomic_file_abort(&trace->file);
}
