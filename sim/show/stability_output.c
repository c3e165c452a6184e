// SPDX-License-Identifier: MIT
// The files of `lowlift stability`.
#include "show/stability_output.h"

#include "base/csv.h"
#include "show/study_output.h"

#include <math.h>

// The units of the first trim are those of all.
static double flow_of(const struct stability *stability, double si) {
    return study_subject_shown(&stability->trim[0].own, UNIT_FLOW, si);
}

static const char *flow_unit(const struct stability *stability) {
    return study_subject_unit(&stability->trim[0].own, UNIT_FLOW);
}

static double pressure_of(const struct stability *stability, double si) {
    return study_subject_shown(&stability->trim[0].own, UNIT_PRESSURE_LEVEL, si);
}

static const char *pressure_unit(const struct stability *stability) {
    return study_subject_unit(&stability->trim[0].own, UNIT_PRESSURE_LEVEL);
}

static void flow_rows(struct csv *csv, const struct stability *stability) {
    csv_text(csv, "trim");
    csv_heading(csv, "flow", flow_unit(stability));
    csv_text(csv, "rest");
    csv_heading(csv, "growth", "1/s");
    csv_heading(csv, "frequency", "Hz");
    csv_heading(csv, "swing damping ratio", "");
    csv_heading(csv, "swing frequency", "Hz");
    csv_heading(csv, "lowest damping ratio", "");
    csv_heading(csv, "its frequency", "Hz");
    csv_heading(csv, "travel", "%");
    csv_heading(csv, "controlled pressure", pressure_unit(stability));
    csv_end_row(csv);
    for (size_t i = 0; i < stability->trim_count; i++) {
        const struct stability_trim *t = &stability->trim[i];
        for (size_t k = 0; k < stability->points; k++) {
            const struct steadiness_settled *s = &t->curve[k].settled;
            csv_text(csv, t->own.resolved.trim_name);
            csv_number(csv, flow_of(stability, t->curve[k].flow));
            csv_text(csv, steadiness_rest_name(s->rest));
            csv_number(csv, s->growth);
            csv_number(csv, s->frequency);
            csv_number(csv, s->swing_damping);
            csv_number(csv, s->swing_frequency);
            csv_number(csv, s->damping);
            csv_number(csv, s->ringing);
            csv_number(csv, study_subject_percent(&t->own, s->travel));
            csv_number(csv, pressure_of(stability, s->pressure));
            csv_end_row(csv);
        }
    }
}

static void mode_rows(struct csv *csv, const struct stability *stability) {
    csv_text(csv, "trim");
    csv_heading(csv, "growth", "1/s");
    csv_heading(csv, "frequency", "Hz");
    csv_heading(csv, "damping ratio", "");
    csv_end_row(csv);
    for (size_t i = 0; i < stability->trim_count; i++) {
        const struct stability_trim *t = &stability->trim[i];
        for (size_t k = 0; k < t->modes.count; k++) {
            csv_text(csv, t->own.resolved.trim_name);
            csv_number(csv, t->modes.at[k].growth);
            csv_number(csv, t->modes.at[k].frequency);
            csv_number(csv, t->modes.at[k].damping_ratio);
            csv_end_row(csv);
        }
    }
}

static void driver_rows(struct csv *csv, const struct stability *stability) {
    csv_text(csv, "trim");
    csv_text(csv, "frozen");
    csv_text(csv, "words");
    csv_heading(csv, "growth", "1/s");
    csv_heading(csv, "frequency", "Hz");
    csv_end_row(csv);
    for (size_t i = 0; i < stability->trim_count; i++) {
        const struct stability_trim *t = &stability->trim[i];
        for (int k = 0; k < DRIVER_COUNT; k++) {
            if (t->driven && t->growth[k].applies) {
                csv_text(csv, t->own.resolved.trim_name);
                csv_text(csv, driver_name((enum driver)k));
                csv_text(csv, driver_words((enum driver)k));
                csv_number(csv, t->growth[k].growth);
                csv_number(csv, t->growth[k].frequency);
                csv_end_row(csv);
            }
        }
    }
}

static int write_table(const struct stability *stability, const char *ending,
                       void (*rows)(struct csv *, const struct stability *)) {
    char path[STUDY_OUTPUT_PATH_SIZE];
    struct csv csv;
    const int code = study_output_table_open(stability->request, ending, path, &csv);
    if (code != EXIT_CODE_DONE) {
        return code;
    }
    rows(&csv, stability);
    return study_output_table_close(stability->request, path, &csv);
}

