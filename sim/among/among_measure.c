// SPDX-License-Identifier: MIT
// Which of the drawn values one should measure next. Two numbers for each: how much of the doubt
// whether the best item does what one wants goes when the value is known (the share of the variance
// of yes and no between bins of the value); and how much more often the then best item does it than
// the one that is best today (the expected value of knowing it, H. Raiffa, R. Schlaifer, Applied
// Statistical Decision Theory, 1961). What chance alone would give is found by shuffling the
// outcomes over the draws, and a value counts when it beats the best of all shuffled values in 95
// of 100 shuffles (P. Westfall, S. Young, Resampling-Based Multiple Testing, 1993).
#include "among/among.h"
#include "answer/column.h"
#include "hardware/hardware.h"
#include "maths/statistics.h"
#include "maths/weighted.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { SHUFFLES = 200, DRAWS_A_BIN = 10, BINS_MIN = 3, BINS_MAX = 8, LEAST = 30, TOLD = 8 };
#define ROUNDING 1e-6 // of weights
#define BEYOND_CHANCE 0.95
#define NEARLY_ALL 0.95

struct value {
    size_t field;
    size_t bins;
    double explained; // of the doubt
    double gain;      // of the share
};

struct search {
    const struct among_told *told;
    size_t draws, items, fields, chosen;
    double effective;
    double *outcome;     // [items][draws]
    double *share;       // [items]
    size_t *bin;         // [fields][draws]
    struct value *value; // [fields]
    size_t *place;       // [draws]: whose outcome a draw has
    double *y;           // [draws]
    double *best;        // [SHUFFLES] of both numbers, then of the other
};

static double largest(const double *value, size_t count, size_t *at) {
    double most = (double)NAN;
    for (size_t i = 0; i < count; i++) {
        if (!isnan(value[i]) && !(value[i] <= most)) {
            most = value[i];
            *at = i;
        }
    }
    return most;
}

// Share of the item that is best in each bin, less that of the one best over all.
static double gain_of(const struct search *s, const struct value *v) {
    const double *weight = s->told->among->draws.weight;
    const size_t *bin = &s->bin[(size_t)(v - s->value) * s->draws];
    double after = 0.0;
    for (size_t b = 0; b < v->bins; b++) {
        double most = 0.0;
        for (size_t t = 0; t < s->items; t++) {
            double sum = 0.0;
            for (size_t i = 0; i < s->draws; i++) {
                const double y = s->outcome[t * s->draws + s->place[i]];
                sum += bin[i] == b && y > 0.0 ? weight[i] * y : 0.0;
            }
            most = fmax(most, sum);
        }
        after += most;
    }
    return after - s->share[s->chosen];
}

static void rate(struct search *s, struct value *v) {
    const size_t *bin = &s->bin[(size_t)(v - s->value) * s->draws];
    for (size_t i = 0; i < s->draws; i++) {
        s->y[i] = s->outcome[s->chosen * s->draws + s->place[i]];
    }
    v->explained = weighted_explained(s->y, s->told->among->draws.weight, bin, s->draws, v->bins,
                                      s->effective);
    v->gain = s->told->study->choice ? gain_of(s, v) : 0.0;
}

// Limits that the best of all values passes by chance in 5 of 100 shuffles.
static void chance(struct search *s, double limit[2]) {
    struct statistics_stream stream = statistics_stream_open(1, 0);
    double even[SHUFFLES];
    for (size_t k = 0; k < SHUFFLES; k++) {
        for (size_t i = s->draws; i-- > 1;) {
            const size_t j = (size_t)(statistics_stream_unit(&stream) * (double)(i + 1));
            const size_t other = s->place[i];
            s->place[i] = s->place[j];
            s->place[j] = other;
        }
        s->best[k] = s->best[SHUFFLES + k] = 0.0;
        even[k] = 1.0;
        for (size_t f = 0; f < s->fields; f++) {
            rate(s, &s->value[f]);
            s->best[k] = fmax(s->best[k], s->value[f].explained);
            s->best[SHUFFLES + k] = fmax(s->best[SHUFFLES + k], s->value[f].gain);
        }
    }
    limit[0] = weighted_quantile(s->best, even, SHUFFLES, BEYOND_CHANCE);
    limit[1] = weighted_quantile(s->best + SHUFFLES, even, SHUFFLES, BEYOND_CHANCE);
    for (size_t i = 0; i < s->draws; i++) {
        s->place[i] = i;
    }
}

// False without memory, or when there is too little to tell.
static bool prepare(struct search *s) {
    const struct among_told *told = s->told;
    const struct draws *d = &told->among->draws;
    s->draws = d->count;
    s->items = told->study->items;
    s->effective = told->among->effective;
    s->outcome = calloc(s->items * s->draws + 1, sizeof *s->outcome);
    s->share = calloc(s->items + 1, sizeof *s->share);
    s->bin = calloc(d->field_count * s->draws + 1, sizeof *s->bin);
    s->value = calloc(d->field_count + 1, sizeof *s->value);
    s->place = calloc(s->draws + 1, sizeof *s->place);
    s->y = calloc(s->draws + 1, sizeof *s->y);
    s->best = calloc(2 * SHUFFLES, sizeof *s->best);
    if (!s->outcome || !s->share || !s->bin || !s->value || !s->place || !s->y || !s->best) {
        return false;
    }
    for (size_t t = 0; t < s->items; t++) {
        among_column(told, t, 0, &s->outcome[t * s->draws]);
        s->share[t] = weighted_mean(&s->outcome[t * s->draws], d->weight, s->draws);
    }
    const double a_bin = floor(s->effective / DRAWS_A_BIN);
    const size_t bins = (size_t)fmin(fmax(a_bin, BINS_MIN), BINS_MAX);
    for (size_t k = 0; k < d->field_count; k++) {
        for (size_t i = 0; i < s->draws; i++) {
            s->y[i] = among_drawn(told->among, &told->scenario->site, i, k);
        }
        if (s->draws == 0 || isnan(s->y[0])) {
            continue;
        }
        struct value *v = &s->value[s->fields];
        *v = (struct value){.field = k};
        v->bins = weighted_bins(s->y, d->weight, s->draws, bins, &s->bin[s->fields * s->draws]);
        s->fields += v->bins > 1;
    }
    for (size_t i = 0; i < s->draws; i++) {
        s->place[i] = i;
    }
    return s->fields > 0 && s->effective >= LEAST - ROUNDING;
}

