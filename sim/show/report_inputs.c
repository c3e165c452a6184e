// SPDX-License-Identifier: MIT
// Where the values of a scenario come from. What was given or guessed stands in full; defaults, of
// which there are many, are only counted unless asked for.
#include "show/report.h"

#include <string.h>

enum { LINE_MAX_WIDTH = 98 };

// Items of a list, wrapped.
struct input_list {
    FILE *out;
    size_t count;
    size_t width;
};

static void list_item(struct input_list *list, const char *label, const char *item, char sign) {
    const size_t length = strlen(item) + 2;
    if (list->count++ == 0) {
        fprintf(list->out, "  %s:", label);
        list->width = strlen(label) + 3;
    }
    if (list->width + length > LINE_MAX_WIDTH) {
        fprintf(list->out, "\n     ");
        list->width = 5;
    }
    fprintf(list->out, " %s%c", item, sign);
    list->width += length;
}

// The next row from `index` on that belongs to the build and comes from there.
static bool list_next(const struct scenario *scenario, size_t trim, enum provenance wanted,
                      size_t *index, struct scenario_entry *e) {
    while (scenario_provenance(scenario, trim, (*index)++, e)) {
        if (e->applies && e->provenance == wanted && strcmp(e->name, "teaches") != 0 &&
            strcmp(e->name, "title") != 0) {
            return true;
        }
    }
    return false;
}

static size_t list_inputs(FILE *out, const struct scenario *scenario, size_t trim,
                          enum provenance wanted, const char *label) {
    struct input_list list = {.out = out};
    struct scenario_entry e;
    for (size_t i = 0; list_next(scenario, trim, wanted, &i, &e);) {
        char item[256];
        const char *value = e.text ? e.text : "(see the field list)";
        // A rule has its own sign: "= of the altitude".
        snprintf(item, sizeof item, "%s%s%s %s%s", e.section, e.section[0] ? "." : "", e.name,
                 value[0] == '=' ? "" : "= ", value);
        list_item(&list, label, item, ';');
    }
    if (list.count > 0) {
        fputc('\n', out);
    }
    return list.count;
}

// Sections stand together in the table, so one pass counts them.
static void count_defaults(FILE *out, const struct scenario *scenario, size_t trim) {
    struct input_list list = {.out = out};
    struct scenario_entry e;
    size_t all = 0, here = 0;
    const char *section = "";
    char item[96];
    bool more = true;
    for (size_t i = 0; more;) {
        more = list_next(scenario, trim, PROVENANCE_DEFAULT, &i, &e);
        if (here > 0 && (!more || strcmp(e.section, section) != 0)) {
            snprintf(item, sizeof item, "%s %zu", section[0] ? section : "top level", here);
            list_item(&list, "left at the default", item, ',');
            here = 0;
        }
        if (more) {
            section = e.section;
            ++here;
            ++all;
        }
    }
    if (all > 0) {
        snprintf(item, sizeof item, "%zu in all (--inputs lists them)", all);
        list_item(&list, "left at the default", item, '\n');
    }
}

void report_inputs(FILE *out, const struct scenario *scenario, size_t trim, bool everything) {
    fprintf(out, "where the values come from\n");
    list_inputs(out, scenario, trim, PROVENANCE_GIVEN, "given");
    size_t guesses = list_inputs(out, scenario, trim, PROVENANCE_GUESS, "guessed, so measure them");
    if (everything) {
        list_inputs(out, scenario, trim, PROVENANCE_DEFAULT, "left at the default");
    } else {
        count_defaults(out, scenario, trim);
    }
    if (guesses > 0) {
        fprintf(out,
                "  The verdict is no better than its guesses: vary them before buying parts.\n");
    }
}
