// SPDX-License-Identifier: MIT
#include "show/html_answer.h"

#include "show/html_page.h"
#include "show/html_text.h"
#include "show/plot_script.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

enum { TEXT_SIZE = 1024, COLUMNS_MAX = 64 };

static bool is_shown(const struct answer_column *column) {
    return !(column->hidden & ANSWER_TERMINAL);
}

static bool is_number(const struct answer_column *column) {
    return column->form == ANSWER_QUANTITY || column->form == ANSWER_COUNT;
}

static void element(FILE *out, const char *begin, const char *text, const char *end) {
    fputs(begin, out);
    html_page_text(out, text);
    fputs(end, out);
}

// A cell; a text as long as it is, which a terminal would cut.
static void put_cell(FILE *out, const struct answer *answer, const struct answer_column *column,
                     const struct answer_cell *cell, bool with_unit) {
    char text[TEXT_SIZE];
    fputs(is_number(column) ? "<td class=\"number\">" : "<td>", out);
    if (column->form == ANSWER_WORD && cell->text) {
        html_page_text(out, cell->text);
    } else {
        answer_cell_text(answer, column, cell, with_unit, text, sizeof text);
        html_page_text(out, text);
    }
    fputs("</td>", out);
}

// --- A line a row

// A column of words that nobody filled only takes room.
static bool is_told(const struct answer_table *table, size_t c, struct answer_cell *room) {
    const struct answer_column *column = &table->column[c];
    bool told = column->form != ANSWER_WORD;
    for (size_t r = 0; r < table->rows && !told; r++) {
        const char *text = answer_row(table, r, room)[c].text;
        told = text && text[0];
    }
    return told && is_shown(column);
}

static void put_rows(FILE *out, const struct answer *answer, const struct answer_table *table,
                     struct answer_cell *room) {
    fputs("<thead><tr>", out);
    for (size_t c = 0; c < table->columns; c++) {
        const struct answer_column *column = &table->column[c];
        char unit[ANSWER_UNIT_SIZE];
        if (is_told(table, c, room)) {
            answer_column_unit(answer, column, unit);
            element(out,
                    is_number(column) ? "<th scope=\"col\" class=\"number\">"
                                      : "<th scope=\"col\">",
                    column->name, "");
            if (unit[0]) {
                element(out, " [", unit, "]");
            }
            fputs("</th>", out);
        }
    }
    fputs("</tr></thead><tbody>\n", out);
    bool told[COLUMNS_MAX] = {false};
    assert(table->columns <= COLUMNS_MAX);
    for (size_t c = 0; c < table->columns; c++) {
        told[c] = is_told(table, c, room);
    }
    for (size_t r = 0; r < table->rows; r++) {
        const struct answer_cell *cell = answer_row(table, r, room);
        fputs("<tr>", out);
        for (size_t c = 0; c < table->columns; c++) {
            if (told[c]) {
                put_cell(out, answer, &table->column[c], &cell[c], false);
            }
        }
        fputs("</tr>\n", out);
    }
    fputs("</tbody>", out);
}

// --- Rows beside each other, a line each column

static bool any_cell(const struct answer *answer, const struct answer_table *table, size_t c,
                     struct answer_cell *room) {
    char text[TEXT_SIZE];
    for (size_t r = 0; r < table->rows; r++) {
        const struct answer_cell *cell = answer_row(table, r, room);
        answer_cell_text(answer, &table->column[c], &cell[c], true, text, sizeof text);
        if (strcmp(text, "-") != 0) {
            return true;
        }
    }
    return false;
}

static void put_side_by_side(FILE *out, const struct answer *answer,
                             const struct answer_table *table, struct answer_cell *room) {
    const char *group = NULL;
    bool first = true; // names what stands beside each other, again on each page
    fputs(table->rows > 1 ? "<thead>\n" : "<tbody>\n", out);
    for (size_t c = 0; c < table->columns; c++) {
        const struct answer_column *column = &table->column[c];
        if (!is_shown(column) || !any_cell(answer, table, c, room)) {
            continue;
        }
        if (column->group && (!group || strcmp(group, column->group) != 0)) {
            group = column->group;
            fprintf(out, "<tr><th class=\"group\" colspan=\"%zu\">", table->rows + 1);
            element(out, "", group, "</th></tr>\n");
        }
        fputs(first && table->rows > 1 ? "<tr class=\"first\">" : "<tr>", out);
        element(out, "<th scope=\"row\">", column->name, "</th>");
        for (size_t r = 0; r < table->rows; r++) {
            put_cell(out, answer, column, &answer_row(table, r, room)[c], true);
        }
        fputs(first && table->rows > 1 ? "</tr></thead><tbody>\n" : "</tr>\n", out);
        first = false;
    }
    fputs(first && table->rows > 1 ? "</thead>" : "</tbody>", out);
}

static bool put_table(FILE *out, const struct answer *answer, const struct answer_table *table) {
    struct answer_cell *room = calloc(table->columns ? table->columns : 1, sizeof *room);
    const bool any = room && table->rows > 0 &&
                     (table->layout == ANSWER_SIDE_BY_SIDE || table->columns <= COLUMNS_MAX);
    if (any) {
        fprintf(out, "<div class=\"scroll\"><table class=\"%s\" data-table=\"%s\">",
                table->layout == ANSWER_ROWS ? "rows" : "beside", table->key);
        if (table->title) {
            element(out, "<caption>", table->title, "</caption>");
        }
        (table->layout == ANSWER_ROWS ? put_rows : put_side_by_side)(out, answer, table, room);
        fputs("</table></div>\n", out);
    }
    free(room);
    return any;
}

