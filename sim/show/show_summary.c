// SPDX-License-Identifier: MIT
// An answer as JSON: what made it, its facts, its tables row by row under their keys, and what is
// said of them.
#include "base/atomic_file.h"
#include "show/json_text.h"
#include "show/show.h"

#include <jansson.h>

#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

// Nine digits say all that the tolerances carry, and are the same on every machine.
#define SUMMARY_DIGITS 9

static json_t *cell_json(const struct answer *answer, const struct answer_column *column,
                         const struct answer_cell *cell) {
    const double number = answer_cell_number(answer, column, cell);
    char unit[ANSWER_UNIT_SIZE];
    answer_column_unit(answer, column, unit);
    if (column->form == ANSWER_WORD) {
        return cell->text ? json_text(cell->text) : json_null();
    }
    if (column->form == ANSWER_FLAG) {
        return isnan(number) ? json_null() : json_boolean(number != 0.0);
    }
    if (column->form == ANSWER_COUNT) {
        return isfinite(number) ? json_integer((json_int_t)number) : json_null();
    }
    json_t *value = isfinite(number) ? json_real(number) : json_null();
    return unit[0] ? json_pack("{s:o, s:s}", "value", value, "unit", unit) : value;
}

static bool set(json_t *object, const char *key, json_t *value) {
    return json_object_set_new(object, key, value) == 0; // takes a missing value for a failure
}

static json_t *row_json(const struct answer *answer, const struct answer_table *table,
                        const struct answer_cell *cell) {
    json_t *row = json_object();
    bool fine = row != NULL;
    for (size_t c = 0; c < table->columns && fine; c++) {
        const struct answer_column *column = &table->column[c];
        if (!(column->hidden & ANSWER_JSON)) {
            fine = set(row, column->key, cell_json(answer, column, &cell[c]));
        }
    }
    if (!fine) {
        json_decref(row);
    }
    return fine ? row : NULL;
}

static bool add_table(json_t *document, const struct answer *answer,
                      const struct answer_table *table) {
    struct answer_cell *room = calloc(table->columns ? table->columns : 1, sizeof *room);
    json_t *rows = json_array();
    bool fine = room && rows;
    for (size_t r = 0; r < table->rows && fine; r++) {
        fine =
            json_array_append_new(rows, row_json(answer, table, answer_row(table, r, room))) == 0;
    }
    free(room);
    if (!fine) {
        json_decref(rows);
        return false;
    }
    return set(document, table->key[0] ? table->key : "rows", rows);
}

static bool add_text(json_t *document, const char *list, const struct answer_item *item) {
    json_t *all = json_object_get(document, list);
    if (!all) {
        all = json_array();
        if (!set(document, list, all)) {
            return false;
        }
    }
    // What is said of one subject begins with its name.
    char text[2048];
    snprintf(text, sizeof text, "%s%s", item->label ? item->label : "", item->text);
    return json_array_append_new(all, json_text(text)) == 0;
}

static bool add_item(json_t *document, const struct answer *answer,
                     const struct answer_item *item) {
    switch (item->kind) {
    case ANSWER_FACT:
        return item->column->hidden & ANSWER_JSON ||
               set(document, item->column->key, cell_json(answer, item->column, &item->cell));
    case ANSWER_NOTE:
        return add_text(document, "notes", item);
    case ANSWER_FINDING:
        return add_text(document, "findings", item);
    case ANSWER_WARNING:
        return add_text(document, "warnings", item);
    case ANSWER_TABLE:
        return item->table->hidden & ANSWER_JSON || add_table(document, answer, item->table);
    default:
        return true;
    }
}

static json_t *document_of(const struct answer *answer, const struct destination *to) {
    json_t *document = json_pack("{s:s, s:s, s:s, s:o, s:o}", "program", "lowlift", "version",
                                 LOWLIFT_VERSION, "command", to->command, "scenario",
                                 json_text(answer->scenario), "title", json_text(answer->title));
    bool fine = document != NULL;
    for (const struct answer_item *item = answer->item; item && fine; item = item->next) {
        fine = add_item(document, answer, item);
    }
    if (!fine) {
        json_decref(document);
    }
    return fine ? document : NULL;
}

bool show_summary(const struct answer *answer, const struct destination *to) {
    char path[DESTINATION_PATH_SIZE];
    if (!destination_path(to, to->stem, "json", path)) {
        return false;
    }
    json_t *document = document_of(answer, to);
    if (!document) {
        return destination_fail(to, path, "out of memory");
    }
    struct atomic_file file;
    int error = atomic_file_open(&file, path);
    const size_t flags = JSON_INDENT(2) | JSON_ENSURE_ASCII | JSON_REAL_PRECISION(SUMMARY_DIGITS);
    if (error == 0 && json_dumpf(document, file.stream, flags) != 0 && !ferror(file.stream)) {
        error = ENOMEM;
        atomic_file_abort(&file);
    } else if (error == 0) {
        fputc('\n', file.stream);
        error = atomic_file_commit(&file);
    }
    json_decref(document);
    if (error != 0) {
        return destination_fail(to, path, atomic_file_reason(error));
    }
    destination_say(to, path);
    return true;
}
