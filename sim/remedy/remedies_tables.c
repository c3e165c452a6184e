// SPDX-License-Identifier: MIT
// Tables and picture of remedies.
#include "answer/column.h"
#include "answer/picture.h"
#include "field/field.h"
#include "remedy/remedies_words.h"

#include <math.h>

// --- What comes of a try

// Flows are passed up to the stop here, and looked at up to a highest: not the largest flow that a
// trim is relied on for.
#define COLUMN_HIGHEST_FLOW COLUMN_OF("highest_flow_passed", "highest flow passed", UNIT_FLOW)

// A table whose last columns tell what comes of a try, the steady flows in the words of what was
// asked: kicked, or left alone.
static struct answer_table *table_of(struct answer *answer, const char *key,
                                     const struct answer_column *own, size_t count, bool kicked) {
    static const struct answer_column lowest[] = {COLUMN_LOWEST_ALONE, COLUMN_LOWEST_KICKED};
    const struct answer_column result[] = {
        COLUMN_VERDICT,      COLUMN_PRESSURE_SWING, COLUMN_HIGHEST_PRESSURE, COLUMN_SEAT_RATE,
        COLUMN_STEADY_RANGE, lowest[kicked],        COLUMN_HIGHEST_FLOW};
    const size_t results = sizeof result / sizeof result[0];
    struct answer_column *all = arena_alloc(&answer->memory, (count + results) * sizeof *all);
    for (size_t i = 0; i < count + results; i++) {
        all[i] = i < count ? own[i] : result[i - count];
    }
    return answer_table(answer, key, NULL, all, count + results);
}

static void put_result(struct answer_table *table, const struct remedies_try *attempt) {
    const double *row = attempt->row;
    answer_word(table, severity_outcome_name((size_t)row[SEVERITY_OUTCOME]));
    answer_put(table, row[SEVERITY_SWING]);
    answer_put(table, row[SEVERITY_PEAK]);
    answer_put(table, row[SEVERITY_CONTACTS]);
    answer_word(table, remedies_words_range_name(attempt));
    answer_put(table, row[REMEDIES_LOWEST]);
    answer_put(table, row[REMEDIES_TOP]);
}

// --- Tables

static void put_try(struct answer_table *table, const struct remedies *r, const char *name,
                    const struct remedies_entry *entry, size_t index) {
    const struct remedies_try *attempt = &r->tries[index];
    answer_word(table, name);
    answer_flag(table, entry && entry->parts);
    answer_flag(table, !entry || index == entry->best);
    answer_word(table,
                entry ? remedies_effect_name(remedies_compare(r, &r->tries[0], attempt)) : "");
    answer_word(table, remedies_words_change(table->answer, r, attempt));
    put_result(table, attempt);
}

static void add_tries(struct answer *answer, const struct remedies *r) {
    static const struct answer_column own[] = {
        COLUMN_WORD("remedy", "remedy"), COLUMN_FLAG("parts", "parts"), COLUMN_FLAG("best", "best"),
        COLUMN_WORD("effect", "effect"), COLUMN_WORD("change", "change")};
    struct answer_table *table =
        table_of(answer, "", own, sizeof own / sizeof own[0], r->kick > 0.0);
    table->hidden = ANSWER_TERMINAL | ANSWER_JSON;
    put_try(table, r, "as it stands", NULL, 0);
    for (size_t i = 0; i < r->entry_count; i++) {
        const struct remedies_entry *e = &r->entry[i];
        for (size_t k = e->first; k < e->first + e->tries; k++) {
            put_try(table, r, remedies_words_name(answer, r, e), e, k);
        }
    }
}

// A text, or nothing.
static void put_words(struct answer_table *table, const char *text) {
    if (text) {
        answer_word(table, text);
    } else {
        answer_put(table, (double)NAN);
    }
}

static void add_best(struct answer *answer, const struct remedies *r) {
    static const struct answer_column own[] = {
        COLUMN_WORD("remedy", "remedy"), COLUMN_FLAG("parts", "parts"),
        COLUMN_WORD("effect", "effect"), COLUMN_FLAG("stronger_is_worse", "stronger is worse"),
        COLUMN_WORD("action", "action"), COLUMN_WORD("caution", "caution"),
    };
    struct answer_table *table =
        table_of(answer, "remedies", own, sizeof own / sizeof own[0], r->kick > 0.0);
    table->hidden = ANSWER_TERMINAL | ANSWER_CSV;
    for (size_t i = 0; i < r->entry_count; i++) {
        const struct remedies_entry *e = &r->entry[i];
        const bool single = !e->pair && e->count == 1;
        answer_word(table, remedies_words_name(answer, r, e));
        answer_flag(table, e->parts);
        answer_word(table, remedies_effect_name(e->effect));
        answer_flag(table, e->too_much);
        put_words(table, single ? e->remedy[0]->action : NULL);
        put_words(table, single ? e->remedy[0]->caution : NULL);
        put_result(table, &r->tries[e->best]);
    }
}

