// SPDX-License-Identifier: MIT
// Numbers as a data file for gnuplot.
#pragma once

#include "answer/picture.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

// One data file of numbers. A value that is not finite is written as NaN, which a script skips; a
// row of nothing else (without name, outside blocks) as an empty line, at which lines break.
struct plot_table {
    size_t rows, columns;
    const double *value;     // row after row
    size_t block;            // rows after which an empty line comes, as surfaces need; 0: none
    const char *const *name; // one text a row, in quotes as its first column; NULL: none
};

// Returns false when writing failed.
bool plot_table_write(FILE *stream, const struct plot_table *table);
bool plot_table_write_data(FILE *stream, const struct picture_data *data);
