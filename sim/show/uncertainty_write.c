// SPDX-License-Identifier: MIT
// Table and summary of an uncertainty study.
#include "show/uncertainty_report.h"

#include "base/csv.h"
#include "scenario/shown.h"
#include "show/study_output.h"

#include <math.h>

static bool is_uncertain(const struct uncertainty *study, size_t input, size_t trim) {
    return study->input[input].range[trim].low < study->input[input].range[trim].high;
}

// --- Table of all draws

static void write_header(struct csv *csv, const struct uncertainty_report *report) {
    const struct uncertainty *study = report->study;
    const struct scenario_case *c = report->scenario;
    csv_text(csv, "trim");
    if (study->flow_count > 0) {
        csv_heading(csv, "flow", shown_unit(c, UNIT_FLOW));
    }
    csv_text(csv, "draw");
    for (size_t i = 0; i < study->input_count; i++) {
        csv_heading(csv, study->input[i].field, shown_unit(c, study->input[i].kind));
    }
    csv_text(csv, "verdict");
    csv_heading(csv, "pressure swing", shown_unit(c, UNIT_PRESSURE_DROP));
    csv_heading(csv, "highest pressure", shown_unit(c, UNIT_PRESSURE_LEVEL));
    csv_heading(csv, "seat contacts", "1/min");
    csv_heading(csv, "growth of the slowest small motion", "1/s");
    csv_end_row(csv);
}

static void write_draw(struct csv *csv, const struct uncertainty_report *report, size_t trim,
                       size_t flow, size_t draw) {
    const struct uncertainty *study = report->study;
    const struct scenario_case *c = report->scenario;
    const double *row = uncertainty_rows(study, trim, flow) + draw * SEVERITY_COLUMNS;
    csv_text(csv, scenario_trim_name(report->request->scenario, study->trim[trim]));
    if (study->flow_count > 0) {
        double si;
        bool known = !units_to_si(&study->site, &study->flow[flow], &si);
        csv_number(csv, known ? shown_number(c, UNIT_FLOW, si) : (double)NAN);
    }
    csv_number(csv, (double)(draw + 1));
    for (size_t i = 0; i < study->input_count; i++) {
        double value =
            is_uncertain(study, i, trim) ? uncertainty_drawn(study, trim, draw, i) : (double)NAN;
        csv_number(csv, shown_number(c, study->input[i].kind, value));
    }
    csv_text(csv, severity_outcome_name((size_t)row[SEVERITY_OUTCOME]));
    csv_number(csv, shown_number(c, UNIT_PRESSURE_DROP, row[SEVERITY_SWING]));
    csv_number(csv, shown_number(c, UNIT_PRESSURE_LEVEL, row[SEVERITY_PEAK]));
    csv_number(csv, row[SEVERITY_CONTACTS]);
    csv_number(csv, row[SEVERITY_GROWTH]);
    csv_end_row(csv);
}

static int write_table(const struct uncertainty_report *report) {
    const struct uncertainty *study = report->study;
    char path[STUDY_OUTPUT_PATH_SIZE];
    struct csv csv;
    const int code = study_output_table_open(report->request, "csv", path, &csv);
    if (code != EXIT_CODE_DONE) {
        return code;
    }
    write_header(&csv, report);
    for (size_t t = 0; t < study->trim_count; t++) {
        for (size_t f = 0; f < uncertainty_flow_count(study); f++) {
            for (size_t i = 0; i < study->draws; i++) {
                write_draw(&csv, report, t, f, i);
            }
        }
    }
    return study_output_table_close(report->request, path, &csv);
}

// --- Summary

static json_t *number(double value) {
    return isfinite(value) ? json_real(value) : json_null();
}

static json_t *inputs_json(const struct uncertainty_report *report) {
    const struct uncertainty *study = report->study;
    json_t *all = json_array();
    for (size_t i = 0; i < study->input_count; i++) {
        const struct uncertainty_input *input = &study->input[i];
        for (size_t t = 0; t < study->trim_count; t++) {
            if (!is_uncertain(study, i, t)) {
                continue;
            }
            const struct sample_range *r = &input->range[t];
            const char *trim = scenario_trim_name(report->request->scenario, study->trim[t]);
            json_t *one = json_object();
            json_object_set_new(one, "field", json_string(input->field));
            json_object_set_new(one, "trim", json_string(trim));
            json_object_set_new(one, "source", json_string(input->stated ? "range" : "guess"));
            json_object_set_new(one, "shape", json_string(sample_shape_name(r->shape)));
            json_object_set_new(one, "low",
                                number(shown_number(report->scenario, input->kind, r->low)));
            json_object_set_new(one, "stated",
                                number(shown_number(report->scenario, input->kind, r->middle)));
            json_object_set_new(one, "high",
                                number(shown_number(report->scenario, input->kind, r->high)));
            json_object_set_new(one, "unit",
                                json_string(shown_unit(report->scenario, input->kind)));
            json_array_append_new(all, one);
        }
    }
    return all;
}

