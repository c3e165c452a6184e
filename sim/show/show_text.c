// SPDX-License-Identifier: MIT
// An answer on a terminal: its lines wrapped, its tables in columns that fit what is in them.
#include "base/clean.h"
#include "base/wrap.h"
#include "show/show.h"

#include <stdlib.h>
#include <string.h>

enum { TEXT_SIZE = 128, INDENT = 2, NAME_MOST = 46, COLUMNS_MAX = 64 };

// Letters that a text takes on a terminal: bytes but those that continue a letter of UTF-8.
static int width_of(const char *text) {
    int width = 0;
    for (; *text; text++) {
        width += ((unsigned char)*text & 0xC0) != 0x80;
    }
    return width;
}

// A cell as a terminal may be shown it.
static void cell_text(const struct answer *answer, const struct answer_column *column,
                      const struct answer_cell *cell, bool with_unit, char text[TEXT_SIZE]) {
    char raw[TEXT_SIZE];
    answer_cell_text(answer, column, cell, with_unit, raw, sizeof raw);
    clean_text(CLEAN_TERMINAL, raw, text, TEXT_SIZE);
}

static void put_padded(FILE *out, const char *text, int width, bool right) {
    const int blanks = width > width_of(text) ? width - width_of(text) : 0;
    fprintf(out, "%*s%s%*s", right ? blanks : 0, "", text, right ? 0 : blanks, "");
}

static bool is_right(const struct answer_column *column) {
    return column->form == ANSWER_QUANTITY || column->form == ANSWER_COUNT;
}

// --- A line a row

static bool is_shown(const struct answer_column *column) {
    return !(column->hidden & ANSWER_TERMINAL);
}

// A heading stands on as many lines as its words need in the width of its column, its unit last.
static void heading_of(const struct answer *answer, const struct answer_column *column,
                       char text[TEXT_SIZE]) {
    char unit[ANSWER_UNIT_SIZE];
    char name[TEXT_SIZE];
    answer_column_unit(answer, column, unit);
    clean_text(CLEAN_TERMINAL, column->name, name, TEXT_SIZE - ANSWER_UNIT_SIZE - 4);
    snprintf(text, TEXT_SIZE, unit[0] ? "%s [%s]" : "%s", name, unit);
}

static int longest_word(const char *text) {
    int longest = 0;
    while (*text) {
        const int length = (int)strcspn(text, " ");
        longest = length > longest ? length : longest;
        text += length + (int)strspn(text + length, " ");
    }
    return longest;
}

// The next line of a heading, moved past; false when there is none.
static bool heading_line(const char **text, int width, char line[TEXT_SIZE]) {
    size_t used = 0;
    while (**text) {
        const size_t length = strcspn(*text, " ");
        if (used > 0 && used + 1 + length > (size_t)width) {
            break;
        }
        used += (size_t)snprintf(line + used, TEXT_SIZE - used, "%s%.*s", used > 0 ? " " : "",
                                 (int)length, *text);
        *text += length + strspn(*text + length, " ");
    }
    return used > 0;
}

static void measure_rows(const struct answer *answer, const struct answer_table *table,
                         struct answer_cell *room, int width[COLUMNS_MAX]) {
    char text[TEXT_SIZE];
    for (size_t c = 0; c < table->columns; c++) {
        heading_of(answer, &table->column[c], text);
        width[c] = longest_word(text);
    }
    for (size_t r = 0; r < table->rows; r++) {
        const struct answer_cell *cell = answer_row(table, r, room);
        for (size_t c = 0; c < table->columns; c++) {
            cell_text(answer, &table->column[c], &cell[c], false, text);
            width[c] = width_of(text) > width[c] ? width_of(text) : width[c];
        }
    }
}

// No blanks at the end of a line: a text in the last column stands as it is.
static size_t last_shown(const struct answer_table *table) {
    size_t last = 0;
    for (size_t c = 0; c < table->columns; c++) {
        last = is_shown(&table->column[c]) ? c : last;
    }
    return last;
}

static void print_headings(FILE *out, const struct answer *answer, const struct answer_table *table,
                           const int width[COLUMNS_MAX]) {
    char whole[COLUMNS_MAX][TEXT_SIZE];
    const char *rest[COLUMNS_MAX];
    for (size_t c = 0; c < table->columns; c++) {
        heading_of(answer, &table->column[c], whole[c]);
        rest[c] = is_shown(&table->column[c]) ? whole[c] : "";
    }
    char line[COLUMNS_MAX][TEXT_SIZE];
    while (true) {
        size_t filled = 0; // columns up to the last that has something on this line
        for (size_t c = 0; c < table->columns; c++) {
            line[c][0] = '\0';
            filled = heading_line(&rest[c], width[c], line[c]) ? c + 1 : filled;
        }
        if (filled == 0) {
            return;
        }
        for (size_t c = 0; c < filled; c++) {
            const bool right = is_right(&table->column[c]);
            if (is_shown(&table->column[c])) {
                fprintf(out, "  ");
                put_padded(out, line[c], c + 1 == filled && !right ? 0 : width[c], right);
            }
        }
        fputc('\n', out);
    }
}

static void print_rows(FILE *out, const struct answer *answer, const struct answer_table *table,
                       struct answer_cell *room) {
    int width[COLUMNS_MAX] = {0};
    char text[TEXT_SIZE];
    const size_t last = last_shown(table);
    measure_rows(answer, table, room, width);
    print_headings(out, answer, table, width);
    for (size_t r = 0; r < table->rows; r++) {
        const struct answer_cell *cell = answer_row(table, r, room);
        for (size_t c = 0; c <= last; c++) {
            const struct answer_column *column = &table->column[c];
            if (is_shown(column)) {
                cell_text(answer, column, &cell[c], false, text);
                fprintf(out, "  ");
                put_padded(out, text, c == last && !is_right(column) ? 0 : width[c],
                           is_right(column));
            }
        }
        fputc('\n', out);
    }
}

