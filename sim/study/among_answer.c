// SPDX-License-Identifier: MIT
// Shares, quantiles and sentences of a study done for many draws.
#include "answer/column.h"
#include "maths/statistics.h"
#include "maths/weighted.h"
#include "scenario/field.h"
#include "study/among.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SHARE_COLUMN(KEY, NAME) COLUMN_OF(KEY, NAME, UNIT_FRACTION)
// A value that is known no better than within this factor is a wide guess.
#define WIDE 2.0
// Weights of all draws sum to 1 but for this.
#define ROUNDING 1e-9
enum { WIDEST_TOLD = 3, ITEMS_TOLD = 6 };

void among_column(const struct among_told *told, size_t item, size_t metric, double *value) {
    const struct among_study *s = told->study;
    for (size_t i = 0; i < told->among->draws.count; i++) {
        value[i] = told->result[(i * s->items + item) * s->metrics + metric];
    }
}

// Percent without the ends: draws never make anything certain.
const char *among_share_words(struct answer *answer, const struct among_told *told,
                              const double *value) {
    const struct draws *d = &told->among->draws;
    const double share = weighted_mean(value, d->weight, d->count);
    const struct statistics_interval wide = statistics_wilson_share(
        share, weighted_effective(value, d->weight, d->count), AMONG_CONFIDENCE);
    size_t known = 0;
    for (size_t i = 0; i < d->count; i++) {
        known += isnan(value[i]) ? 0 : 1;
    }
    if (share >= 1.0 - ROUNDING) {
        return answer_keep(answer, "in all of %zu draws, so in at least %.0f %%", known,
                           fmin(floor(100.0 * wide.low), 99.0));
    }
    if (share <= 0.0) {
        return answer_keep(answer, "in none of %zu draws, so in at most %.0f %%", known,
                           fmax(ceil(100.0 * wide.high), 1.0));
    }
    return answer_keep(answer, "in %.0f %% (%.0f-%.0f)", fmin(fmax(100.0 * share, 1.0), 99.0),
                       100.0 * wide.low, fmin(100.0 * wide.high, 99.0));
}

// --- What it rests on

struct spread {
    size_t field;
    double factor; // between the ends of what holds 90 % of the weight
};

static int compare_spread(const void *left, const void *right) {
    const struct spread *a = left, *b = right;
    if (a->factor != b->factor) {
        return a->factor > b->factor ? -1 : 1;
    }
    return a->field < b->field ? -1 : a->field > b->field;
}

// How far each drawn value ranges, widest first; their number. NULL without memory.
static struct spread *spreads(const struct among_told *told, size_t *count) {
    const struct draws *d = &told->among->draws;
    struct spread *all = malloc((d->field_count + 1) * sizeof *all);
    double *value = malloc((d->count + 1) * sizeof *value);
    *count = 0;
    for (size_t k = 0; k < d->field_count && all && value; k++) {
        for (size_t i = 0; i < d->count; i++) {
            value[i] = among_drawn(told->among, &told->scenario->site, i, k);
        }
        const double low = weighted_quantile(value, d->weight, d->count, AMONG_LOW);
        const double high = weighted_quantile(value, d->weight, d->count, AMONG_HIGH);
        if (low > 0.0 && isfinite(high)) {
            all[(*count)++] = (struct spread){k, high / low};
        }
    }
    free(value);
    if (all && value) {
        qsort(all, *count, sizeof *all, compare_spread);
        return all;
    }
    free(all);
    return NULL;
}

static void say_spread(struct answer *answer, const struct among_told *told) {
    size_t count = 0, wide = 0;
    struct spread *all = spreads(told, &count);
    const char *text = "";
    for (size_t i = 0; i < count; i++) {
        wide += all[i].factor > WIDE;
        if (i < WIDEST_TOLD && all[i].factor > WIDE) {
            text = answer_keep(answer, "%s%s%s (a factor of %.2g)", text, i > 0 ? ", " : "",
                               told->among->draws.field[all[i].field], all[i].factor);
        }
    }
    const char *rests = told->among->file ? "what is still open in these draws"
                                          : "nothing was observed, so all of this rests on guesses";
    answer_say(answer, ANSWER_NOTE,
               "%s: %zu values, of which %zu are known no better than within a factor of %g%s%s",
               rests, told->among->draws.field_count, wide, WIDE, text[0] ? "; the widest: " : "",
               text);
    free(all);
}

