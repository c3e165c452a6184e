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
