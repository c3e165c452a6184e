// SPDX-License-Identifier: MIT
// What plots/stability.gp is given.
#include "show/stability_output.h"

#include "show/study_output.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

// Bars longer than this many times the growth as it is are cut, and marked so.
#define BAR_CLIP 2.5
#define ANOTHER_MODE 3.0 // ratio of neighbouring frequencies

enum { CURVE_COLUMNS = 3, CHANGE_COLUMNS = 2, ROW_SIZE = CURVE_COLUMNS * sizeof(double) };

struct sheet {
    const struct stability *stability;
    const char *title[STUDY_REQUEST_TRIMS_MAX];
    double *curve[STUDY_REQUEST_TRIMS_MAX];
    size_t rows[STUDY_REQUEST_TRIMS_MAX];
    double change[STUDY_REQUEST_TRIMS_MAX * STEADINESS_NEUTRAL_MAX][CHANGE_COLUMNS];
    size_t changes;
    double bar[DRIVER_COUNT][STUDY_REQUEST_TRIMS_MAX];
    const char *bar_name[DRIVER_COUNT];
    size_t bars;
    double longest; // half width of the bar chart [1/s]
};

static double flow_of(const struct stability *stability, double si) {
    return study_subject_shown(&stability->trim[0].own, UNIT_FLOW, si);
}

// Rows of a curve; where another mode takes over, an empty one, so that no line joins the two.
static size_t fill_curve(const struct stability *s, const struct stability_trim *t, double *out) {
    size_t rows = 0;
    for (size_t k = 0; k < s->points; k++) {
        const struct steadiness_settled *here = &t->curve[k].settled;
        double before = k > 0 ? t->curve[k - 1].settled.swing_frequency : (double)NAN;
        double ratio = here->swing_frequency / before;
        const double none = (double)NAN, flow = flow_of(s, t->curve[k].flow);
        if (ratio > ANOTHER_MODE || ratio < 1.0 / ANOTHER_MODE) {
            memcpy(&out[CURVE_COLUMNS * rows++], (double[]){none, none, none}, ROW_SIZE);
        }
        memcpy(&out[CURVE_COLUMNS * rows++],
               (double[]){flow, here->swing_damping, here->swing_frequency}, ROW_SIZE);
    }
    return rows;
}

static bool fill_curves(struct sheet *sheet) {
    const struct stability *s = sheet->stability;
    for (size_t i = 0; i < s->trim_count; i++) {
        const struct stability_trim *t = &s->trim[i];
        sheet->title[i] = t->own.resolved.trim_name;
        sheet->curve[i] = malloc(2 * s->points * CURVE_COLUMNS * sizeof(double));
        if (!sheet->curve[i]) {
            return false;
        }
        sheet->rows[i] = fill_curve(s, t, sheet->curve[i]);
        for (size_t k = 0; k < t->window.count; k++) {
            const struct steadiness_change *c = &t->window.change[k];
            if (c->below <= STEADINESS_UNSTEADY && c->above <= STEADINESS_UNSTEADY) {
                double *row = sheet->change[sheet->changes++];
                row[0] = flow_of(s, c->flow);
                row[1] = (double)(i + 1);
            }
        }
    }
    return true;
}

static void fill_bars(struct sheet *sheet) {
    const struct stability *s = sheet->stability;
    for (int d = 0; d < DRIVER_COUNT; d++) {
        bool any = false;
        for (size_t i = 0; i < s->trim_count; i++) {
            const struct stability_trim *t = &s->trim[i];
            any = any || (t->driven && t->growth[d].applies);
            sheet->bar[sheet->bars][i] = t->driven ? t->growth[d].growth : (double)NAN;
            if (t->driven && d == DRIVER_NONE) {
                sheet->longest = fmax(sheet->longest, BAR_CLIP * fabs(t->growth[d].growth));
            }
        }
        if (any) {
            sheet->bar_name[sheet->bars++] = driver_words((enum driver)d);
        }
    }
}

static int draw(const struct sheet *sheet) {
    const struct stability *s = sheet->stability;
    struct plot_table table[STUDY_REQUEST_TRIMS_MAX + 2];
    for (size_t i = 0; i < s->trim_count; i++) {
        table[i] = (struct plot_table){
            .rows = sheet->rows[i], .columns = CURVE_COLUMNS, .value = sheet->curve[i]};
    }
    table[s->trim_count] = (struct plot_table){
        .rows = sheet->changes, .columns = CHANGE_COLUMNS, .value = sheet->change[0]};
    table[s->trim_count + 1] = (struct plot_table){.rows = sheet->bars,
                                                   .columns = STUDY_REQUEST_TRIMS_MAX,
                                                   .value = sheet->bar[0],
                                                   .name = sheet->bar_name};
    char flow[64];
    snprintf(flow, sizeof flow, "flow [%s]", study_subject_unit(&s->trim[0].own, UNIT_FLOW));
    const char *label[] = {flow};
    const double number[] = {(double)s->trim_count,  flow_of(s, s->low),
                             flow_of(s, s->high),    flow_of(s, s->trim[0].own.steadiness.flow),
                             (double)sheet->changes, (double)sheet->bars,
                             sheet->longest};
    struct plot_script script = {.name = "stability.gp",
                                 .heading = s->trim[0].own.resolved.title,
                                 .title_count = s->trim_count,
                                 .title = sheet->title,
                                 .label_count = 1,
                                 .label = label,
                                 .number_count = sizeof number / sizeof number[0],
                                 .number = number,
                                 .file_count = s->trim_count + 2,
                                 .table = table};
    return study_output_draw(s->request, &script);
}

int stability_output_draw(const struct stability *stability) {
    struct sheet *sheet = calloc(1, sizeof *sheet);
    int code = EXIT_CODE_SOLVER;
    if (sheet) {
        sheet->stability = stability;
        if (fill_curves(sheet)) {
            fill_bars(sheet);
            code = draw(sheet);
        }
        for (size_t i = 0; i < stability->trim_count; i++) {
            free(sheet->curve[i]);
        }
    }
    free(sheet);
    if (code == EXIT_CODE_SOLVER) {
        fprintf(stderr, "lowlift stability: out of memory\n");
    }
    return code;
}