static void say_heading(struct answer *answer, const struct among_told *told) {
    static const struct answer_column from = COLUMN_WORD("draws_from", "draws from");
    static const struct answer_column offered = COLUMN_COUNT("draws_offered", "draws there");
    static const struct answer_column out = COLUMN_COUNT("draws_left_out", "of them left out");
    static const struct answer_column taken = COLUMN_COUNT("draws", "draws taken");
    static const struct answer_column worth =
        COLUMN_IN("effective_draws", "worth so many equal ones", NULL);
    const struct among *a = told->among;
    answer_say(answer, ANSWER_HEADING, "%s", answer->title[0] ? answer->title : "scenario");
    answer_fact(answer, &from, (double)NAN, a->file ? a->file : "ranges of the guesses");
    answer_fact(answer, &offered, (double)a->offered, NULL);
    if (a->left_out > 0) {
        answer_fact(answer, &out, (double)a->left_out, NULL);
        answer_say(answer, ANSWER_NOTE,
                   "left out: no regulator, or one that cannot hold the set pressure at today's "
                   "flow, which yours does");
    }
    answer_fact(answer, &taken, (double)a->draws.count, NULL);
    answer_fact(answer, &worth, a->effective, NULL);
    answer_say(answer, ANSWER_NOTE,
               "shares are of the weight of the draws; their bounds hold the true share with %.0f "
               "%% (Wilson's interval, for the effective number of draws)",
               100.0 * AMONG_CONFIDENCE);
    say_spread(answer, told);
}

// --- Tables

static void put_bound(struct answer_table *table, double share) {
    if (share > 0.999) {
        answer_said(table, share, ">99.9");
    } else if (share < 0.001) {
        answer_said(table, share, "<0.1");
    } else {
        answer_said(table, share, "%.1f", 100.0 * share);
    }
}

static void put_share(struct answer_table *table, const struct among_told *told,
                      const double *value) {
    const struct draws *d = &told->among->draws;
    const double share = weighted_mean(value, d->weight, d->count);
    const double worth = weighted_effective(value, d->weight, d->count);
    const struct statistics_interval wide = statistics_wilson_share(share, worth, AMONG_CONFIDENCE);
    if (share >= 1.0 - ROUNDING || share <= 0.0) {
        answer_said(table, share, share > 0.5 ? "all" : "none");
    } else {
        answer_said(table, share, "%.1f", 100.0 * share);
    }
    put_bound(table, wide.low);
    put_bound(table, wide.high);
    answer_put(table, worth);
}

static void add_shares(struct answer *answer, const struct among_told *told, double *value) {
    const struct among_study *s = told->study;
    const struct answer_column columns[] = {
        COLUMN_WORD("item", s->item),
        COLUMN_WORD("what", "is or does"),
        SHARE_COLUMN("share", "share"),
        SHARE_COLUMN("low", "at least"),
        SHARE_COLUMN("high", "at most"),
        {.key = "effective_draws", .name = "effective draws", .hidden = ANSWER_TERMINAL}};
    struct answer_column *kept = answer_columns(answer, sizeof columns / sizeof columns[0]);
    if (!kept) {
        return;
    }
    memcpy(kept, columns, sizeof columns);
    answer_gap(answer);
    struct answer_table *table =
        answer_table(answer, "shares", NULL, kept, sizeof columns / sizeof columns[0]);
    for (size_t k = 0; k < s->items; k++) {
        const size_t i = told->order[k];
        for (size_t m = 0; m < s->metrics; m++) {
            among_column(told, i, m, value);
            if (s->metric[m].form == AMONG_SHARE &&
                !isnan(weighted_mean(value, told->among->draws.weight, told->among->draws.count))) {
                answer_word(table, s->name[i]);
                answer_word(table, s->metric[m].name);
                put_share(table, told, value);
            }
        }
    }
}

