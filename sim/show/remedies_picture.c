// SPDX-License-Identifier: MIT
// Numbers and texts of the picture of remedies; plots/remedies.gp draws it.
#include "show/remedies_report.h"

#include "scenario/shown.h"
#include "show/study_output.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { ROWS_MAX = 40, PAIRS_MAX = 4, COLUMNS = 4 };

struct picture {
    const struct remedies *remedies;
    size_t rows;
    char left[ROWS_MAX][REMEDIES_TEXT_SIZE], right[ROWS_MAX][REMEDIES_TEXT_SIZE];
    const char *name[ROWS_MAX], *result[ROWS_MAX];
    double value[ROWS_MAX][COLUMNS]; // steady from, to; effect, -1: as it stands; group
};

// Group: 0 as it stands, 1 without parts, 2 with parts, 3 pairs.
static void add_row(struct picture *p, const struct remedies_try *attempt, double effect,
                    double group) {
    const struct remedies *r = p->remedies;
    size_t i = p->rows++;
    double lowest = attempt->row[REMEDIES_LOWEST];
    double top = isfinite(lowest) ? attempt->row[REMEDIES_TOP] : (double)NAN;
    p->value[i][0] = shown_number(&r->resolved, UNIT_FLOW, lowest);
    p->value[i][1] = shown_number(&r->resolved, UNIT_FLOW, top);
    p->value[i][2] = effect;
    p->value[i][3] = group;
    char swing[64] = "";
    if (attempt->row[SEVERITY_SWING] > 0.0) {
        shown_text(&r->resolved, UNIT_PRESSURE_DROP, attempt->row[SEVERITY_SWING], swing,
                   sizeof swing);
    }
    snprintf(p->right[i], REMEDIES_TEXT_SIZE, "%s%s%s",
             severity_outcome_name((size_t)attempt->row[SEVERITY_OUTCOME]), swing[0] ? ", " : "",
             swing);
    p->name[i] = p->left[i];
    p->result[i] = p->right[i];
}

static void fill_rows(struct picture *p) {
    const struct remedies *r = p->remedies;
    snprintf(p->left[0], REMEDIES_TEXT_SIZE, "as it stands");
    add_row(p, &r->tries[0], -1.0, 0.0);
    size_t pairs = r->entry_count - r->single_count;
    pairs = pairs < PAIRS_MAX ? pairs : PAIRS_MAX;
    for (size_t i = 0; i < r->single_count + pairs && p->rows < ROWS_MAX; i++) {
        const struct remedies_entry *e = &r->entry[i];
        remedies_report_name(r, e, p->left[p->rows]);
        double group = i >= r->single_count ? 3.0 : e->parts ? 2.0 : 1.0;
        add_row(p, &r->tries[e->best], e->effect, group);
    }
}

int remedies_report_draw(const struct remedies_report *report) {
    const struct remedies *r = report->remedies;
    struct picture *p = calloc(1, sizeof *p);
    if (!p) {
        return study_output_fail(report->request, "picture", "out of memory");
    }
    p->remedies = r;
    fill_rows(p);
    const char *title[REMEDIES_EFFECTS];
    for (int i = 0; i < REMEDIES_EFFECTS; i++) {
        title[i] = remedies_effect_name((enum remedies_effect)i);
    }
    char axis[120], heading[300];
    char kick[64] = "left alone";
    if (r->kick > 0.0) {
        snprintf(kick, sizeof kick, "kicked by ");
        size_t used = strlen(kick);
        shown_text(&r->resolved, UNIT_PRESSURE_DROP, r->kick, kick + used, sizeof kick - used);
    }
    snprintf(axis, sizeof axis, "steady range of flows, %s [%s]", kick,
             shown_unit(&r->resolved, UNIT_FLOW));
    snprintf(heading, sizeof heading, "%s: trim %s", r->resolved.title, r->resolved.trim_name);
    const char *label[] = {axis, "at today's flow"};
    const double numbers[] = {(double)p->rows, shown_number(&r->resolved, UNIT_FLOW, r->low),
                              shown_number(&r->resolved, UNIT_FLOW, r->high),
                              shown_number(&r->resolved, UNIT_FLOW, r->flow), REMEDIES_EFFECTS};
    const struct plot_table tables[] = {
        {.rows = p->rows, .columns = COLUMNS, .value = p->value[0], .name = p->name},
        {.rows = p->rows, .columns = COLUMNS, .value = p->value[0], .name = p->result}};
    const struct plot_script script = {.name = "remedies.gp",
                                       .heading = heading,
                                       .title_count = REMEDIES_EFFECTS,
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
