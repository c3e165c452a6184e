// SPDX-License-Identifier: MIT
// Table, summary and picture of remedies.
#include "show/remedies_report.h"

#include "base/csv.h"
#include "scenario/field.h"
#include "scenario/shown.h"
#include "show/study_output.h"

#include <math.h>
#include <stdlib.h>

// --- Table: every try

static void write_header(struct csv *csv, const struct scenario_case *c) {
    csv_text(csv, "remedy");
    csv_text(csv, "parts");
    csv_text(csv, "best");
    csv_text(csv, "effect");
    csv_text(csv, "change");
    csv_text(csv, "verdict");
    csv_heading(csv, "pressure swing", shown_unit(c, UNIT_PRESSURE_DROP));
    csv_heading(csv, "highest pressure", shown_unit(c, UNIT_PRESSURE_LEVEL));
    csv_heading(csv, "seat contacts", "1/min");
    csv_text(csv, "steady range");
    csv_heading(csv, "lowest steady flow", shown_unit(c, UNIT_FLOW));
    csv_heading(csv, "highest flow passed", shown_unit(c, UNIT_FLOW));
    csv_end_row(csv);
}

static void write_try(struct csv *csv, const struct remedies *r, const char *name, bool parts,
                      bool best, size_t index) {
    const struct remedies_try *attempt = &r->tries[index];
    const struct scenario_case *c = &r->resolved;
    const double *row = attempt->row;
    char text[REMEDIES_TEXT_SIZE];
    csv_text(csv, name);
    csv_text(csv, parts ? "yes" : "no");
    csv_text(csv, best ? "yes" : "no");
    csv_text(csv,
             index == 0 ? "" : remedies_effect_name(remedies_compare(r, &r->tries[0], attempt)));
    remedies_report_change(r, attempt, text);
    csv_text(csv, text);
    csv_text(csv, severity_outcome_name((size_t)row[SEVERITY_OUTCOME]));
    csv_number(csv, shown_number(c, UNIT_PRESSURE_DROP, row[SEVERITY_SWING]));
    csv_number(csv, shown_number(c, UNIT_PRESSURE_LEVEL, row[SEVERITY_PEAK]));
    csv_number(csv, row[SEVERITY_CONTACTS]);
    csv_text(csv, remedies_report_range_name(attempt));
    csv_number(csv, shown_number(c, UNIT_FLOW, row[REMEDIES_LOWEST]));
    csv_number(csv, shown_number(c, UNIT_FLOW, row[REMEDIES_TOP]));
    csv_end_row(csv);
}

static int write_table(const struct remedies_report *report) {
    const struct remedies *r = report->remedies;
    char path[STUDY_OUTPUT_PATH_SIZE];
    struct csv csv;
    const int code = study_output_table_open(report->request, "csv", path, &csv);
    if (code != EXIT_CODE_DONE) {
        return code;
    }
    write_header(&csv, &r->resolved);
    write_try(&csv, r, "as it stands", false, true, 0);
    for (size_t i = 0; i < r->entry_count; i++) {
        const struct remedies_entry *e = &r->entry[i];
        char name[REMEDIES_TEXT_SIZE];
        remedies_report_name(r, e, name);
        for (size_t k = e->first; k < e->first + e->tries; k++) {
            write_try(&csv, r, name, e->parts, k == e->best, k);
        }
    }
    return study_output_table_close(report->request, path, &csv);
}

// --- Summary: the best try of each

static json_t *number(double value) {
    return isfinite(value) ? json_real(value) : json_null();
}

static json_t *changes_json(const struct remedies *r, const struct remedies_try *attempt) {
    json_t *all = json_array();
    for (size_t i = 0; i < attempt->count; i++) {
        const struct remedy *remedy = attempt->remedy[i];
        enum unit_kind kind = field_at(field_index_of(remedy->field))->kind;
        json_t *one = json_object();
        json_object_set_new(one, "field", json_string(remedy->field));
        json_object_set_new(one, "from",
                            number(shown_number(&r->resolved, kind, attempt->today[i])));
        json_object_set_new(one, "to", number(shown_number(&r->resolved, kind, attempt->value[i])));
        json_object_set_new(one, "unit", json_string(shown_unit(&r->resolved, kind)));
        json_array_append_new(all, one);
    }
    return all;
}

