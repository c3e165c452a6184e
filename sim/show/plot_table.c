// SPDX-License-Identifier: MIT
#include "show/plot_table.h"

#include <math.h>

// A text in quotes: a quote inside would end it, a backslash begin an escape.
static void write_name(FILE *stream, const char *name) {
    putc('"', stream);
    for (; *name != '\0'; ++name) {
        putc(*name == '"'                  ? '\''
             : *name == '\\'               ? '/'
             : (unsigned char)*name < 0x20 ? ' '
                                           : *name,
             stream);
    }
    putc('"', stream);
}

static bool is_gap(const struct plot_table *table, size_t row) {
    for (size_t column = 0; column < table->columns; ++column) {
        if (isfinite(table->value[row * table->columns + column])) {
            return false;
        }
    }
    return table->name == NULL && table->block == 0;
}

static void write_row(FILE *stream, const struct plot_table *table, size_t row) {
    if (table->name != NULL) {
        write_name(stream, table->name[row]);
    }
    for (size_t column = 0; column < table->columns; ++column) {
        double value = table->value[row * table->columns + column];
        const char *before = column > 0 || table->name != NULL ? " " : "";
        if (isfinite(value)) {
            fprintf(stream, "%s%.9g", before, value);
        } else {
            fprintf(stream, "%sNaN", before);
        }
    }
}

bool plot_table_write(FILE *stream, const struct plot_table *table) {
    for (size_t row = 0; row < table->rows; ++row) {
        bool gap = is_gap(table, row);
        if (gap && row > 0 && is_gap(table, row - 1)) {
            continue; // two empty lines would begin another data set
        }
        if (!gap) {
            write_row(stream, table, row);
        }
        putc('\n', stream);
        if (table->block > 0 && (row + 1) % table->block == 0) {
            putc('\n', stream);
        }
    }
    return ferror(stream) == 0;
}

bool plot_table_write_data(FILE *stream, const struct picture_data *data) {
    bool after_break = false;
    for (size_t row = 0; row < data->rows; row++) {
        const bool gap = picture_is_break(data, row);
        const bool next_set = picture_is_next_set(data, row);
        if (next_set) {
            fputs(after_break ? "\n" : "\n\n", stream);
        } else if (gap && !after_break) {
            putc('\n', stream); // a second empty line would begin another data set
        } else if (!gap) {
            const struct plot_table one = {.rows = 1,
                                           .columns = data->columns,
                                           .value = &data->value[row * data->columns],
                                           .name = data->name[row] ? &data->name[row] : NULL};
            write_row(stream, &one, 0);
            putc('\n', stream);
        }
        after_break = gap || next_set;
        if (data->block > 0 && (row + 1) % data->block == 0) {
            putc('\n', stream);
        }
    }
    return ferror(stream) == 0;
}
