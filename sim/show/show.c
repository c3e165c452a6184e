// SPDX-License-Identifier: MIT
#include "show/show.h"

#include "base/csv.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

void show_cautions(FILE *out) {
    fputs("A model, not a test on site. Pressure stays trapped in chambers and lines, springs are\n"
          "under load, plugs pinch, and gas may carry H2S: isolate, vent and prove zero before\n"
          "opening anything. The maker's manual, local codes and licensed practice come first.\n"
          "lowlift sizes no relief device.\n",
          out);
}

// --- Tables as CSV

static void write_cell(struct csv *csv, const struct answer_column *column,
                       const struct units_scale *scale, const struct answer_cell *cell) {
    if (column->form == ANSWER_WORD) {
        csv_text(csv, cell->text ? cell->text : "");
    } else if (column->form == ANSWER_FLAG) {
        csv_text(csv, isnan(cell->number) ? "" : cell->number != 0.0 ? "yes" : "no");
    } else if (isinf(cell->number)) {
        csv_text(csv, cell->number > 0.0 ? "inf" : "-inf");
    } else {
        csv_number(csv, units_scale_number(scale, cell->number));
    }
}

static void write_rows(struct csv *csv, const struct answer *answer,
                       const struct answer_table *table, struct answer_cell *room,
                       struct units_scale *scale) {
    for (size_t c = 0; c < table->columns; c++) {
        char unit[ANSWER_UNIT_SIZE];
        answer_column_unit(answer, &table->column[c], unit);
        scale[c] = answer_column_scale(answer, &table->column[c]);
        if (!(table->column[c].hidden & ANSWER_CSV)) {
            csv_heading(csv, table->column[c].name, unit);
        }
    }
    csv_end_row(csv);
    for (size_t r = 0; r < table->rows; r++) {
        const struct answer_cell *cell = answer_row(table, r, room);
        for (size_t c = 0; c < table->columns; c++) {
            if (!(table->column[c].hidden & ANSWER_CSV)) {
                write_cell(csv, &table->column[c], &scale[c], &cell[c]);
            }
        }
        csv_end_row(csv);
    }
}

static bool write_table(const struct answer *answer, const struct answer_table *table,
                        const struct destination *to) {
    char path[DESTINATION_PATH_SIZE];
    char ending[96];
    snprintf(ending, sizeof ending, "%s%scsv", table->file ? "" : table->key,
             table->file || !table->key[0] ? "" : ".");
    if (!destination_path(to, table->file ? table->file : to->stem, ending, path)) {
        return false;
    }
    struct csv csv;
    struct answer_cell *room = calloc(table->columns, sizeof *room);
    struct units_scale *scale = calloc(table->columns, sizeof *scale);
    const bool there = room && scale;
    int error = csv_open(&csv, path);
    if (there && error == 0) {
        write_rows(&csv, answer, table, room, scale);
    }
    free(room);
    free(scale);
    if (!there || error != 0) {
        return destination_fail(to, path, there ? atomic_file_reason(error) : "out of memory");
    }
    error = csv_close(&csv);
    if (error != 0) {
        return destination_fail(to, path, atomic_file_reason(error));
    }
    destination_say(to, path);
    return true;
}

bool show_tables(const struct answer *answer, const struct destination *to) {
    bool fine = true;
    for (const struct answer_table *t = answer->table; t && fine; t = t->next) {
        fine = t->hidden & ANSWER_CSV || write_table(answer, t, to);
    }
    return fine;
}

// --- All of it

bool show_answer(const struct answer *answer, const struct destination *to) {
    char stem[DESTINATION_PATH_SIZE]; // never cut: two answers would share a name
    struct destination named = *to;
    snprintf(stem, sizeof stem, "%s%s%s", to->stem,
             answer->variant && answer->variant[0] ? "." : "",
             answer->variant ? answer->variant : "");
    named.stem = stem;
    if (answer->failed) {
        return destination_fail(to, "the answer", "out of memory");
    }
    show_text(stdout, answer, to->quiet);
    const bool drawn = answer->picture.script && (to->picture || to->sketch);
    const bool written = to->files || (drawn && to->picture);
    const int held = written ? destination_hold(to) : 0;
    bool fine = held >= 0;
    if (fine && to->files) {
        fine = show_tables(answer, &named) && show_summary(answer, &named);
    }
    if (fine && drawn) {
        fine = show_picture(answer, &named);
    }
    if (written && held >= 0) {
        destination_let_go(held);
    }
    if (fine && answer->cautions && !to->quiet) {
        show_cautions(stdout);
    }
    return fine;
}
