// SPDX-License-Identifier: MIT
// Tables of a study done for many draws, and a share in words.
#include "among/among.h"
#include "answer/column.h"
#include "field/field.h"
#include "maths/statistics.h"
#include "maths/weighted.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SHARE_COLUMN(KEY, NAME) COLUMN_OF(KEY, NAME, UNIT_FRACTION)
// Weights of all draws sum to 1 but for this.
#define ROUNDING 1e-9

double among_worth(const struct among_told *told, const double *value) {
    const struct draws *d = &told->among->draws;
    const double all = weighted_effective(d->weight, d->weight, d->count); // unless they are kin
    return told->among->effective / all * weighted_effective(value, d->weight, d->count);
}

// Percent without the ends: draws never make anything certain.
const char *among_share_words(struct answer *answer, const struct among_told *told,
                              const double *value) {
    const struct draws *d = &told->among->draws;
    const double share = weighted_mean(value, d->weight, d->count);
    const struct statistics_interval wide =
        statistics_wilson_share(share, among_worth(told, value), AMONG_CONFIDENCE);
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
    const double worth = among_worth(told, value);
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
            const double share =
                weighted_mean(value, told->among->draws.weight, told->among->draws.count);
            if (s->metric[m].form == AMONG_SHARE && !isnan(share) &&
                !(s->metric[m].rare && share == 0.0)) {
                answer_word(table, s->name[i]);
                answer_word(table, s->metric[m].name);
                put_share(table, told, value);
            }
        }
    }
}

const char *among_quantile_words(struct answer *answer, const struct among_told *told, size_t m,
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
                answer_word(table, among_quantile_words(
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
