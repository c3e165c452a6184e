// SPDX-License-Identifier: MIT
// A file of draws, checked against its scenario.
#include "study/draws.h"

#include "base/clean.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { BYTES_MAX = 64 << 20, COLUMNS_MAX = 256 };

// By how much the weights of a file that a person has rounded may miss 1.
#define SUM_TOLERANCE 1e-6

struct reader {
    const char *path;
    const struct scenario *scenario;
    struct draws *out;
    struct diagnostics *list;
    const char *cursor;
    int line;
    size_t cells; // of the row at hand
    size_t first; // that means a field: after the weight, and the worth if it stands there
    const char *cell[COLUMNS_MAX];
    int column[COLUMNS_MAX];
    bool *fine; // [field_count]: the column means a field
};

static struct place place_of(const struct reader *r, size_t cell) {
    return (struct place){r->path, r->line, cell < r->cells ? r->column[cell] : 1};
}

// One cell from the cursor on, which is left at what ends it; quotes are taken off, blanks at the
// ends too.
static const char *read_cell(struct reader *r) {
    const char *start = r->cursor + strspn(r->cursor, " \t");
    struct arena *memory = &r->out->memory;
    if (*start != '"') {
        const char *end = start + strcspn(start, ",\r\n");
        r->cursor = end;
        while (end > start && isspace((unsigned char)end[-1])) {
            end--;
        }
        return arena_copy(memory, start, (size_t)(end - start));
    }
    const char *end = ++start;
    while (*end && *end != '\n' && (*end != '"' || end[1] == '"')) {
        end += *end == '"' ? 2 : 1;
    }
    char *text = arena_alloc(memory, (size_t)(end - start) + 1);
    for (size_t k = 0; text && start < end; start += *start == '"' ? 2 : 1) {
        text[k++] = *start;
    }
    r->cursor = end + strcspn(end, ",\r\n");
    return text ? text : "";
}

// Next row that is not empty; false at the end.
static bool read_row(struct reader *r) {
    for (;;) {
        const char *begin = r->cursor;
        if (*begin == '\0') {
            return false;
        }
        r->line++;
        r->cells = 0;
        if (begin[strspn(begin, " \t\r")] == '\n') {
            r->cursor = strchr(begin, '\n') + 1;
            continue;
        }
        while (r->cells < COLUMNS_MAX) {
            r->column[r->cells] = (int)(r->cursor + strspn(r->cursor, " \t") - begin) + 1;
            r->cell[r->cells] = read_cell(r);
            r->cells++;
            if (*r->cursor != ',') {
                break;
            }
            r->cursor++;
        }
        r->cursor += strcspn(r->cursor, "\n");
        r->cursor += *r->cursor == '\n';
        return true;
    }
}

static size_t count_rows(const char *text) {
    size_t rows = 0;
    for (const char *c = text; *c; c++) {
        rows += *c == '\n';
    }
    return rows + 1;
}

// Passes on, at another place, what a scenario says of a value.
static void pass_on(const struct reader *r, struct diagnostics *said, struct place place) {
    diagnostics_sort(said);
    for (size_t i = 0; i < said->count; i++) {
        if (said->items[i].severity == DIAGNOSTIC_ERROR) {
            diagnostics_error(r->list, place, "%s", said->items[i].message);
            break;
        }
    }
    if (said->no_memory) {
        diagnostics_no_memory(r->list);
    }
}

// Whether a path is a field that this scenario's build has.
static bool has_field(const struct reader *r, size_t cell) {
    const char *path = r->cell[cell];
    size_t trim = 0;
    const size_t row = scenario_find(r->scenario, path, &trim);
    struct scenario_entry entry;
    if (row == field_count()) {
        struct diagnostics said = {0};
        struct scenario *copy = scenario_copy(r->scenario);
        struct arena memory = {0};
        if (copy && !scenario_change(copy, arena_format(&memory, "%s=0", path), &said)) {
            pass_on(r, &said, place_of(r, cell));
        }
        arena_free(&memory);
        diagnostics_free(&said);
        scenario_free(copy);
        return false;
    }
    trim = trim < scenario_trim_count(r->scenario) ? trim : 0;
    if (!scenario_provenance(r->scenario, trim, row, &entry) || !entry.applies) {
        diagnostics_error(r->list, place_of(r, cell), "%s: this scenario's regulator has none",
                          path);
        return false;
    }
    return true;
}

