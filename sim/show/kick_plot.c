// SPDX-License-Identifier: MIT
// What plots/kick.gp is given.
#include "show/kick_output.h"

#include "show/study_output.h"

#include <math.h>
#include <stdlib.h>

// Columns: flow; smallest kick, the largest tried where every kick dies out; 1 where it does; 1
// where friction holds it; 1 where it moves if left alone; swing rising; swing falling.
enum { COLUMNS = 7 };

static void fill_row(const struct kick *kick, const struct kick_trim *t, size_t i, double *row) {
    const struct study_subject *own = &kick->trim[0].own;
    const struct kick_point *p = &t->point[i];
    const struct steadiness_kick *k = &p->smallest;
    double size = isinf(k->size) ? kick->largest : k->size;
    row[0] = study_subject_shown(own, UNIT_FLOW, p->flow);
    row[1] = study_subject_shown(own, UNIT_PRESSURE_DROP, size);
    row[2] = isinf(k->size);
    row[3] = k->rest == STEADINESS_UNSTEADY && k->size > 0.0;
    row[4] = k->size == 0.0;
    row[5] = study_subject_shown(own, UNIT_PRESSURE_DROP, t->up[i].pressure_swing);
    row[6] = study_subject_shown(own, UNIT_PRESSURE_DROP, t->down[i].pressure_swing);
}

int kick_output_draw(const struct kick *kick) {
    size_t size = kick->points * COLUMNS;
    double *value = malloc(kick->trim_count * size * sizeof *value);
    if (!value) {
        fprintf(stderr, "lowlift kick: out of memory\n");
        return EXIT_CODE_SOLVER;
    }
    struct plot_table table[STUDY_REQUEST_TRIMS_MAX];
    const char *title[STUDY_REQUEST_TRIMS_MAX];
    for (size_t t = 0; t < kick->trim_count; t++) {
        for (size_t i = 0; i < kick->points; i++) {
            fill_row(kick, &kick->trim[t], i, &value[t * size + i * COLUMNS]);
        }
        table[t] = (struct plot_table){
            .rows = kick->points, .columns = COLUMNS, .value = &value[t * size]};
        title[t] = kick->trim[t].own.resolved.trim_name;
    }
    const struct study_subject *own = &kick->trim[0].own;
    char flow[64], smallest[80], swing[80];
    const char *drop = study_subject_unit(own, UNIT_PRESSURE_DROP);
    snprintf(flow, sizeof flow, "flow [%s]", study_subject_unit(own, UNIT_FLOW));
    snprintf(smallest, sizeof smallest, "smallest kick [%s]", drop);
    snprintf(swing, sizeof swing, "swing of the pressure [%s]", drop);
    const char *label[] = {flow, smallest, swing};
    const double number[] = {(double)kick->trim_count,
                             study_subject_shown(own, UNIT_FLOW, kick->low),
                             study_subject_shown(own, UNIT_FLOW, kick->high),
                             study_subject_shown(own, UNIT_FLOW, own->steadiness.flow),
                             study_subject_shown(own, UNIT_PRESSURE_DROP, kick->largest)};
    struct plot_script script = {.name = "kick.gp",
                                 .heading = own->resolved.title,
                                 .title_count = kick->trim_count,
                                 .title = title,
                                 .label_count = 3,
                                 .label = label,
                                 .number_count = sizeof number / sizeof number[0],
                                 .number = number,
                                 .file_count = kick->trim_count,
                                 .table = table};
    int code = study_output_draw(kick->request, &script);
    free(value);
    return code;
}
