// SPDX-License-Identifier: MIT
// A table as a CSV file (RFC 4180), field by field: texts and numbers in any order, numbers written
// the same way in every locale. trace.h builds the record of a run on it.
#pragma once

#include "base/atomic_file.h"

struct csv {
    struct atomic_file file;
    bool row_begun;
};

// Open. Returns 0 or an errno value.
int csv_open(struct csv *csv, const char *path);

// One field. Errors of the disk are kept and reported by csv_close.
void csv_text(struct csv *csv, const char *text);
// "name [unit]", or the name alone without a unit.
void csv_heading(struct csv *csv, const char *name, const char *unit);
// Nine digits; an empty field for what is not a number.
void csv_number(struct csv *csv, double value);

void csv_end_row(struct csv *csv);

// Finish: the file appears. Returns 0 or an errno value, after which there is no new file.
int csv_close(struct csv *csv);