// A quantile in words: number with unit, date, or what lies beyond every number.
static const char *quantile_words(struct answer *answer, const struct among_told *told, size_t m,
                                  double value) {
    const struct among_metric *metric = &told->study->metric[m];
    if (isnan(value)) {
        return "-";
    }
    if (isinf(value)) {
        const char *text = value > 0.0 ? metric->above : metric->below;
        return text ? text : "-";
    }
    if (metric->form == AMONG_DATE) {
        const char *date = told->study->date(told->study->context, answer, value);
        return date ? date : "-";
    }
    return metric->kind != UNIT_NONE ? answer_text(answer, metric->kind, value)
           : metric->unit            ? answer_keep(answer, "%.4g %s", value, metric->unit)
                                     : answer_keep(answer, "%.4g", value);
}

static bool has_numbers(const struct among_study *s) {
    for (size_t m = 0; m < s->metrics; m++) {
        if (s->metric[m].form != AMONG_SHARE) {
            return true;
        }
    }
    return false;
}

static void add_numbers(struct answer *answer, const struct among_told *told, double *value) {
    static const double quantile[] = {AMONG_LOW, 0.25, 0.5, 0.75, AMONG_HIGH};
    const struct among_study *s = told->study;
    const struct answer_column columns[] = {
        COLUMN_WORD("item", s->item),     COLUMN_WORD("what", "value"),
        COLUMN_WORD("q05", "5 % below"),  COLUMN_WORD("q25", "25 % below"),
        COLUMN_WORD("q50", "half below"), COLUMN_WORD("q75", "75 % below"),
        COLUMN_WORD("q95", "95 % below"),
    };
    struct answer_column *kept = answer_columns(answer, sizeof columns / sizeof columns[0]);
    if (!kept || !has_numbers(s)) {
        return;
    }
    memcpy(kept, columns, sizeof columns);
    answer_gap(answer);
    struct answer_table *table =
        answer_table(answer, "quantiles", NULL, kept, sizeof columns / sizeof columns[0]);
    const struct draws *d = &told->among->draws;
    for (size_t i = 0; i < s->items; i++) {
        for (size_t m = 0; m < s->metrics; m++) {
            if (s->metric[m].form == AMONG_SHARE) {
                continue;
            }
            among_column(told, i, m, value);
            answer_word(table, s->name[i]);
            answer_word(table, s->metric[m].name);
            for (size_t q = 0; q < sizeof quantile / sizeof quantile[0]; q++) {
                answer_word(table, quantile_words(
                                       answer, told, m,
                                       weighted_quantile(value, d->weight, d->count, quantile[q])));
            }
        }
    }
}

// Every draw with what came of it, for the files.
static void add_draws(struct answer *answer, const struct among_told *told) {
    const struct among_study *s = told->study;
    const struct draws *d = &told->among->draws;
    const size_t outcomes = 3 + s->metrics, count = outcomes + d->field_count;
    struct answer_column *column = answer_columns(answer, count);
    if (!column) {
        return;
    }
    column[0] = (struct answer_column)COLUMN_COUNT("draw", "draw");
    column[1] = (struct answer_column)COLUMN_IN("weight", "weight", NULL);
    column[2] = (struct answer_column)COLUMN_WORD("item", s->item);
    for (size_t m = 0; m < s->metrics; m++) {
        const struct among_metric *metric = &s->metric[m];
        column[3 + m] = (struct answer_column){
            .key = metric->key, .name = metric->name, .kind = metric->kind, .unit = metric->unit};
    }
    for (size_t k = 0; k < d->field_count; k++) {
        char path[AMONG_PATH_SIZE];
        const struct field *field = field_at(field_index_of(among_path(d->field[k], path)));
        const char *name = answer_keep(answer, "%s", d->field[k]);
        column[outcomes + k] = (struct answer_column){
            .key = name, .name = name, .kind = field ? field->kind : UNIT_NONE};
    }
    struct answer_table *table = answer_table(answer, "", NULL, column, count);
    table->hidden = ANSWER_TERMINAL | ANSWER_JSON;
    for (size_t i = 0; i < d->count; i++) {
        for (size_t k = 0; k < s->items; k++) {
            answer_put(table, (double)(i + 1));
            answer_put(table, d->weight[i]);
            answer_word(table, s->name[k]);
            for (size_t m = 0; m < s->metrics; m++) {
                answer_put(table, told->result[(i * s->items + k) * s->metrics + m]);
            }
            for (size_t f = 0; f < d->field_count; f++) {
                answer_put(table, among_drawn(told->among, &told->scenario->site, i, f));
            }
        }
    }
}

