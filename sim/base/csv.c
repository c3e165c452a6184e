// SPDX-License-Identifier: MIT
#include "base/csv.h"

#include "base/clean.h"
#include "base/decimal.h"

#include <math.h>
#include <string.h>

int csv_open(struct csv *csv, const char *path) {
    csv->row_begun = false;
    return atomic_file_open(&csv->file, path);
}

static void begin_field(struct csv *csv) {
    if (csv->row_begun) {
        fputc(',', csv->file.stream);
    }
    csv->row_begun = true;
}

void csv_text(struct csv *csv, const char *text) {
    FILE *stream = csv->file.stream;
    begin_field(csv);
    if (!strpbrk(text, ",\"\r\n")) {
        clean_put(stream, CLEAN_CSV, text);
        return;
    }
    fputc('"', stream);
    clean_put(stream, CLEAN_CSV, text);
    fputc('"', stream);
}

void csv_heading(struct csv *csv, const char *name, const char *unit) {
    char title[256];
    snprintf(title, sizeof title, unit[0] != '\0' ? "%s [%s]" : "%s", name, unit);
    csv_text(csv, title);
}

void csv_number(struct csv *csv, double value) {
    begin_field(csv);
    if (isfinite(value)) {
        struct decimal decimal = decimal_begin();
        fprintf(csv->file.stream, "%.9g", value + 0.0); // + 0.0 takes the sign off a zero
        decimal_end(decimal);
    }
}

void csv_end_row(struct csv *csv) {
    fputs("\r\n", csv->file.stream);
    csv->row_begun = false;
}

int csv_close(struct csv *csv) {
    return atomic_file_commit(&csv->file);
}