static bool read_header(struct reader *r) {
    struct draws *out = r->out;
    if (!read_row(r) || r->cells == COLUMNS_MAX || strcmp(r->cell[0], "weight") != 0) {
        // What another file holds is not repeated.
        diagnostics_error(r->list, (struct place){r->path, 1, 1},
                          "no file of draws; allowed a header of `weight` and names of fields");
        return false;
    }
    r->first = r->cells > 1 && strcmp(r->cell[1], "worth") == 0 ? 2 : 1;
    out->field_count = r->cells - r->first;
    out->field = arena_alloc(&out->memory, r->cells * sizeof *out->field);
    r->fine = arena_alloc(&out->memory, r->cells * sizeof *r->fine);
    if (!out->field || !r->fine) {
        return false;
    }
    for (size_t i = 0; i < out->field_count; i++) {
        const char *own = r->cell[i + r->first];
        out->field[i] = own;
        r->fine[i] = has_field(r, i + r->first);
        for (size_t k = 0; k < i; k++) {
            const char *other = r->cell[k + r->first];
            if (own && other && strcmp(own, other) == 0) {
                diagnostics_error(r->list, place_of(r, i + r->first), "%s: stands in two columns",
                                  out->field[i]);
            }
        }
    }
    return !out->memory.failed;
}

static void read_weight(struct reader *r, double *weight) {
    struct quantity number;
    char message[UNIT_MESSAGE_SIZE];
    if (units_parse(r->cell[0], UNIT_NONE, &number, message) || !(number.value >= 0.0)) {
        diagnostics_error(r->list, place_of(r, 0), "weight: found '%.*s'; allowed 0 or more",
                          clean_whole(r->cell[0], 40), r->cell[0]);
        return;
    }
    *weight = number.value;
    if (r->first == 1) {
        return;
    }
    double *worth = &r->out->worth;
    if (units_parse(r->cell[1], UNIT_NONE, &number, message) || !(number.value > 0.0) ||
        (*worth > 0.0 && *worth != number.value)) {
        diagnostics_error(r->list, place_of(r, 1),
                          "worth: found '%.*s'; allowed a number above 0, the same in each row",
                          clean_whole(r->cell[1], 40), r->cell[1]);
        return;
    }
    *worth = number.value;
}

// Numbers are read once for all; for everything else the scenario's own reader is asked each time.
static void read_cells(struct reader *r, struct draws_cell *cells, struct scenario *copy) {
    struct draws *out = r->out;
    for (size_t i = 0; i < out->field_count; i++) {
        struct draws_cell *cell = &cells[i];
        size_t trim;
        cell->text = r->cell[i + r->first];
        const struct field *field =
            r->fine[i] ? field_at(scenario_find(r->scenario, out->field[i], &trim)) : NULL;
        if (!field) {
            continue; // said once, at the header
        }
        char message[UNIT_MESSAGE_SIZE];
        const bool number = field->type == FIELD_NUMBER || field->type == FIELD_SCHEDULE;
        cell->number = number && !units_parse(cell->text, field->kind, &cell->quantity, message);
        if (cell->number && scenario_set_quantity(copy, out->field[i], &cell->quantity)) {
            continue;
        }
        struct diagnostics said = {0};
        const char *assignment = arena_format(&out->memory, "%s=%s", out->field[i], cell->text);
        if (!scenario_change(copy, assignment, &said)) {
            pass_on(r, &said, place_of(r, i + r->first));
        }
        diagnostics_free(&said);
    }
}

// What is wrong with a draw as a whole, for every trim: out of range, or contradictory. Empty when
// some trim resolves.
static void resolve_row(const struct scenario *copy, struct diagnostics *said) {
    bool fine = false;
    for (size_t i = 0; i < scenario_trim_count(copy) && !fine; i++) {
        struct diagnostics later = {0};
        struct scenario_case resolved;
        fine = scenario_resolve(copy, i, &resolved, i == 0 ? said : &later);
        scenario_case_free(&resolved);
        diagnostics_free(&later);
    }
    if (fine) {
        diagnostics_free(said);
        *said = (struct diagnostics){0};
    }
}

