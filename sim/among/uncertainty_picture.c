// SPDX-License-Identifier: MIT
// The picture of an uncertainty study.
#include "among/uncertainty_told.h"
#include "answer/picture.h"

#include <math.h>

enum { PICTURE_INPUTS = 12, PICTURE_CASES = 6 };

static size_t cases_below(const struct uncertainty_told *told) {
    const size_t cases = uncertainty_told_cases(told);
    return cases < PICTURE_CASES ? cases : PICTURE_CASES;
}

// Columns: the share of every outcome, then of all that does not move by itself with its interval.
static void add_shares(struct answer *answer, const struct uncertainty_told *told) {
    struct picture_data *data = picture_data(answer, SEVERITY_COUNTED + 3);
    for (size_t i = 0; i < uncertainty_told_cases(told); i++) {
        const struct uncertainty_summary *s = &told->summary[i];
        const double draws = s->draws > 0 ? (double)s->draws : 1.0;
        double row[SEVERITY_COUNTED + 3];
        for (size_t k = 0; k < SEVERITY_COUNTED; k++) {
            row[k] = (double)s->count[k] / draws;
        }
        double *rest = &row[SEVERITY_COUNTED];
        rest[0] = (double)(s->draws - s->moving) / draws;
        rest[1] = 1.0 - s->moving_share.high;
        rest[2] = 1.0 - s->moving_share.low;
        picture_row(data, uncertainty_told_name(answer, told, i), row);
    }
}

// The values that count most in any case shown, the strongest first: one column a case.
static size_t add_effects(struct answer *answer, const struct uncertainty_told *told) {
    const struct uncertainty *study = told->study;
    double strongest[UNCERTAINTY_INPUTS_MAX] = {0.0};
    double all[UNCERTAINTY_INPUTS_MAX][PICTURE_CASES];
    bool taken[UNCERTAINTY_INPUTS_MAX] = {false};
    for (size_t i = 0; i < UNCERTAINTY_INPUTS_MAX; i++) {
        for (size_t c = 0; c < PICTURE_CASES; c++) {
            all[i][c] = (double)NAN;
        }
    }
    for (size_t c = 0; c < cases_below(told); c++) {
        const struct uncertainty_summary *s = &told->summary[c];
        for (size_t k = 0; k < s->effect_count; k++) {
            const struct uncertainty_effect *e = &s->effect[k];
            all[e->input][c] = e->leading;
            strongest[e->input] = fmax(strongest[e->input], fabs(e->leading));
        }
    }
    struct picture_data *data = picture_data(answer, PICTURE_CASES);
    size_t shown = 0;
    for (; shown < PICTURE_INPUTS && shown < study->input_count; shown++) {
        size_t best = study->input_count;
        for (size_t i = 0; i < study->input_count; i++) {
            if (!taken[i] && (best == study->input_count || strongest[i] > strongest[best])) {
                best = i;
            }
        }
        taken[best] = true;
        picture_row(data, study->input[best].field, all[best]);
    }
    return shown;
}

// Smallest correlation beyond chance, all values considered together.
static double beyond_chance(const struct uncertainty_summary *s) {
    double low = 0.0, high = 1.0;
    for (int i = 0; i < 50; i++) {
        const double middle = 0.5 * (low + high);
        const double chance = statistics_spearman_chance(middle, s->draws);
        *(chance * (double)s->effect_count < UNCERTAINTY_BEYOND_CHANCE ? &high : &low) = middle;
    }
    return high;
}

void uncertainty_told_picture(struct answer *answer, const struct uncertainty_told *told) {
    picture_begin(answer, "uncertainty.gp", answer->title);
    add_shares(answer, told);
    const size_t shown = add_effects(answer, told);
    for (size_t k = 0; k < SEVERITY_COUNTED; k++) {
        picture_title(answer, "%s", severity_outcome_name(k));
    }
    picture_label(answer, "share of the draws [%%]");
    picture_label(answer, "rank correlation with %s", uncertainty_told_measures(told));
    picture_number(answer, (double)uncertainty_told_cases(told));
    picture_number(answer, (double)shown);
    picture_number(answer, SEVERITY_COUNTED);
    picture_number(answer, (double)cases_below(told));
    picture_number(answer, beyond_chance(&told->summary[0]));
}
