// SPDX-License-Identifier: MIT
#include "among/uncertainty_summary.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define EQUALLY_SEVERE 0.9
enum { LEAST_DRAWS_OF_SHARE = 20, DRAWS_PER_BIN = 10, BINS_MIN = 4, BINS_MAX = 20 };

static void count_outcomes(const struct uncertainty *study, const double *rows,
                           struct uncertainty_summary *out) {
    for (size_t i = 0; i < study->draws; i++) {
        size_t outcome = (size_t)rows[i * SEVERITY_COLUMNS + SEVERITY_OUTCOME];
        out->count[outcome]++;
        out->draws += outcome < SEVERITY_COUNTED;
        out->moving += outcome > VERDICT_FORCED && outcome < SEVERITY_COUNTED;
    }
    for (size_t k = 0; k < SEVERITY_COUNTED; k++) {
        out->share[k] = statistics_wilson(out->count[k], out->draws, UNCERTAINTY_CONFIDENCE);
    }
    out->moving_share = statistics_wilson(out->moving, out->draws, UNCERTAINTY_CONFIDENCE);
}

// Two columns of the draws in which both are known.
struct columns {
    size_t count;
    double *x, *y;
};

static void take_columns(const struct uncertainty *study, const double *rows, size_t trim,
                         size_t input, enum severity_column column, struct columns *out) {
    out->count = 0;
    for (size_t i = 0; i < study->draws; i++) {
        double y = rows[i * SEVERITY_COLUMNS + column];
        if (isfinite(y)) {
            out->x[out->count] = uncertainty_drawn(study, trim, i, input);
            out->y[out->count++] = y;
        }
    }
}

static enum severity_column choose_measure(const struct uncertainty *study, const double *rows,
                                           struct columns *scratch) {
    size_t known = 0, alike = 0, together = 0;
    for (size_t i = 0; i < study->draws; i++) {
        double severity = rows[i * SEVERITY_COLUMNS + SEVERITY_ORDER];
        if (isfinite(severity)) {
            scratch->x[known++] = severity;
        }
    }
    size_t *order = malloc((known + 1) * sizeof *order);
    if (order && statistics_order(scratch->x, known, order) == 0) {
        for (size_t i = 0; i < known; i++) {
            together = i > 0 && scratch->x[order[i]] == scratch->x[order[i - 1]] ? together + 1 : 1;
            alike = together > alike ? together : alike;
        }
    }
    free(order);
    if ((double)alike <= EQUALLY_SEVERE * (double)known && known > 0) {
        return SEVERITY_ORDER;
    }
    for (size_t i = 0; i < study->draws; i++) {
        double growth = rows[i * SEVERITY_COLUMNS + SEVERITY_GROWTH];
        if (isfinite(growth) && growth != rows[SEVERITY_GROWTH]) {
            return SEVERITY_GROWTH;
        }
    }
    return alike < known ? SEVERITY_ORDER : SEVERITY_COLUMNS;
}

static double share_of(struct columns *c) {
    if (c->count < LEAST_DRAWS_OF_SHARE) {
        return (double)NAN;
    }
    size_t bins = c->count / DRAWS_PER_BIN;
    bins = bins < BINS_MIN ? BINS_MIN : bins > BINS_MAX ? BINS_MAX : bins;
    double *rank = malloc(c->count * sizeof *rank);
    double share = (double)NAN;
    if (rank && statistics_ranks(c->y, c->count, rank) == 0) {
        share = statistics_first_order(c->x, rank, c->count, bins);
    }
    free(rank);
    return share;
}

static void measure_effect(const struct uncertainty *study, const double *rows, size_t trim,
                           enum severity_column measure, struct columns *c,
                           struct uncertainty_effect *out) {
    static const enum severity_column column[] = {SEVERITY_ORDER, SEVERITY_SWING, SEVERITY_GROWTH};
    double *correlation[] = {&out->severity, &out->swing, &out->growth};
    out->leading = out->chance = out->share = (double)NAN;
    for (size_t k = 0; k < 3; k++) {
        take_columns(study, rows, trim, out->input, column[k], c);
        *correlation[k] = statistics_spearman(c->x, c->y, c->count);
        if (column[k] == measure) {
            out->leading = *correlation[k];
            out->chance = statistics_spearman_chance(out->leading, c->count);
            out->share = share_of(c);
        }
    }
}

static int compare_effects(const void *left, const void *right) {
    const struct uncertainty_effect *a = left, *b = right;
    double x = isfinite(a->leading) ? fabs(a->leading) : -1.0;
    double y = isfinite(b->leading) ? fabs(b->leading) : -1.0;
    if (x != y) {
        return x > y ? -1 : 1;
    }
    return a->input < b->input ? -1 : a->input > b->input;
}

bool uncertainty_summarise(const struct uncertainty *study, size_t trim, size_t flow,
                           struct uncertainty_summary *out) {
    memset(out, 0, sizeof *out);
    const double *rows = uncertainty_rows(study, trim, flow);
    count_outcomes(study, rows, out);
    struct columns c = {.x = malloc((2 * study->draws + 1) * sizeof(double))};
    if (!c.x) {
        return false;
    }
    c.y = c.x + study->draws;
    out->measure = choose_measure(study, rows, &c);
    for (size_t i = 0; i < study->input_count; i++) {
        if (study->input[i].range[trim].low < study->input[i].range[trim].high) {
            struct uncertainty_effect *effect = &out->effect[out->effect_count++];
            effect->input = i;
            measure_effect(study, rows, trim, out->measure, &c, effect);
        }
    }
    free(c.x);
    qsort(out->effect, out->effect_count, sizeof out->effect[0], compare_effects);
    while (out->telling < out->effect_count &&
           out->effect[out->telling].chance * (double)out->effect_count <
               UNCERTAINTY_BEYOND_CHANCE) {
        out->telling++;
    }
    return true;
}