static void add_result(json_t *one, const struct remedies *r, const struct remedies_try *attempt) {
    const struct scenario_case *c = &r->resolved;
    const double *row = attempt->row;
    json_object_set_new(one, "verdict",
                        json_string(severity_outcome_name((size_t)row[SEVERITY_OUTCOME])));
    json_object_set_new(
        one, "pressure_swing",
        study_output_number(shown_number(c, UNIT_PRESSURE_DROP, row[SEVERITY_SWING]),
                            shown_unit(c, UNIT_PRESSURE_DROP)));
    json_object_set_new(one, "seat_contacts", study_output_number(row[SEVERITY_CONTACTS], "1/min"));
    json_object_set_new(one, "steady_range", json_string(remedies_report_range_name(attempt)));
    json_object_set_new(one, "lowest_steady_flow",
                        study_output_number(shown_number(c, UNIT_FLOW, row[REMEDIES_LOWEST]),
                                            shown_unit(c, UNIT_FLOW)));
    json_object_set_new(one, "highest_flow_passed",
                        study_output_number(shown_number(c, UNIT_FLOW, row[REMEDIES_TOP]),
                                            shown_unit(c, UNIT_FLOW)));
}

static json_t *entry_json(const struct remedies *r, const struct remedies_entry *e) {
    char name[REMEDIES_TEXT_SIZE];
    json_t *one = json_object();
    remedies_report_name(r, e, name);
    json_object_set_new(one, "remedy", json_string(name));
    json_object_set_new(one, "parts", json_boolean(e->parts));
    json_object_set_new(one, "effect", json_string(remedies_effect_name(e->effect)));
    json_object_set_new(one, "changes", changes_json(r, &r->tries[e->best]));
    json_object_set_new(one, "stronger_is_worse", json_boolean(e->too_much));
    add_result(one, r, &r->tries[e->best]);
    if (!e->pair && e->count == 1) {
        json_object_set_new(one, "action", json_string(e->remedy[0]->action));
        json_object_set_new(one, "caution", json_string(e->remedy[0]->caution));
    }
    return one;
}

static int write_summary(const struct remedies_report *report) {
    const struct remedies *r = report->remedies;
    json_t *document = study_output_summary(report->request);
    json_t *today = json_object(), *entries = json_array(), *left_out = json_array();
    json_object_set_new(document, "trim", json_string(r->resolved.trim_name));
    json_object_set_new(document, "flow",
                        study_output_number(shown_number(&r->resolved, UNIT_FLOW, r->flow),
                                            shown_unit(&r->resolved, UNIT_FLOW)));
    json_object_set_new(document, "kick",
                        study_output_number(shown_number(&r->resolved, UNIT_PRESSURE_DROP, r->kick),
                                            shown_unit(&r->resolved, UNIT_PRESSURE_DROP)));
    add_result(today, r, &r->tries[0]);
    json_object_set_new(document, "as_it_stands", today);
    for (size_t i = 0; i < r->entry_count; i++) {
        json_array_append_new(entries, entry_json(r, &r->entry[i]));
    }
    json_object_set_new(document, "remedies", entries);
    for (size_t i = 0; remedy_at(i); i++) {
        const char *missing = remedy_missing(remedy_at(i), r->scenario, r->trim, &r->resolved);
        if (missing) {
            json_t *one = json_object();
            json_object_set_new(one, "remedy", json_string(remedy_at(i)->name));
            json_object_set_new(one, "because", json_string(missing));
            json_array_append_new(left_out, one);
        }
    }
    json_object_set_new(document, "left_out", left_out);
    return study_output_json(report->request, document);
}

int remedies_report_write(const struct remedies_report *report) {
    int code = EXIT_CODE_DONE;
    if (report->request->shared.files) {
        code = write_table(report);
        code = code == EXIT_CODE_DONE ? write_summary(report) : code;
    }
    bool drawn = report->request->shared.picture || report->request->shared.sketch;
    return code == EXIT_CODE_DONE && drawn ? remedies_report_draw(report) : code;
}
