// SPDX-License-Identifier: MIT
#include "study/inputs.h"

#include "answer/column.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { LIST_SIZE = 16384 };

// Items of a list, one after the other.
struct input_list {
    char text[LIST_SIZE];
    size_t used, count;
};

static void list_item(struct input_list *list, const char *item, char sign) {
    const size_t room = sizeof list->text - list->used;
    const int length =
        snprintf(list->text + list->used, room, "%s%s%c", list->count ? " " : "", item, sign);
    list->used += length > 0 && (size_t)length < room ? (size_t)length : 0;
    list->count++;
}

// The next row from `index` on that belongs to the build and comes from there.
static bool list_next(const struct scenario *scenario, size_t trim, enum provenance wanted,
                      size_t *index, struct scenario_entry *e) {
    while (scenario_provenance(scenario, trim, (*index)++, e)) {
        if (e->applies && e->provenance == wanted && strcmp(e->name, "teaches") != 0 &&
            strcmp(e->name, "title") != 0 && strcmp(e->section, "document") != 0) {
            return true;
        }
    }
    return false;
}

static size_t say_inputs(struct answer *answer, const struct scenario *scenario, size_t trim,
                         enum provenance wanted, const char *label) {
    struct input_list list = {.used = 0};
    struct scenario_entry e;
    for (size_t i = 0; list_next(scenario, trim, wanted, &i, &e);) {
        char item[256];
        const char *value = e.text ? e.text : "(see the field list)";
        // A rule has its own sign: "= of the altitude".
        snprintf(item, sizeof item, "%s%s%s %s%s", e.section, e.section[0] ? "." : "", e.name,
                 value[0] == '=' ? "" : "= ", value);
        list_item(&list, item, ';');
    }
    if (list.count > 0) {
        answer_label(answer, ANSWER_TALK, label, "%s", list.text);
    }
    return list.count;
}

// Sections stand together in the table, so one pass counts them.
static void count_defaults(struct answer *answer, const struct scenario *scenario, size_t trim) {
    struct input_list list = {.used = 0};
    struct scenario_entry e;
    size_t all = 0;
    size_t here = 0;
    const char *section = "";
    char item[96];
    bool more = true;
    for (size_t i = 0; more;) {
        more = list_next(scenario, trim, PROVENANCE_DEFAULT, &i, &e);
        if (here > 0 && (!more || strcmp(e.section, section) != 0)) {
            snprintf(item, sizeof item, "%s %zu", section[0] ? section : "top level", here);
            list_item(&list, item, ',');
            here = 0;
        }
        if (more) {
            section = e.section;
            here++;
            all++;
        }
    }
    if (all > 0) {
        answer_label(answer, ANSWER_TALK,
                     "left at the default: ", "%s %zu in all (--inputs lists them)", list.text,
                     all);
    }
}

void inputs_say(struct answer *answer, const struct scenario *scenario, size_t trim,
                bool everything) {
    answer_label(answer, ANSWER_TALK, "where the values come from", "%s", "");
    say_inputs(answer, scenario, trim, PROVENANCE_GIVEN, "given: ");
    const size_t guesses =
        say_inputs(answer, scenario, trim, PROVENANCE_GUESS, "guessed, so measure them: ");
    if (everything) {
        say_inputs(answer, scenario, trim, PROVENANCE_DEFAULT, "left at the default: ");
    } else {
        count_defaults(answer, scenario, trim);
    }
    if (guesses > 0) {
        answer_say(answer, ANSWER_TALK,
                   "The verdict is no better than its guesses: vary them before buying parts.");
    }
}

struct answer_table *inputs_table(struct answer *answer) {
    static const struct answer_column columns[] = {COLUMN_TRIM, COLUMN_WORD("field", "field"),
                                                   COLUMN_WORD("text", "text"),
                                                   COLUMN_WORD("source", "source")};
    struct answer_table *table =
        answer_table(answer, "inputs", NULL, columns, sizeof columns / sizeof columns[0]);
    table->hidden = ANSWER_TERMINAL | ANSWER_CSV;
    return table;
}

void inputs_rows(struct answer_table *table, const struct scenario *scenario, size_t trim,
                 const char *label) {
    static const char *const source[] = {[PROVENANCE_NONE] = NULL,
                                         [PROVENANCE_GIVEN] = "given",
                                         [PROVENANCE_GUESS] = "guess",
                                         [PROVENANCE_DEFAULT] = "default"};
    struct scenario_entry e;
    for (size_t i = 0; scenario_provenance(scenario, trim, i, &e); i++) {
        if (e.applies && source[e.provenance]) {
            answer_word(table, label);
            answer_words(table, "%s%s%s", e.section, e.section[0] ? "." : "", e.name);
            answer_word(table, e.text ? e.text : "");
            answer_word(table, source[e.provenance]);
        }
    }
}

void inputs_alike(struct answer *answer, const struct scenario *scenario, size_t a, size_t b) {
    if (a != b && scenario_trims_alike(scenario, a, b)) {
        const char *name = scenario_trim_name(scenario, b);
        answer_say(answer, ANSWER_WARNING,
                   "trims %s and %s are the same but for their names: trim.port, or what else told "
                   "them apart, is set for all trims; for one of them say trims.%s.port",
                   scenario_trim_name(scenario, a), name, name);
    }
}

void inputs_alike_all(struct answer *answer, const struct study_job *job) {
    for (size_t i = 1; i < job->trim_count; i++) {
        inputs_alike(answer, job->scenario, job->trim[i - 1], job->trim[i]);
    }
}