static json_t *outcomes_json(const struct uncertainty_summary *s) {
    json_t *all = json_object();
    for (size_t k = 0; k < SEVERITY_COUNTED; k++) {
        if (s->count[k] == 0) {
            continue;
        }
        json_t *one = json_object();
        json_object_set_new(one, "draws", json_integer((json_int_t)s->count[k]));
        json_object_set_new(one, "share", number((double)s->count[k] / (double)s->draws));
        json_object_set_new(one, "low", number(s->share[k].low));
        json_object_set_new(one, "high", number(s->share[k].high));
        json_object_set_new(all, severity_outcome_name(k), one);
    }
    return all;
}

static json_t *effects_json(const struct uncertainty *study, const struct uncertainty_summary *s) {
    json_t *all = json_array();
    for (size_t i = 0; i < s->effect_count; i++) {
        const struct uncertainty_effect *e = &s->effect[i];
        json_t *one = json_object();
        json_object_set_new(one, "field", json_string(study->input[e->input].field));
        json_object_set_new(one, "rank_correlation", number(e->leading));
        json_object_set_new(one, "chance", number(e->chance));
        json_object_set_new(one, "beyond_chance", json_boolean(i < s->telling));
        json_object_set_new(one, "share_of_variance", number(e->share));
        json_object_set_new(one, "with_severity", number(e->severity));
        json_object_set_new(one, "with_pressure_swing", number(e->swing));
        json_object_set_new(one, "with_growth_of_small_motions", number(e->growth));
        json_array_append_new(all, one);
    }
    return all;
}

static int write_summary(const struct uncertainty_report *report) {
    const struct uncertainty *study = report->study;
    json_t *document = study_output_summary(report->request);
    json_object_set_new(document, "draws", json_integer((json_int_t)study->draws));
    json_object_set_new(document, "seed", json_integer((json_int_t)study->seed));
    json_object_set_new(document, "guesses_within", number(report->share));
    json_object_set_new(document, "confidence", number(UNCERTAINTY_CONFIDENCE));
    json_object_set_new(document, "uncertain", inputs_json(report));
    json_t *cases = json_array();
    for (size_t t = 0; t < study->trim_count; t++) {
        for (size_t f = 0; f < uncertainty_flow_count(study); f++) {
            const struct uncertainty_summary *s =
                &report->summary[t * uncertainty_flow_count(study) + f];
            const char *trim = scenario_trim_name(report->request->scenario, study->trim[t]);
            json_t *one = json_object();
            double si;
            json_object_set_new(one, "trim", json_string(trim));
            if (study->flow_count > 0 && !units_to_si(&study->site, &study->flow[f], &si)) {
                json_object_set_new(
                    one, "flow",
                    study_output_number(shown_number(report->scenario, UNIT_FLOW, si),
                                        shown_unit(report->scenario, UNIT_FLOW)));
            }
            json_object_set_new(one, "outcomes", outcomes_json(s));
            size_t out_of_reach = s->count[SEVERITY_OUT_OF_REACH];
            size_t impossible = s->count[SEVERITY_IMPOSSIBLE];
            json_object_set_new(one, "draws_that_count", json_integer((json_int_t)s->draws));
            json_object_set_new(one, "set_pressure_out_of_reach",
                                json_integer((json_int_t)out_of_reach));
            json_object_set_new(one, "values_contradict", json_integer((json_int_t)impossible));
            json_object_set_new(one, "ranked_by",
                                json_string(uncertainty_report_measure(s->measure)));
            json_object_set_new(one, "values", effects_json(study, s));
            json_array_append_new(cases, one);
        }
    }
    json_object_set_new(document, "cases", cases);
    return study_output_json(report->request, document);
}

int uncertainty_report_write(const struct uncertainty_report *report) {
    int code = EXIT_CODE_DONE;
    if (report->request->shared.files) {
        code = write_table(report);
        code = code == EXIT_CODE_DONE ? write_summary(report) : code;
    }
    bool drawn = report->request->shared.picture || report->request->shared.sketch;
    return code == EXIT_CODE_DONE && drawn ? uncertainty_report_draw(report) : code;
}
