// SPDX-License-Identifier: MIT
// The files of `lowlift kick`.
#include "show/kick_output.h"

#include "base/csv.h"
#include "show/study_output.h"

#include <math.h>

static const struct study_subject *first(const struct kick *kick) {
    return &kick->trim[0].own; // its units are those of all
}

static double flow_of(const struct kick *kick, double si) {
    return study_subject_shown(first(kick), UNIT_FLOW, si);
}

static double drop_of(const struct kick *kick, double si) {
    return study_subject_shown(first(kick), UNIT_PRESSURE_DROP, si);
}

static const char *restart_words(const struct kick_point *p) {
    return p->restart == STEADINESS_NO_RUN ? "" : verdict_name(p->restart_verdict);
}

static void kick_rows(struct csv *csv, const struct kick *kick) {
    const char *drop = study_subject_unit(first(kick), UNIT_PRESSURE_DROP);
    csv_text(csv, "trim");
    csv_heading(csv, "flow", study_subject_unit(first(kick), UNIT_FLOW));
    csv_text(csv, "left alone");
    csv_heading(csv, "smallest kick", drop);
    csv_text(csv, "direction");
    csv_heading(csv, "largest tried", drop);
    csv_text(csv, "restart");
    csv_end_row(csv);
    for (size_t i = 0; i < kick->trim_count; i++) {
        for (size_t k = 0; k < kick->points; k++) {
            const struct kick_point *p = &kick->trim[i].point[k];
            double size = p->smallest.size;
            csv_text(csv, kick->trim[i].own.resolved.trim_name);
            csv_number(csv, flow_of(kick, p->flow));
            csv_text(csv, kick_output_settled(p));
            csv_number(csv, drop_of(kick, size));
            csv_text(csv, !isfinite(size) || size == 0.0 ? "" : p->smallest.upward ? "up" : "down");
            csv_number(csv, drop_of(kick, p->smallest.largest));
            csv_text(csv, restart_words(p));
            csv_end_row(csv);
        }
    }
}

static void sweep_rows(struct csv *csv, const struct kick *kick) {
    const struct study_subject *own = first(kick);
    csv_text(csv, "trim");
    csv_text(csv, "direction");
    csv_heading(csv, "flow", study_subject_unit(own, UNIT_FLOW));
    csv_text(csv, "verdict");
    csv_heading(csv, "pressure swing", study_subject_unit(own, UNIT_PRESSURE_DROP));
    csv_heading(csv, "travel swing", "%");
    csv_heading(csv, "frequency", "Hz");
    csv_heading(csv, "seat contacts", "1/min");
    csv_end_row(csv);
    for (size_t i = 0; i < kick->trim_count; i++) {
        const struct kick_trim *t = &kick->trim[i];
        for (size_t k = 0; k < 2 * kick->points; k++) {
            bool rising = k < kick->points;
            const struct sweep_step *s = rising ? &t->up[k] : &t->down[2 * kick->points - 1 - k];
            csv_text(csv, t->own.resolved.trim_name);
            csv_text(csv, rising ? "rising" : "falling");
            csv_number(csv, flow_of(kick, s->flow));
            csv_text(csv, verdict_name(s->verdict));
            csv_number(csv, drop_of(kick, s->pressure_swing));
            csv_number(csv, study_subject_percent(&t->own, s->travel_swing));
            csv_number(csv, s->frequency);
            csv_number(csv, s->seat_rate);
            csv_end_row(csv);
        }
    }
}

static int write_table(const struct kick *kick, const char *ending,
                       void (*rows)(struct csv *, const struct kick *)) {
    char path[STUDY_OUTPUT_PATH_SIZE];
    struct csv csv;
    const int code = study_output_table_open(kick->request, ending, path, &csv);
    if (code != EXIT_CODE_DONE) {
        return code;
    }
    rows(&csv, kick);
    return study_output_table_close(kick->request, path, &csv);
}

static json_t *step_json(const struct kick *kick, const struct sweep_step *s) {
    json_t *one = json_object();
    const char *unit = study_subject_unit(first(kick), UNIT_PRESSURE_DROP);
    json_object_set_new(one, "verdict", json_string(verdict_name(s->verdict)));
    json_object_set_new(one, "pressure_swing",
                        study_output_number(drop_of(kick, s->pressure_swing), unit));
    json_object_set_new(one, "frequency", study_output_number(s->frequency, "Hz"));
    json_object_set_new(one, "seat_rate", study_output_number(s->seat_rate, "1/min"));
    return one;
}

static json_t *points_json(const struct kick *kick, const struct kick_trim *t) {
    const char *unit = study_subject_unit(first(kick), UNIT_PRESSURE_DROP);
    json_t *all = json_array();
    for (size_t i = 0; i < kick->points; i++) {
        const struct kick_point *p = &t->point[i];
        json_t *one = json_object();
        json_object_set_new(one, "flow",
                            study_output_number(flow_of(kick, p->flow),
                                                study_subject_unit(first(kick), UNIT_FLOW)));
        json_object_set_new(one, "left_alone", json_string(kick_output_settled(p)));
        json_object_set_new(one, "smallest_kick",
                            study_output_number(drop_of(kick, p->smallest.size), unit));
        json_object_set_new(one, "every_kick_dies_out", json_boolean(isinf(p->smallest.size)));
        json_object_set_new(one, "upward", json_boolean(p->smallest.upward));
        json_object_set_new(one, "restart", json_string(restart_words(p)));
        json_object_set_new(one, "rising", step_json(kick, &t->up[i]));
        json_object_set_new(one, "falling", step_json(kick, &t->down[i]));
        json_array_append_new(all, one);
    }
    return all;
}

static int write_summary(const struct kick *kick) {
    json_t *document = study_output_summary(kick->request), *trims = json_array();
    const char *unit = study_subject_unit(first(kick), UNIT_PRESSURE_DROP);
    json_object_set_new(document, "largest_kick",
                        study_output_number(drop_of(kick, kick->largest), unit));
    for (size_t i = 0; i < kick->trim_count; i++) {
        json_t *one = json_object();
        json_object_set_new(one, "trim", json_string(kick->trim[i].own.resolved.trim_name));
        json_object_set_new(one, "points", points_json(kick, &kick->trim[i]));
        json_array_append_new(trims, one);
    }
    json_object_set_new(document, "trims", trims);
    return study_output_json(kick->request, document);
}

int kick_output_write(const struct kick *kick) {
    const struct study_request *q = kick->request;
    int code = EXIT_CODE_DONE;
    if (q->shared.files) {
        code = write_table(kick, "kicks.csv", kick_rows);
        code = code == EXIT_CODE_DONE ? write_table(kick, "sweep.csv", sweep_rows) : code;
        code = code == EXIT_CODE_DONE ? write_summary(kick) : code;
    }
    if (code == EXIT_CODE_DONE && (q->shared.picture || q->shared.sketch)) {
        code = kick_output_draw(kick);
    }
    return code;
}