void among_told_tables(struct answer *answer, const struct among_told *told) {
    double *value = malloc((told->among->draws.count + 1) * sizeof *value);
    if (!value) {
        answer->failed = true;
        return;
    }
    add_draws(answer, told);
    add_shares(answer, told, value);
    add_numbers(answer, told, value);
    free(value);
}

// --- All of it

static void say_item(struct answer *answer, const struct among_told *told, size_t item,
                     double *value) {
    const struct among_study *s = told->study;
    const struct draws *d = &told->among->draws;
    const char *text = "";
    for (size_t m = 0; m < s->metrics; m++) {
        if (s->metric[m].form != AMONG_SHARE) {
            continue;
        }
        among_column(told, item, m, value);
        if (isnan(weighted_mean(value, d->weight, d->count))) {
            continue;
        }
        text = answer_keep(answer, "%s%s%s %s%s", text, text[0] ? "; " : "", s->metric[m].name,
                           among_share_words(answer, told, value),
                           text[0]             ? ""
                           : told->among->file ? " of the regulators that fit"
                                               : " of the regulators it could be");
    }
    answer_label(answer, ANSWER_FINDING, answer_keep(answer, "%s: ", s->name[item]), "%s",
                 text[0] ? text : "not known");
}

struct placed {
    double share;
    size_t item;
};

static int compare_placed(const void *left, const void *right) {
    const struct placed *a = left, *b = right;
    if (a->share != b->share) {
        return a->share > b->share ? -1 : 1;
    }
    return a->item < b->item ? -1 : a->item > b->item;
}

// As they stand, but where they are many by the share of what one wants.
static const size_t *order_of(struct answer *answer, const struct among_told *told, double *value) {
    const size_t items = told->study->items;
    size_t *order = arena_alloc(&answer->memory, (items + 1) * sizeof *order);
    struct placed *placed = arena_alloc(&answer->memory, (items + 1) * sizeof *placed);
    static const size_t first[1] = {0};
    if (!order || !placed) {
        answer->failed = true;
        return first;
    }
    for (size_t i = 0; i < items; i++) {
        among_column(told, i, 0, value);
        const double share =
            weighted_mean(value, told->among->draws.weight, told->among->draws.count);
        placed[i] = (struct placed){items > ITEMS_TOLD && !isnan(share) ? share : 0.0, i};
    }
    qsort(placed, items, sizeof *placed, compare_placed);
    for (size_t i = 0; i < items; i++) {
        order[i] = placed[i].item;
    }
    return order;
}

static const char *const *keep_names(struct answer *answer, const struct among_study *study) {
    const char **name = arena_alloc(&answer->memory, (study->items + 1) * sizeof *name);
    if (!name) {
        answer->failed = true;
        return study->name;
    }
    for (size_t i = 0; i < study->items; i++) {
        name[i] = answer_keep(answer, "%s", study->name[i]);
    }
    return name;
}

enum study_status among_answer(struct study_job *job, const struct among *among,
                               const struct among_study *study, struct answer *answer) {
    struct scenario_case first = {0};
    double *result = NULL;
    double *value = malloc((among->draws.count + 1) * sizeof *value);
    enum study_status status = value ? study_job_resolve(job, job->trim[0], &first)
                                     : study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    status = status == STUDY_DONE ? among_run(job, among, study, &result) : status;
    if (status == STUDY_DONE) {
        study_job_answer(job, &first, answer);
        struct among_study kept = *study; // with names that live as long as the answer
        kept.name = keep_names(answer, study);
        struct among_told told = {
            .among = among, .study = &kept, .scenario = &first, .result = result};
        told.order = order_of(answer, &told, value);
        answer->variant = "draws";
        answer->cautions = true;
        say_heading(answer, &told);
        among_told_tables(answer, &told);
        answer_gap(answer);
        for (size_t i = 0; i < study->items && i < ITEMS_TOLD; i++) {
            say_item(answer, &told, told.order[i], value);
        }
        among_told_measure(answer, &told);
    }
    free(value);
    free(result);
    scenario_case_free(&first);
    return status;
}
