// SPDX-License-Identifier: MIT
// The picture of a study done for many draws: for each thing one chooses between the shares with
// their intervals, and beside them one number that the study finds, as words.
#include "among/among.h"
#include "answer/picture.h"
#include "maths/statistics.h"
#include "maths/weighted.h"

#include <math.h>
#include <stdlib.h>

// More than this many items are left out, and of many only the first two shares are drawn.
enum { ITEMS_SHOWN = 24, ITEMS_FEW = 8, METRICS_OF_MANY = 2 };

#define PERCENT 100.0

static void add_item(struct picture_data *data, const struct among_told *told, size_t row,
                     size_t metrics, double *value) {
    const struct among_study *s = told->study;
    const struct draws *d = &told->among->draws;
    size_t drawn = 0;
    for (size_t m = 0; m < s->metrics && drawn < metrics; m++) {
        if (s->metric[m].form != AMONG_SHARE || s->metric[m].rare) {
            continue;
        }
        among_column(told, told->order[row], m, value);
        const double share = weighted_mean(value, d->weight, d->count);
        const struct statistics_interval wide =
            statistics_wilson_share(share, among_worth(told, value), AMONG_CONFIDENCE);
        drawn++;
        const double cell[] = {(double)(row + 1), (double)drawn, PERCENT * share,
                               PERCENT * wide.low, PERCENT * wide.high};
        if (!isnan(share)) {
            picture_row(data, s->name[told->order[row]], cell);
        }
    }
}

// "5 psi (2 psi to 9 psi)": the middle draw, and what holds nine in ten.
static const char *spread_words(struct answer *answer, const struct among_told *told, size_t item,
                                size_t metric, double *value) {
    const struct draws *d = &told->among->draws;
    among_column(told, item, metric, value);
    const double middle = weighted_quantile(value, d->weight, d->count, 0.5);
    const double low = weighted_quantile(value, d->weight, d->count, AMONG_LOW);
    const double high = weighted_quantile(value, d->weight, d->count, AMONG_HIGH);
    return answer_keep(answer, "%s (%s to %s)", among_quantile_words(answer, told, metric, middle),
                       among_quantile_words(answer, told, metric, low),
                       among_quantile_words(answer, told, metric, high));
}

// The first metric that is a number or a date; the number of metrics when there is none.
static size_t first_number(const struct among_study *s) {
    size_t m = 0;
    while (m < s->metrics && s->metric[m].form == AMONG_SHARE) {
        m++;
    }
    return m;
}

static size_t add_titles(struct answer *answer, const struct among_study *s, size_t most) {
    size_t shares = 0;
    for (size_t m = 0; m < s->metrics && shares < most; m++) {
        if (s->metric[m].form == AMONG_SHARE && !s->metric[m].rare) {
            picture_title(answer, "%s", s->metric[m].name);
            shares++;
        }
    }
    return shares;
}

void among_told_picture(struct answer *answer, const struct among_told *told) {
    const struct among_study *s = told->study;
    const size_t items = s->items < ITEMS_SHOWN ? s->items : ITEMS_SHOWN;
    const size_t number = first_number(s);
    double *value = malloc((told->among->draws.count + 1) * sizeof *value);
    if (!value) {
        answer->failed = true;
        return;
    }
    picture_begin(answer, "among.gp", answer->title);
    const size_t metrics =
        add_titles(answer, s, items > ITEMS_FEW ? METRICS_OF_MANY : (size_t)AMONG_METRICS_MAX);
    struct picture_data *data = picture_data(answer, 5);
    for (size_t i = 0; data && i < items; i++) {
        add_item(data, told, i, metrics, value);
    }
    if (number < s->metrics) {
        picture_title(answer, "%s: the middle draw (nine in ten between)", s->metric[number].name);
        struct picture_data *words = picture_data(answer, 1);
        for (size_t i = 0; words && i < items; i++) {
            const double row = (double)(i + 1);
            picture_row(words, spread_words(answer, told, told->order[i], number, value), &row);
        }
    }
    picture_label(answer, "share of the regulators %s [%%]",
                  told->among->file ? "that fit" : "it could be");
    picture_label(answer,
                  "%zu draws, worth %.3g equal ones; lines: 95 %% intervals for that many%s",
                  told->among->draws.count, told->among->effective,
                  told->among->file ? "" : "; nothing was observed");
    picture_number(answer, (double)items);
    picture_number(answer, (double)metrics);
    picture_number(answer, number < s->metrics ? 1.0 : 0.0);
    picture_number(answer, (double)s->items);
    free(value);
}