static json_t *real_or_null(double value) {
    return isfinite(value) ? json_real(value) : json_null();
}

static json_t *window_json(const struct steadiness_window *w, const struct stability *stability) {
    static const char *const name[] = {"everywhere", "from", "nowhere", "not at top", "wide open"};
    json_t *one = json_object(), *changes = json_array();
    json_object_set_new(one, "steady", json_string(name[w->range]));
    json_object_set_new(one, "lowest_steady_flow",
                        study_output_number(flow_of(stability, w->lowest), flow_unit(stability)));
    json_object_set_new(one, "low",
                        study_output_number(flow_of(stability, w->low), flow_unit(stability)));
    json_object_set_new(one, "top",
                        study_output_number(flow_of(stability, w->top), flow_unit(stability)));
    json_object_set_new(one, "monotone", json_boolean(w->monotone));
    for (size_t i = 0; i < w->count; i++) {
        const struct steadiness_change *c = &w->change[i];
        json_t *change = json_object();
        json_object_set_new(change, "flow",
                            study_output_number(flow_of(stability, c->flow), flow_unit(stability)));
        json_object_set_new(change, "below", json_string(steadiness_rest_name(c->below)));
        json_object_set_new(change, "above", json_string(steadiness_rest_name(c->above)));
        json_object_set_new(change, "frequency_hz", real_or_null(c->frequency));
        json_array_append_new(changes, change);
    }
    json_object_set_new(one, "changes", changes);
    return one;
}

static json_t *modes_json(const struct linear_modes *modes) {
    json_t *all = json_array();
    for (size_t i = 0; i < modes->count; i++) {
        json_t *one = json_object();
        json_object_set_new(one, "growth_per_s", json_real(modes->at[i].growth));
        json_object_set_new(one, "frequency_hz", json_real(modes->at[i].frequency));
        json_object_set_new(one, "damping_ratio", json_real(modes->at[i].damping_ratio));
        json_array_append_new(all, one);
    }
    return all;
}

static json_t *drivers_json(const struct stability_trim *t) {
    json_t *all = json_object();
    for (int i = 0; t->driven && i < DRIVER_COUNT; i++) {
        if (t->growth[i].applies) {
            json_t *one = json_object();
            json_object_set_new(one, "growth_per_s", real_or_null(t->growth[i].growth));
            json_object_set_new(one, "frequency_hz", real_or_null(t->growth[i].frequency));
            json_object_set_new(all, driver_name((enum driver)i), one);
        }
    }
    return all;
}

static int write_summary(const struct stability *stability) {
    json_t *document = study_output_summary(stability->request), *trims = json_array();
    for (size_t i = 0; i < stability->trim_count; i++) {
        const struct stability_trim *t = &stability->trim[i];
        json_t *one = json_object();
        json_object_set_new(one, "trim", json_string(t->own.resolved.trim_name));
        json_object_set_new(
            one, "flow",
            study_output_number(flow_of(stability, t->own.steadiness.flow), flow_unit(stability)));
        json_object_set_new(one, "rest", json_string(steadiness_rest_name(t->today.rest)));
        json_object_set_new(one, "travel_percent",
                            real_or_null(study_subject_percent(&t->own, t->today.travel)));
        json_object_set_new(one, "controlled_pressure",
                            study_output_number(pressure_of(stability, t->today.pressure),
                                                pressure_unit(stability)));
        json_object_set_new(one, "growth_per_s", real_or_null(t->today.growth));
        json_object_set_new(one, "modes", modes_json(&t->modes));
        json_object_set_new(one, "window", window_json(&t->window, stability));
        json_object_set_new(one, "frozen", drivers_json(t));
        json_array_append_new(trims, one);
    }
    json_object_set_new(document, "trims", trims);
    return study_output_json(stability->request, document);
}

int stability_output_write(const struct stability *stability) {
    const struct study_request *q = stability->request;
    int code = EXIT_CODE_DONE;
    if (q->shared.files) {
        static const struct {
            const char *ending;
            void (*rows)(struct csv *, const struct stability *);
        } table[] = {
            {"flows.csv", flow_rows}, {"modes.csv", mode_rows}, {"drivers.csv", driver_rows}};
        for (size_t i = 0; i < 3 && code == EXIT_CODE_DONE; i++) {
            code = write_table(stability, table[i].ending, table[i].rows);
        }
        code = code == EXIT_CODE_DONE ? write_summary(stability) : code;
    }
    if (code == EXIT_CODE_DONE && (q->shared.picture || q->shared.sketch)) {
        code = stability_output_draw(stability);
    }
    return code;
}
