// SPDX-License-Identifier: MIT
// A measured record: two columns of a CSV file, `time [s],rate [MMscf/d]` in its first line, then
// plain numbers; or `date,rate [MMscf/d]`, then dates and numbers. Lines that begin with # are
// comments. Errors point into the CSV file.
#include "scenario/scenario_data.h"

#include "base/calendar.h"
#include "base/clean.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { CELL_SIZE = 96 };

struct record {
    struct scenario *scenario;
    const char *path;
    const char *label;
    struct diagnostics *out;
    bool dated;       // the first column holds dates
    char *cursor;     // start of the next line
    const char *line; // line at hand, ended by NUL
    int number;       // of that line
    char unit[2][UNIT_TOKEN_SIZE * 2];
    enum unit_kind kind[2];
};

const char *scenario_beside(struct arena *arena, const char *folder, const char *name) {
    return arena_format(arena, "%s%s", name[0] == '/' ? "" : folder, name);
}

// A record of a dumped scenario, as a copy to work in.
static char *record_dumped(const struct scenario *scenario, const char *path, size_t *length) {
    for (const struct scenario_file *file = scenario->files; file; file = file->next) {
        char *copy = strcmp(file->path, path) == 0 ? malloc(file->length + 1) : NULL;
        if (copy) {
            memcpy(copy, file->text, file->length + 1);
            *length = file->length;
            return copy;
        }
    }
    return NULL;
}

static char *record_text(const struct record *record, const char *path, size_t *length,
                         struct place place) {
    if (!record->scenario->dumped) {
        return scenario_read_file(path, SCENARIO_RECORD_MAX, length, place, record->out);
    }
    char *text = record_dumped(record->scenario, path, length);
    if (!text) {
        diagnostics_error(record->out, place, "cannot open '%.*s'", clean_whole(path, 300), path);
    }
    return text;
}

static void record_error(struct record *record, const char *at, const char *message,
                         const char *cell) {
    const struct place place = {record->path, record->number, (int)(at - record->line) + 1};
    diagnostics_error(record->out, place, "%s: found '%s'; %s", record->label,
                      scenario_shown(&record->scenario->memory, cell), message);
}

// Next line that is neither blank nor a comment; false at the end.
static bool record_line(struct record *record) {
    while (*record->cursor) {
        char *line = record->cursor;
        char *end = line + strcspn(line, "\n");
        record->cursor = *end ? end + 1 : end;
        *end = '\0';
        if (end > line && end[-1] == '\r') {
            end[-1] = '\0';
        }
        record->number++;
        record->line = line;
        if (line[0] != '#' && line[strspn(line, " \t")] != '\0') {
            return true;
        }
    }
    return false;
}

// Copies the cell at c without its blanks; returns what follows its comma, or NULL at the end.
static const char *record_cell(const char *c, char cell[CELL_SIZE], const char **start) {
    c += strspn(c, " \t");
    *start = c;
    size_t length = strcspn(c, ",");
    const char *next = c[length] == ',' ? c + length + 1 : NULL;
    while (length > 0 && (c[length - 1] == ' ' || c[length - 1] == '\t')) {
        length--;
    }
    // A cell too long to be a number is cut, and then refused as one.
    if (length >= CELL_SIZE) {
        length = CELL_SIZE - 1;
    }
    memcpy(cell, c, length);
    cell[length] = '\0';
    return next;
}

// What a scenario names as its record may be any file, which somebody named to see it: of one
// without the titles of a record nothing is repeated.
static void record_refuse(struct record *record, const char *at, const char *message) {
    const struct place place = {record->path, record->number, (int)(at - record->line) + 1};
    diagnostics_error(record->out, place, "%s: no record; %s", record->label, message);
}

// Takes the unit out of a column title such as "rate [MMscf/d]".
static bool record_title(struct record *record, size_t column, const char *start,
                         const char *cell) {
    if (record->dated && column == 0) {
        if (strcmp(cell, "date") == 0) {
            return true;
        }
        record_refuse(record, start, "the first line names the columns: date,rate [MMscf/d]");
        return false;
    }
    const char *open = strchr(cell, '[');
    const char *close = open ? strchr(open, ']') : NULL;
    if (!close || close[1] != '\0' || (size_t)(close - open) > sizeof record->unit[0]) {
        record_refuse(record, start,
                      "the first line names columns with units: time [s],rate [kg/h]");
        return false;
    }
    const size_t length = (size_t)(close - open) - 1;
    memcpy(record->unit[column], open + 1, length);
    record->unit[column][length] = '\0';
    char probe[CELL_SIZE];
    char message[UNIT_MESSAGE_SIZE];
    struct quantity quantity;
    snprintf(probe, sizeof probe, "1 %s", record->unit[column]);
    const char *error = units_parse(probe, record->kind[column], &quantity, message);
    if (error) {
        record_error(record, start, error, record->unit[column]);
    }
    return !error;
}