// Column of the field that a message begins with, else the first.
static size_t column_of(const struct reader *r, const char *message) {
    size_t trim;
    for (size_t i = 0; i < r->out->field_count; i++) {
        const struct field *field = field_at(scenario_find(r->scenario, r->out->field[i], &trim));
        if (!field) { // which the header's own message told of
            continue;
        }
        struct arena memory = {0};
        const char *label = arena_format(&memory, "%s.%s:", field->section, field->name);
        const bool found = strncmp(message, label, strlen(label)) == 0;
        arena_free(&memory);
        if (found) {
            return i + r->first;
        }
    }
    return 0;
}

// The row once more, from its texts, so that the message shows what was written.
static void check_row(struct reader *r, const struct draws_cell *cells,
                      const struct scenario *copy) {
    struct diagnostics said = {0};
    resolve_row(copy, &said);
    struct scenario *again = said.errors > 0 ? scenario_copy(r->scenario) : NULL;
    if (again) {
        diagnostics_free(&said);
        said = (struct diagnostics){0};
        for (size_t i = 0; i < r->out->field_count; i++) {
            if (!r->fine[i]) {
                continue; // said once, at the header
            }
            scenario_change(again,
                            arena_format(&r->out->memory, "%s=%s", r->out->field[i], cells[i].text),
                            &said);
        }
        resolve_row(again, &said);
        diagnostics_sort(&said);
        pass_on(r, &said, place_of(r, said.count > 0 ? column_of(r, said.items[0].message) : 0));
    }
    scenario_free(again);
    diagnostics_free(&said);
}

static void read_draw(struct reader *r) {
    struct draws *out = r->out;
    const size_t i = out->count++, errors = r->list->errors;
    if (r->cells != out->field_count + r->first) {
        diagnostics_error(r->list, (struct place){r->path, r->line, 1},
                          "found %zu cells; allowed as many as the header has, %zu", r->cells,
                          out->field_count + r->first);
        return;
    }
    struct scenario *copy = scenario_copy(r->scenario);
    if (!copy) {
        diagnostics_no_memory(r->list);
        return;
    }
    read_weight(r, &out->weight[i]);
    read_cells(r, &out->cell[i * out->field_count], copy);
    if (r->list->errors == errors) {
        check_row(r, &out->cell[i * out->field_count], copy);
    }
    scenario_free(copy);
}

static void check_sum(struct reader *r) {
    const struct draws *out = r->out;
    double sum = 0.0;
    for (size_t i = 0; i < out->count; i++) {
        sum += out->weight[i];
    }
    if (out->count == 0) {
        diagnostics_error(r->list, (struct place){r->path, 0, 0},
                          "has no rows; allowed one a draw");
    } else if (r->list->errors == 0 && !(fabs(sum - 1.0) <= SUM_TOLERANCE)) {
        diagnostics_error(r->list, (struct place){r->path, 0, 0},
                          "weight: sums to %.9g over all rows; allowed 1", sum);
    }
}

bool draws_read(const char *path, const struct scenario *scenario, struct draws *out,
                struct diagnostics *list) {
    memset(out, 0, sizeof *out);
    struct reader *r = calloc(1, sizeof *r);
    size_t length;
    if (!r) {
        diagnostics_no_memory(list);
        return false;
    }
    *r = (struct reader){.path = path, .scenario = scenario, .out = out, .list = list};
    const size_t errors = list->errors;
    char *text = scenario_read_file(path, BYTES_MAX, &length, (struct place){path, 0, 0}, list);
    // A mark of byte order is no text.
    r->cursor = text && strncmp(text, "\xef\xbb\xbf", 3) == 0 ? text + 3 : text;
    if (text && read_header(r)) {
        const size_t rows = count_rows(r->cursor);
        out->weight = arena_alloc(&out->memory, rows * sizeof *out->weight);
        out->cell = arena_alloc(&out->memory, (rows * out->field_count + 1) * sizeof *out->cell);
        while (!out->memory.failed && read_row(r)) {
            read_draw(r);
        }
        check_sum(r);
    }
    if (out->memory.failed) {
        diagnostics_no_memory(list);
    }
    free(text);
    free(r);
    return list->errors == errors && !out->memory.failed && !list->no_memory;
}