// The best of each again, one row a field changed, each in its own unit.
static void add_changes(struct answer *answer, const struct remedies *r) {
    static const struct answer_column columns[] = {
        COLUMN_WORD("remedy", "remedy"), COLUMN_WORD("field", "field"),
        COLUMN_IN("from", "from", NULL), COLUMN_IN("to", "to", NULL), COLUMN_WORD("unit", "unit")};
    struct answer_table *table =
        answer_table(answer, "changes", NULL, columns, sizeof columns / sizeof columns[0]);
    table->hidden = ANSWER_TERMINAL | ANSWER_CSV;
    for (size_t i = 0; i < r->entry_count; i++) {
        const struct remedies_try *best = &r->tries[r->entry[i].best];
        for (size_t k = 0; k < best->count; k++) {
            const char *field = best->remedy[k]->field;
            const enum unit_kind kind = field_at(field_index_of(field))->kind;
            answer_word(table, remedies_words_name(answer, r, &r->entry[i]));
            answer_word(table, field);
            const char *unit = remedies_words_unit(answer, r, field);
            answer_put(table, units_from_si(&answer->site, kind, unit, best->today[k]));
            answer_put(table, units_from_si(&answer->site, kind, unit, best->value[k]));
            answer_word(table, unit);
        }
    }
}

static void add_left_out(struct answer *answer, const struct remedies *r) {
    static const struct answer_column columns[] = {COLUMN_WORD("remedy", "remedy"),
                                                   COLUMN_WORD("because", "because")};
    struct answer_table *table =
        answer_table(answer, "left_out", NULL, columns, sizeof columns / sizeof columns[0]);
    table->hidden = ANSWER_TERMINAL | ANSWER_CSV;
    for (size_t i = 0; remedy_at(i); i++) {
        const char *missing = remedy_missing(remedy_at(i), r->scenario, r->trim, &r->resolved);
        if (missing) {
            answer_word(table, remedy_at(i)->name);
            answer_word(table, missing);
        }
    }
}

void remedies_answer_tables(struct answer *answer, const struct remedies *r) {
    struct answer_table *today = table_of(answer, "as_it_stands", NULL, 0, r->kick > 0.0);
    today->hidden = ANSWER_TERMINAL | ANSWER_CSV;
    put_result(today, &r->tries[0]);
    add_tries(answer, r);
    add_best(answer, r);
    add_changes(answer, r);
    add_left_out(answer, r);
}

// --- Picture

// Columns: steady from, to; effect, -1: as it stands; group: 0 as it stands, 1 without parts, 2
// with parts, 3 pairs.
static void add_row(struct answer *answer, const struct remedies_try *attempt, double effect,
                    double group, struct picture_data *data[2], const char *name) {
    const double lowest = attempt->row[REMEDIES_LOWEST];
    const double swing = attempt->row[SEVERITY_SWING];
    const double top = isfinite(lowest) ? attempt->row[REMEDIES_TOP] : (double)NAN;
    const double value[] = {answer_shown(answer, UNIT_FLOW, lowest),
                            answer_shown(answer, UNIT_FLOW, top), effect, group};
    const char *result = answer_keep(
        answer, "%s%s%s", severity_outcome_name((size_t)attempt->row[SEVERITY_OUTCOME]),
        swing > 0.0 ? ", " : "", swing > 0.0 ? answer_text(answer, UNIT_PRESSURE_DROP, swing) : "");
    picture_row(data[0], name, value);
    picture_row(data[1], result, value);
}

void remedies_answer_picture(struct answer *answer, const struct remedies *r) {
    picture_begin(answer, "remedies.gp",
                  answer_keep(answer, "%s: trim %s", answer->title, r->resolved.trim_name));
    struct picture_data *data[] = {picture_data(answer, 4), picture_data(answer, 4)};
    add_row(answer, &r->tries[0], -1.0, 0.0, data, "as it stands");
    for (size_t i = 0; i < r->entry_count; i++) {
        const struct remedies_entry *e = &r->entry[i];
        if (remedies_words_told(r, i)) {
            add_row(answer, &r->tries[e->best], e->effect,
                    e->pair    ? 3.0
                    : e->parts ? 2.0
                               : 1.0,
                    data, remedies_words_name(answer, r, e));
        }
    }
    for (int i = 0; i < REMEDIES_EFFECTS; i++) {
        picture_title(answer, "%s", remedies_effect_name((enum remedies_effect)i));
    }
    const char *kick = r->kick > 0.0 ? answer_keep(answer, "kicked by %s",
                                                   answer_text(answer, UNIT_PRESSURE_DROP, r->kick))
                                     : "left alone";
    picture_axis(answer, answer_keep(answer, "steady range of flows, %s", kick), UNIT_FLOW);
    picture_label(answer, "at today's flow");
    picture_number(answer, (double)data[0]->rows);
    picture_number(answer, answer_shown(answer, UNIT_FLOW, r->low));
    picture_number(answer, answer_shown(answer, UNIT_FLOW, r->high));
    picture_number(answer, answer_shown(answer, UNIT_FLOW, r->flow));
    picture_number(answer, REMEDIES_EFFECTS);
}
