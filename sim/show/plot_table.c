// SPDX-License-Identifier: MIT
#include "show/plot_table.h"

#include "base/clean.h"

#include <math.h>

enum { NAME_SIZE = 512 };

// A text in quotes: a quote inside would end it, a backslash begin an escape.
static void write_name(FILE *stream, const char *name) {
    char clean[NAME_SIZE];
    clean_text(CLEAN_PICTURE, name, clean, sizeof clean);
    putc('"', stream);
    for (const char *at = clean; *at != '\0'; at++) {
        putc(*at == '"' ? '\'' : *at == '\\' ? '/' : *at, stream);
    }
    putc('"', stream);
}

static void write_row(FILE *stream, const struct picture_data *data, size_t row) {
    const char *name = data->name[row];
    if (name) {
        write_name(stream, name);
    }
    for (size_t column = 0; column < data->columns; column++) {
        const double value = data->value[row * data->columns + column];
        const char *before = column > 0 || name ? " " : "";
        if (isfinite(value)) {
            fprintf(stream, "%s%.9g", before, value);
        } else {
            fprintf(stream, "%sNaN", before);
        }
    }
    putc('\n', stream);
}

bool plot_table_write(FILE *stream, const struct picture_data *data) {
    bool after_break = false;
    for (size_t row = 0; row < data->rows; row++) {
        const bool gap = picture_is_break(data, row);
        const bool next_set = picture_is_next_set(data, row);
        if (next_set) {
            fputs(after_break ? "\n" : "\n\n", stream);
        } else if (gap && !after_break) {
            putc('\n', stream); // a second empty line would begin another data set
        } else if (!gap) {
            write_row(stream, data, row);
        }
        after_break = gap || next_set;
        if (data->block > 0 && (row + 1) % data->block == 0) {
            putc('\n', stream);
        }
    }
    return ferror(stream) == 0;
}