// The day as the value of the quantity, since no unit is needed.
static bool record_date(struct record *record, const char *start, const char *cell,
                        struct quantity *quantity) {
    char message[CALENDAR_MESSAGE_SIZE];
    long day;
    const char *error = calendar_parse(cell, &day, message);
    if (error) {
        record_error(record, start, error, cell);
        return false;
    }
    *quantity = units_quantity_si(UNIT_NONE, (double)day);
    return true;
}

static bool record_number(struct record *record, size_t column, const char *start, const char *cell,
                          struct quantity *quantity) {
    if (record->dated && column == 0) {
        return record_date(record, start, cell, quantity);
    }
    char text[CELL_SIZE + sizeof record->unit[0] + 2];
    char message[UNIT_MESSAGE_SIZE];
    struct quantity plain;
    const char *error = units_parse(cell, UNIT_NONE, &plain, message);
    if (!error) {
        snprintf(text, sizeof text, "%s %s", cell, record->unit[column]);
        error = units_parse(text, record->kind[column], quantity, message);
    }
    if (error) {
        record_error(record, start, error, cell);
    }
    return !error;
}

// Splits the line at hand into two cells and hands each to its reader.
static bool record_pair(struct record *record, struct quantity pair[2], bool title) {
    const char *c = record->line;
    for (size_t column = 0; column < 2; column++) {
        char cell[CELL_SIZE];
        const char *start;
        const char *next = record_cell(c, cell, &start);
        if ((column == 0) != (next != NULL)) {
            if (title) {
                record_refuse(record, start, "two columns allowed");
            } else {
                record_error(record, start, "two columns allowed", record->line);
            }
            return false;
        }
        if (title ? !record_title(record, column, start, cell)
                  : !record_number(record, column, start, cell, &pair[column])) {
            return false;
        }
        c = next;
    }
    return true;
}

static bool record_read(struct record *record, struct schedule_input *input, size_t lines) {
    struct quantity pair[2];
    if (!record_line(record)) {
        diagnostics_error(record->out, (struct place){record->path, 1, 1},
                          "%s: the record is empty", record->label);
        return false;
    }
    if (!record_pair(record, pair, true)) {
        return false;
    }
    struct arena *memory = &record->scenario->memory;
    input->shape = SHAPE_POINTS;
    input->time = arena_alloc(memory, lines * sizeof *input->time);
    input->value = arena_alloc(memory, lines * sizeof *input->value);
    if (!input->time || !input->value) {
        diagnostics_no_memory(record->out);
        return false;
    }
    while (record_line(record)) {
        if (!record_pair(record, pair, false)) {
            return false;
        }
        if (input->count > 0 && pair[0].value < input->time[input->count - 1]) {
            record_error(record, record->line, "times must not fall", record->line);
            return false;
        }
        input->time[input->count] = pair[0].value;
        input->value[input->count++] = pair[1];
    }
    if (input->count > 0) {
        return true;
    }
    diagnostics_error(record->out, (struct place){record->path, record->number, 1},
                      "%s: the record has no numbers", record->label);
    return false;
}

static bool record_open(struct record *record, const char *name, struct place place,
                        struct schedule_input *input) {
    struct scenario *scenario = record->scenario;
    struct diagnostics *out = record->out;
    const char *path = scenario_beside(&scenario->memory, scenario->folder, name);
    size_t length = 0;
    char *text = record_text(record, path, &length, place);
    if (!text) {
        return false;
    }
    bool fine = yaml_text_check(path, text, length, 0, out);
    if (fine) {
        size_t lines = 1;
        for (size_t i = 0; i < length; i++) {
            lines += text[i] == '\n';
        }
        // A byte order mark of a spreadsheet is not part of the first title.
        const size_t mark = strncmp(text, "\xef\xbb\xbf", 3) == 0 ? 3 : 0;
        record->path = path;
        record->cursor = text + mark;
        fine = record_read(record, input, lines);
    }
    free(text);
    return fine;
}

bool scenario_read_record(struct scenario *scenario, const char *label, enum unit_kind kind,
                          const struct yaml_node *node, struct schedule_input *input,
                          struct diagnostics *out) {
    if (node->kind != YAML_SCALAR || node->text[0] == '\0') {
        diagnostics_error(out, node->place, "%s.record: allowed the name of a CSV file", label);
        return false;
    }
    struct record record = {.scenario = scenario, .label = label, .out = out};
    record.kind[0] = UNIT_TIME;
    record.kind[1] = kind;
    return record_open(&record, node->text, node->place, input);
}

bool scenario_read_dated_record(struct scenario *scenario, const char *label, const char *name,
                                struct place place, struct schedule_input *input,
                                struct diagnostics *out) {
    struct record record = {.scenario = scenario, .label = label, .out = out, .dated = true};
    record.kind[1] = UNIT_FLOW;
    return record_open(&record, name, place, input);
}
