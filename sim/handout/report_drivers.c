// SPDX-License-Identifier: MIT
#include "handout/report_drivers.h"

#include "show/html_page.h"
#include "steady/driver.h"

#include <string.h>

// Of the table of drivers, as stability_answer lays it out.
enum { TRIM, FROZEN, WORDS, GROWTH, COLUMNS_MAX = 8 };

static bool begins_trim(const struct answer_cell *cell) {
    return strcmp(cell[FROZEN].text, driver_name(DRIVER_NONE)) == 0;
}

static const char *words_of(struct answer *own, const struct answer_table *table, size_t first,
                            struct answer_cell *room) {
    const char *text = "";
    for (size_t i = first + 1; i < table->rows; i++) {
        const struct answer_cell *cell = answer_row(table, i, room);
        if (begins_trim(cell)) {
            break;
        }
        // Without any gain nothing can swing: that tells nothing.
        const bool opens = strcmp(cell[FROZEN].text, driver_name(DRIVER_CAPACITY_GAIN)) == 0;
        if (cell[GROWTH].number < 0.0 && !opens) {
            text = answer_keep(own, "%s%s if %s", text, text[0] ? ", or" : "", cell[WORDS].text);
        }
    }
    return text;
}

void report_drivers_words(FILE *out, struct answer *own, const struct answer *stability) {
    const struct answer_table *table = stability->table;
    while (table && strcmp(table->key, "drivers") != 0) {
        table = table->next;
    }
    if (!table || table->columns > COLUMNS_MAX) {
        return;
    }
    struct answer_cell room[COLUMNS_MAX];
    for (size_t i = 0; i < table->rows; i++) {
        const struct answer_cell *cell = answer_row(table, i, room);
        if (!begins_trim(cell) || !(cell[GROWTH].number > 0.0)) {
            continue;
        }
        const char *trim = cell[TRIM].text;
        const char *text = words_of(own, table, i, room);
        fputs("<p class=\"finding\"><b>", out);
        html_page_text(out, answer_keep(own, "What drives trim %s:", trim));
        fputs("</b> ", out);
        html_page_text(out, text[0] ? answer_keep(own,
                                                  "its small swings grow, and would die out%s. "
                                                  "These drive the motion.",
                                                  text)
                                    : "its small swings grow, whichever of these is frozen alone.");
        fputs("</p>\n", out);
    }
}