// --- Rows beside each other, a line each column

static bool any_cell(const struct answer *answer, const struct answer_table *table, size_t c,
                     struct answer_cell *room) {
    char text[TEXT_SIZE];
    for (size_t r = 0; r < table->rows; r++) {
        const struct answer_cell *cell = answer_row(table, r, room);
        cell_text(answer, &table->column[c], &cell[c], true, text);
        if (strcmp(text, "-") != 0) {
            return true;
        }
    }
    return false;
}

static int name_width(const struct answer_table *table) {
    int width = 0;
    for (size_t c = 0; c < table->columns; c++) {
        const int own = width_of(table->column[c].name);
        width = is_shown(&table->column[c]) && own > width ? own : width;
    }
    return width < NAME_MOST ? width : NAME_MOST;
}

static void print_side_by_side(FILE *out, const struct answer *answer,
                               const struct answer_table *table, struct answer_cell *room) {
    char text[TEXT_SIZE];
    int width[COLUMNS_MAX] = {0};
    for (size_t r = 0; r < table->rows; r++) {
        const struct answer_cell *cell = answer_row(table, r, room);
        for (size_t c = 0; c < table->columns; c++) {
            cell_text(answer, &table->column[c], &cell[c], true, text);
            width[r % COLUMNS_MAX] =
                is_shown(&table->column[c]) && width_of(text) > width[r % COLUMNS_MAX]
                    ? width_of(text)
                    : width[r % COLUMNS_MAX];
        }
    }
    const int names = name_width(table);
    const char *group = NULL;
    for (size_t c = 0; c < table->columns; c++) {
        const struct answer_column *column = &table->column[c];
        if (!is_shown(column) || !any_cell(answer, table, c, room)) {
            continue;
        }
        if (table->rows == 1 && column->group && (!group || strcmp(group, column->group) != 0)) {
            group = column->group;
            clean_say(out, "  %s", group);
        }
        fprintf(out, "%*s", group ? 2 * INDENT : INDENT, "");
        put_padded(out, column->name, names, false);
        for (size_t r = 0; r < table->rows; r++) {
            const struct answer_cell *cell = answer_row(table, r, room);
            cell_text(answer, column, &cell[c], true, text);
            fprintf(out, "  ");
            // One subject alone stands beside its names.
            put_padded(out, text, table->rows == 1 ? 0 : width[r % COLUMNS_MAX], true);
        }
        fputc('\n', out);
    }
}

static void print_table(FILE *out, const struct answer *answer, const struct answer_table *table) {
    struct answer_cell *room = calloc(table->columns ? table->columns : 1, sizeof *room);
    if (!room || table->columns > COLUMNS_MAX || table->rows == 0) {
        free(room);
        return;
    }
    if (table->title) {
        clean_say(out, "  %s", table->title);
    }
    if (table->layout == ANSWER_ROWS) {
        print_rows(out, answer, table, room);
    } else {
        print_side_by_side(out, answer, table, room);
    }
    free(room);
}

// --- Lines

static void print_line(FILE *out, const struct answer_item *item, const char *mark) {
    char label[TEXT_SIZE];
    if (item->kind == ANSWER_HEADING || item->kind == ANSWER_BRIEF) {
        wrap_print(out, 0, item->label ? item->label : "", item->text);
        return;
    }
    snprintf(label, sizeof label, "%s%s", mark, item->label ? item->label : "");
    wrap_print(out, INDENT, label, item->text);
}

static void print_fact(FILE *out, const struct answer *answer, const struct answer_item *item) {
    char text[TEXT_SIZE];
    cell_text(answer, item->column, &item->cell, true, text);
    clean_say(out, "  %s: %s", item->column->name, text);
}

static void print_item(FILE *out, const struct answer *answer, const struct answer_item *item) {
    switch (item->kind) {
    case ANSWER_TABLE:
        print_table(out, answer, item->table);
        break;
    case ANSWER_FACT:
        print_fact(out, answer, item);
        break;
    case ANSWER_NOTE:
        print_line(out, item, "note: ");
        break;
    case ANSWER_WARNING:
        print_line(out, item, "WARNING: ");
        break;
    default:
        print_line(out, item, "");
        break;
    }
}

// Whether an item is said; `brief` when only brief ones are.
static bool is_said(const struct answer_item *item, bool quiet, bool brief) {
    switch (item->kind) {
    case ANSWER_TABLE:
        return !brief && !(item->table->hidden & ANSWER_TERMINAL) && item->table->rows > 0;
    case ANSWER_FACT:
        return !brief && is_shown(item->column);
    case ANSWER_TALK:
        return !quiet;
    case ANSWER_BRIEF:
        return brief;
    default:
        return !brief;
    }
}

// Where nothing stands between two gaps there is one, and none at the end.
void show_text(FILE *out, const struct answer *answer, bool quiet) {
    bool gap = false;
    bool brief = false;
    for (const struct answer_item *item = answer->item; item; item = item->next) {
        brief = brief || (quiet && item->kind == ANSWER_BRIEF);
    }
    for (const struct answer_item *item = answer->item; item; item = item->next) {
        if (item->kind == ANSWER_GAP) {
            gap = true;
        } else if (is_said(item, quiet, brief)) {
            fputs(gap ? "\n" : "", out);
            gap = false;
            print_item(out, answer, item);
        }
    }
}