bool html_answer_table(FILE *out, const struct answer *answer, const char *key) {
    for (const struct answer_table *t = answer->table; t; t = t->next) {
        if (strcmp(t->key, key) == 0) {
            return put_table(out, answer, t);
        }
    }
    return false;
}

// --- Lines

static void put_text(FILE *out, const struct answer_item *item) {
    if (item->label) {
        element(out, "<b>", item->label, "</b> ");
    }
    html_page_text(out, item->text);
}

static void put_line(FILE *out, const struct answer_item *item, const char *kind,
                     const char *mark) {
    fprintf(out, "<p class=\"%s\">%s", kind, mark);
    put_text(out, item);
    fputs("</p>\n", out);
}

static void put_item(FILE *out, const struct answer *answer, const struct answer_item *item,
                     int level) {
    char text[TEXT_SIZE];
    switch (item->kind) {
    case ANSWER_HEADING:
        fprintf(out, "<h%d>", level);
        put_text(out, item);
        fprintf(out, "</h%d>\n", level);
        break;
    case ANSWER_TABLE:
        if (!(item->table->hidden & ANSWER_TERMINAL)) {
            put_table(out, answer, item->table);
        }
        break;
    case ANSWER_FACT:
        if (is_shown(item->column)) {
            answer_cell_text(answer, item->column, &item->cell, true, text, sizeof text);
            element(out, "<p class=\"fact\"><b>", item->column->name, ":</b> ");
            element(out, "", text, "</p>\n");
        }
        break;
    case ANSWER_NOTE:
        put_line(out, item, "remark", "<b>note:</b> ");
        break;
    case ANSWER_WARNING:
        put_line(out, item, "warning", "<b>WARNING:</b> ");
        break;
    case ANSWER_FINDING:
        put_line(out, item, "finding", "");
        break;
    case ANSWER_LINE:
        put_line(out, item, "said", "");
        break;
    default: // gaps and talk are the terminal's
        break;
    }
}

void html_answer_items(FILE *out, const struct answer *answer, int level) {
    for (const struct answer_item *item = answer->item; item; item = item->next) {
        // The page has the scenario's title already.
        const bool title =
            item->kind == ANSWER_HEADING && answer->title && strcmp(item->text, answer->title) == 0;
        if (!title) {
            put_item(out, answer, item, level);
        }
    }
}

bool html_answer_lines(FILE *out, const struct answer *answer, enum answer_kind kind) {
    size_t count = 0;
    for (const struct answer_item *item = answer->item; item; item = item->next) {
        count += item->kind == kind;
    }
    // One alone needs no list.
    fputs(count > 1 ? "<ul>\n" : "", out);
    for (const struct answer_item *item = answer->item; item; item = item->next) {
        if (item->kind == kind) {
            fputs(count > 1 ? "<li>" : "<p>", out);
            put_text(out, item);
            fputs(count > 1 ? "</li>\n" : "</p>\n", out);
        }
    }
    fputs(count > 1 ? "</ul>\n" : "", out);
    return count > 0;
}

// Those of one kind as one text, as many as fit whole.
static size_t join(const struct answer *answer, enum answer_kind kind, char *text, size_t size) {
    size_t used = 0;
    for (const struct answer_item *item = answer->item; item; item = item->next) {
        const char *label = item->label ? item->label : "";
        if (item->kind == kind && used + strlen(label) + strlen(item->text) + 3 < size) {
            used += (size_t)snprintf(text + used, size - used, "%s%s%s", used ? "; " : "", label,
                                     item->text);
        }
    }
    return used;
}

void html_answer_brief(const struct answer *answer, char *text, size_t size) {
    text[0] = '\0';
    if (join(answer, ANSWER_BRIEF, text, size) == 0) {
        join(answer, ANSWER_FINDING, text, size);
    }
}

// --- The picture

static void put_alternative(FILE *out, const struct picture *picture) {
    html_page_text(out, picture->heading ? picture->heading : "picture");
    for (size_t i = 0; i < picture->titles; i++) {
        fputs(i ? "; " : ": ", out);
        html_page_text(out, picture->title[i]);
    }
    for (size_t i = 0; i < picture->labels; i++) {
        fputs(i ? ", " : ". Axes and labels: ", out);
        html_page_text(out, picture->label[i]);
    }
}

// As an image of its own: nothing in it can run, load or name a part of the page.
bool html_answer_picture(FILE *out, const struct answer *answer, char *message,
                         size_t message_size) {
    size_t length = 0;
    if (!answer->picture.script) {
        return true;
    }
    char *text = plot_script_text(&answer->picture, &length, message, message_size);
    if (!text) {
        return false;
    }
    fputs("<figure><div class=\"scroll\"><img alt=\"", out);
    put_alternative(out, &answer->picture);
    fputs("\" src=\"data:image/svg+xml;base64,", out);
    html_text_base64(out, text, length);
    fputs("\"></div></figure>\n", out);
    free(text);
    return true;
}
