// SPDX-License-Identifier: MIT
// What is said of a study done for many draws.
#include "among/among.h"
#include "answer/column.h"
#include "maths/weighted.h"

#include <math.h>
#include <stdlib.h>

// A value that is known no better than within this factor is a wide guess.
#define WIDE 2.0
enum { WIDEST_TOLD = 3, ITEMS_TOLD = 6 };

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
        const double share = weighted_mean(value, d->weight, d->count);
        if (isnan(share) || (s->metric[m].rare && share == 0.0)) {
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
    if (!order || !placed) {
        answer->failed = true;
        return NULL;
    }
    for (size_t i = 0; i < items; i++) {
        order[i] = i;
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

static void say_all(struct answer *answer, const struct among_told *told, double *value) {
    say_heading(answer, told);
    among_told_tables(answer, told);
    answer_gap(answer);
    for (size_t i = 0; i < told->study->items && i < ITEMS_TOLD; i++) {
        say_item(answer, told, told->order[i], value);
    }
    among_told_measure(answer, told);
    among_told_picture(answer, told);
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
        if (told.order) {
            say_all(answer, &told, value);
        }
    }
    free(value);
    free(result);
    scenario_case_free(&first);
    return status;
}

enum study_status among_trims(struct study_job *job, const struct study_asked *draws,
                              const struct study_asked *most, size_t usual,
                              struct among_study study, struct answer *answer) {
    const char *name[STUDY_TRIMS_MAX];
    for (size_t i = 0; i < job->trim_count; i++) {
        name[i] = scenario_trim_name(job->scenario, job->trim[i]);
    }
    study.label = "draws";
    study.item = "trim";
    study.items = job->trim_count;
    study.name = name;
    study.choice = job->trim_count > 1;
    struct among among;
    enum study_status status = among_open(job, draws, most, usual, &among);
    status = status == STUDY_DONE ? among_answer(job, &among, &study, answer) : status;
    among_close(&among);
    return status;
}
