// SPDX-License-Identifier: MIT
// Numbers and texts of the picture of an uncertainty study; plots/uncertainty.gp draws it.
#include "show/uncertainty_report.h"

#include "show/study_output.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum {
    PICTURE_INPUTS = 12,
    PICTURE_CASES = 6,
    CASES_MAX = UNCERTAINTY_TRIMS_MAX * UNCERTAINTY_FLOWS_MAX
};

struct picture {
    const struct uncertainty_report *report;
    size_t cases;
    char text[CASES_MAX][160];
    const char *name[CASES_MAX]; // of the cases
    double shares[CASES_MAX][SEVERITY_COUNTED + 3];
    size_t shown; // inputs
    const char *field[PICTURE_INPUTS];
    double effect[PICTURE_INPUTS][PICTURE_CASES];
};

// Columns of the first data file: the share of every outcome, then of all that does not move by
// itself with its interval.
static void fill_shares(struct picture *p) {
    const struct uncertainty *study = p->report->study;
    p->cases = study->trim_count * uncertainty_flow_count(study);
    for (size_t i = 0; i < p->cases; i++) {
        const struct uncertainty_summary *s = &p->report->summary[i];
        size_t per_trim = uncertainty_flow_count(study);
        uncertainty_report_case(p->report, i / per_trim, i % per_trim, p->text[i],
                                sizeof p->text[i]);
        p->name[i] = p->text[i];
        double draws = s->draws > 0 ? (double)s->draws : 1.0;
        for (size_t k = 0; k < SEVERITY_COUNTED; k++) {
            p->shares[i][k] = (double)s->count[k] / draws;
        }
        double *rest = &p->shares[i][SEVERITY_COUNTED];
        rest[0] = (double)(s->draws - s->moving) / draws;
        rest[1] = 1.0 - s->moving_share.high;
        rest[2] = 1.0 - s->moving_share.low;
    }
}

// The values that count most in any case shown, the strongest first.
static void fill_effects(struct picture *p) {
    const struct uncertainty *study = p->report->study;
    double strongest[UNCERTAINTY_INPUTS_MAX] = {0.0}, all[UNCERTAINTY_INPUTS_MAX][PICTURE_CASES];
    bool taken[UNCERTAINTY_INPUTS_MAX] = {false};
    size_t cases = p->cases < PICTURE_CASES ? p->cases : PICTURE_CASES;
    for (size_t i = 0; i < UNCERTAINTY_INPUTS_MAX; i++) {
        for (size_t c = 0; c < PICTURE_CASES; c++) {
            all[i][c] = (double)NAN;
        }
    }
    for (size_t c = 0; c < cases; c++) {
        const struct uncertainty_summary *s = &p->report->summary[c];
        for (size_t k = 0; k < s->effect_count; k++) {
            const struct uncertainty_effect *e = &s->effect[k];
            all[e->input][c] = e->leading;
            strongest[e->input] = fmax(strongest[e->input], fabs(e->leading));
        }
    }
    while (p->shown < PICTURE_INPUTS && p->shown < study->input_count) {
        size_t best = study->input_count;
        for (size_t i = 0; i < study->input_count; i++) {
            if (!taken[i] && (best == study->input_count || strongest[i] > strongest[best])) {
                best = i;
            }
        }
        taken[best] = true;
        p->field[p->shown] = study->input[best].field;
        memcpy(p->effect[p->shown++], all[best], sizeof all[best]);
    }
}

// Smallest correlation beyond chance, all values considered together.
static double beyond_chance(const struct uncertainty_summary *s) {
    double low = 0.0, high = 1.0;
    for (int i = 0; i < 50; i++) {
        double middle = 0.5 * (low + high);
        double chance = statistics_spearman_chance(middle, s->draws);
        *(chance * (double)s->effect_count < UNCERTAINTY_BEYOND_CHANCE ? &high : &low) = middle;
    }
    return high;
}

int uncertainty_report_draw(const struct uncertainty_report *report) {
    struct picture *p = calloc(1, sizeof *p);
    if (!p) {
        return study_output_fail(report->request, "picture", "out of memory");
    }
    p->report = report;
    fill_shares(p);
    fill_effects(p);
    const char *title[SEVERITY_COUNTED];
    for (size_t k = 0; k < SEVERITY_COUNTED; k++) {
        title[k] = severity_outcome_name(k);
    }
    char what[200];
    bool alike = true;
    for (size_t i = 1; i < p->cases; i++) {
        alike = alike && report->summary[i].measure == report->summary[0].measure;
    }
    snprintf(what, sizeof what, "rank correlation with %s",
             alike ? uncertainty_report_measure(report->summary[0].measure)
                   : "severity; where that hardly varies, with how slowly small motions die out");
    const char *label[] = {"share of the draws [%]", what};
    const double numbers[] = {(double)p->cases, (double)p->shown, SEVERITY_COUNTED,
                              (double)(p->cases < PICTURE_CASES ? p->cases : PICTURE_CASES),
                              beyond_chance(&report->summary[0])};
    const struct plot_table tables[] = {
        {.rows = p->cases, .columns = SEVERITY_COUNTED + 3, .value = p->shares[0], .name = p->name},
        {.rows = p->shown, .columns = PICTURE_CASES, .value = p->effect[0], .name = p->field}};
    const struct plot_script script = {.name = "uncertainty.gp",
                                       .heading = report->scenario->title,
                                       .title_count = SEVERITY_COUNTED,
                                       .title = title,
                                       .label_count = 2,
                                       .label = label,
                                       .number_count = sizeof numbers / sizeof numbers[0],
                                       .number = numbers,
                                       .file_count = 2,
                                       .table = tables};
    int code = study_output_draw(report->request, &script);
    free(p);
    return code;
}