static int compare(const void *left, const void *right) {
    const struct value *a = left, *b = right;
    const double x = isnan(a->explained) ? -1.0 : a->explained + 2.0 * a->gain;
    const double y = isnan(b->explained) ? -1.0 : b->explained + 2.0 * b->gain;
    if (x != y) {
        return x > y ? -1 : 1;
    }
    return a->field < b->field ? -1 : a->field > b->field;
}

static const char *how(const struct among_told *told, const char *field) {
    const struct regulator_parameters *m = &told->scenario->model;
    char path[AMONG_PATH_SIZE];
    const struct hardware_row *row = hardware_find(
        among_path(field, path), hardware_kind(m->actuation, m->pilot.exhaust, m->duty));
    return row ? row->measure : "";
}

static void add_table(struct answer *answer, const struct search *s, const double limit[2]) {
    static const struct answer_column columns[] = {
        COLUMN_WORD("value", "value to measure"),
        COLUMN_OF("doubt_removed", "takes of the doubt", UNIT_FRACTION),
        COLUMN_OF("share_gained", "more often right", UNIT_FRACTION),
        COLUMN_FLAG("beyond_chance", "beyond chance"),
        {.key = "how", .name = "how", .form = ANSWER_WORD, .hidden = ANSWER_TERMINAL}};
    struct answer_table *table =
        answer_table(answer, "measure", NULL, columns, sizeof columns / sizeof columns[0]);
    table->hidden = ANSWER_TERMINAL;
    for (size_t i = 0; i < s->fields; i++) {
        const struct value *v = &s->value[i];
        const char *field = s->told->among->draws.field[v->field];
        answer_words(table, "%s", field);
        answer_put(table, v->explained);
        answer_put(table, v->gain);
        answer_flag(table, v->explained > limit[0] || v->gain > limit[1]);
        answer_word(table, how(s->told, field));
    }
}

static void say(struct answer *answer, const struct search *s, const double limit[2]) {
    const struct among_study *study = s->told->study;
    const char *name = study->name[s->chosen];
    const struct value *first = &s->value[0];
    const char *field = s->told->among->draws.field[first->field];
    if (!(first->explained > limit[0] || first->gain > limit[1])) {
        answer_label(answer, ANSWER_FINDING, "measure next: ",
                     "no single value says more than chance would about %s (%s); take more draws, "
                     "or measure several",
                     name, study->metric[0].name);
        return;
    }
    const char *more = "";
    for (size_t i = 1; i < s->fields && i < 3; i++) {
        if (s->value[i].explained > limit[0] || s->value[i].gain > limit[1]) {
            more = answer_keep(answer, "%s%s%s", more, more[0] ? " and " : "",
                               s->told->among->draws.field[s->value[i].field]);
        }
    }
    const char *gain = first->gain > limit[1]
                           ? answer_keep(answer,
                                         ", and choosing by it is right in %.0f %% more of the "
                                         "regulators",
                                         100.0 * first->gain)
                           : "";
    const char *way = how(s->told, field);
    const char *part =
        first->explained > NEARLY_ALL
            ? "nearly all"
            : answer_keep(answer, "about %.0f %%", 100.0 * fmax(first->explained, 0.0));
    answer_label(answer, ANSWER_FINDING,
                 "measure next: ", "%s. It takes %s of the doubt about %s (%s)%s%s%s.%s%s%s", field,
                 part, name, study->metric[0].name, gain, way[0] ? ". How: " : "", way,
                 more[0] ? " After it: " : "", more, more[0] ? "." : "");
}

void among_told_measure(struct answer *answer, const struct among_told *told) {
    struct search s = {.told = told};
    const bool enough = prepare(&s);
    size_t chosen = 0;
    if (enough && !isnan(largest(s.share, s.items, &chosen))) {
        s.chosen = chosen;
        double limit[2];
        // Certain as far as these draws go: then the doubt is about the others.
        if (s.share[s.chosen] >= 1.0 - 1e-9 && told->study->choice) {
            answer_label(answer, ANSWER_FINDING, "measure next: ",
                         "no value would change the choice: %s is %s in every draw taken",
                         told->study->name[s.chosen], told->study->metric[0].name);
        } else {
            chance(&s, limit);
            for (size_t f = 0; f < s.fields; f++) {
                rate(&s, &s.value[f]);
            }
            qsort(s.value, s.fields, sizeof *s.value, compare);
            add_table(answer, &s, limit);
            say(answer, &s, limit);
        }
    } else if (!answer->failed) {
        answer_label(answer, ANSWER_FINDING,
                     "measure next: ", "too few draws to tell; take at least %d", LEAST);
    }
    free(s.outcome);
    free(s.share);
    free(s.bin);
    free(s.value);
    free(s.place);
    free(s.y);
    free(s.best);
}
