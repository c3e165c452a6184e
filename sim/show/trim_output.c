// SPDX-License-Identifier: MIT
// Files of `trims`: a table with a row a trim and pressure, a summary, and a picture.
#include "base/csv.h"
#include "scenario/shown.h"
#include "show/study_output.h"
#include "show/window_output.h"
#include "study/trim_study.h"

#include <math.h>
#include <string.h>

static double flow_shown(const struct trim_study *s, double flow) {
    return shown_number(&s->scenario, UNIT_FLOW, flow);
}

// --- Table

static void put_headings(struct csv *csv, const struct trim_study *s) {
    const char *pressure = shown_unit(&s->scenario, UNIT_PRESSURE_LEVEL);
    const char *drop = shown_unit(&s->scenario, UNIT_PRESSURE_DROP);
    char text[96];
    csv_text(csv, "trim");
    csv_text(csv, "rank");
    csv_text(csv, "in place");
    csv_heading(csv, s->envelope.of_set ? "set pressure" : "line pressure", pressure);
    window_output_headings(csv, &s->scenario);
    for (int f = 0; f < ENVELOPE_FLOW_COUNT; f++) {
        const char *name = envelope_flow_name((enum envelope_flow)f);
        snprintf(text, sizeof text, "opening at %s", name);
        csv_heading(csv, text, "%");
        snprintf(text, sizeof text, "settled pressure at %s", name);
        csv_heading(csv, text, pressure);
        snprintf(text, sizeof text, "verdict at %s", name);
        csv_text(csv, text);
        snprintf(text, sizeof text, "swing at %s", name);
        csv_heading(csv, text, drop);
    }
    csv_text(csv, "verdict today");
    csv_heading(csv, "swing today", drop);
    csv_heading(csv, "seat contacts today", "1/min");
    csv_end_row(csv);
}

static void put_row(struct csv *csv, const struct trim_study *s, const struct trim_record *t,
                    size_t pressure) {
    const struct scenario_case *c = &s->scenario;
    csv_text(csv, t->name);
    csv_number(csv, (double)t->rank);
    csv_text(csv, t->parts == 0 ? "yes" : "no");
    csv_number(csv, shown_number(c, UNIT_PRESSURE_LEVEL, s->envelope.pressure[pressure]));
    window_output_row(csv, c, &t->at[pressure]);
    for (int f = 0; f < ENVELOPE_FLOW_COUNT; f++) {
        const struct trim_point *p = &t->point[f][pressure];
        const bool asked = !isnan(s->envelope.flow[f]);
        csv_number(csv, 100.0 * p->opening);
        csv_number(csv, shown_number(c, UNIT_PRESSURE_LEVEL, p->pressure));
        csv_text(csv, asked ? verdict_name(p->verdict) : "");
        csv_number(csv, shown_number(c, UNIT_PRESSURE_DROP, p->swing));
    }
    csv_text(csv, verdict_name(t->today));
    csv_number(csv, shown_number(c, UNIT_PRESSURE_DROP, t->today_swing));
    csv_number(csv, t->today_seat_rate);
    csv_end_row(csv);
}

static int write_table(const struct study_request *request, const struct trim_study *s) {
    char path[STUDY_OUTPUT_PATH_SIZE];
    struct csv csv;
    const int code = study_output_table_open(request, "csv", path, &csv);
    if (code != EXIT_CODE_DONE) {
        return code;
    }
    put_headings(&csv, s);
    for (size_t i = 0; i < s->count; i++) {
        for (size_t p = 0; p < s->envelope.pressure_count; p++) {
            put_row(&csv, s, &s->trim[i], p);
        }
    }
    return study_output_table_close(request, path, &csv);
}

// --- Summary

static json_t *shown_json(const struct trim_study *s, enum unit_kind kind, double si) {
    const struct scenario_case *c = &s->scenario;
    return study_output_number(shown_number(c, kind, si), shown_unit(c, kind));
}

static json_t *plain_json(double value) {
    return isfinite(value) ? json_real(value) : json_null();
}

static json_t *envelope_json(const struct trim_study *s) {
    const struct envelope *e = &s->envelope;
    json_t *one = json_object();
    for (int f = 0; f < ENVELOPE_FLOW_COUNT; f++) {
        json_object_set_new(one, envelope_flow_name((enum envelope_flow)f),
                            shown_json(s, UNIT_FLOW, e->flow[f]));
    }
    json_t *pressures = json_array();
    for (size_t p = 0; p < e->pressure_count; p++) {
        json_array_append_new(pressures, shown_json(s, UNIT_PRESSURE_LEVEL, e->pressure[p]));
    }
    json_object_set_new(one, "pressure_of", json_string(e->of_set ? "set" : "line"));
    json_object_set_new(one, "pressures", pressures);
    return one;
}

static json_t *points_json(const struct trim_study *s, const struct trim_record *t) {
    json_t *all = json_array();
    for (int f = 0; f < ENVELOPE_FLOW_COUNT; f++) {
        for (size_t p = 0; p < s->envelope.pressure_count && !isnan(s->envelope.flow[f]); p++) {
            const struct trim_point *point = &t->point[f][p];
            json_t *one = json_object();
            json_object_set_new(one, "flow",
                                json_string(envelope_flow_name((enum envelope_flow)f)));
            json_object_set_new(one, "pressure_index", json_integer((json_int_t)p));
            json_object_set_new(one, "opening", plain_json(point->opening));
            json_object_set_new(one, "settled_pressure",
                                shown_json(s, UNIT_PRESSURE_LEVEL, point->pressure));
            json_object_set_new(one, "verdict", json_string(verdict_name(point->verdict)));
            json_object_set_new(one, "swing", shown_json(s, UNIT_PRESSURE_DROP, point->swing));
            json_array_append_new(all, one);
        }
    }
    return all;
}

static json_t *trim_json(const struct trim_study *s, const struct trim_record *t) {
    json_t *one = json_object();
    json_object_set_new(one, "trim", json_string(t->name));
    json_object_set_new(one, "rank", json_integer((json_int_t)t->rank));
    json_object_set_new(one, "in_place", json_boolean(t->parts == 0));
    json_object_set_new(one, "passes_the_peak", json_boolean(t->judged.passes));
    json_object_set_new(one, "steady_over_the_envelope", json_boolean(t->judged.steady));
    json_object_set_new(one, "margin", plain_json(t->judged.margin));
    window_output_json(one, &s->scenario, &t->window);
    json_object_set_new(one, "lowest_flow_looked_at",
                        shown_json(s, UNIT_FLOW, t->window.looked_at));
    json_object_set_new(one, "steady_up_to", shown_json(s, UNIT_FLOW, t->window.top));
    json_object_set_new(one, "turndown", plain_json(t->window.top / t->window.kicked));
    json_object_set_new(one, "set_screw_turned_at", shown_json(s, UNIT_FLOW, t->adjusted));
    json_object_set_new(one, "settled_pressure_at_the_peak",
                        shown_json(s, UNIT_PRESSURE_LEVEL, trim_study_peak_pressure(s, t)));
    json_object_set_new(one, "worst_verdict", json_string(verdict_name(t->worst)));
    json_object_set_new(one, "largest_swing", shown_json(s, UNIT_PRESSURE_DROP, t->worst_swing));
    json_object_set_new(one, "verdict_today", json_string(verdict_name(t->today)));
    json_object_set_new(one, "swing_today", shown_json(s, UNIT_PRESSURE_DROP, t->today_swing));
    json_object_set_new(one, "points", points_json(s, t));
    return one;
}

static int write_summary(const struct study_request *request, const struct trim_study *s) {
    json_t *document = study_output_summary(request);
    const struct trim_choice *c = &s->choice;
    json_object_set_new(document, "envelope", envelope_json(s));
    json_object_set_new(document, "vessel_limit",
                        shown_json(s, UNIT_PRESSURE_LEVEL, s->scenario.pressure_limit));
    json_object_set_new(document, "kick", shown_json(s, UNIT_PRESSURE_DROP, s->search.kick));
    json_object_set_new(document, "advice", json_string(trim_advice_name(c->advice)));
    json_object_set_new(document, "trim",
                        c->advice == TRIM_ADVICE_NONE
                            ? json_null()
                            : json_string(s->trim[c->rank[0].candidate].name));
    json_object_set_new(document, "reason", json_string(c->reason));
    json_t *trims = json_array();
    for (size_t i = 0; i < s->count; i++) {
        json_array_append_new(trims, trim_json(s, &s->trim[i]));
    }
    json_object_set_new(document, "trims", trims);
    return study_output_json(request, document);
}

// --- Picture

// Numbers of the script: five of the whole, then for each trim its window, its rank, and its
// openings at the flows of the envelope, smaller and larger.
enum {
    NUMBERS_WHOLE = 5,
    NUMBERS_TRIM = 5 + 2 * ENVELOPE_FLOW_COUNT,
    NUMBERS_MAX = NUMBERS_WHOLE + NUMBERS_TRIM * STUDY_REQUEST_TRIMS_MAX
};

static size_t fill_numbers(const struct trim_study *s, double number[NUMBERS_MAX]) {
    const struct envelope *e = &s->envelope;
    const double whole[NUMBERS_WHOLE] = {(double)s->count, flow_shown(s, e->flow[ENVELOPE_LOWEST]),
                                         flow_shown(s, e->flow[ENVELOPE_NORMAL]),
                                         flow_shown(s, e->flow[ENVELOPE_PEAK]),
                                         flow_shown(s, s->today)};
    memcpy(number, whole, sizeof whole);
    for (size_t i = 0; i < s->count; i++) {
        const struct trim_record *t = &s->trim[i];
        double *row = number + NUMBERS_WHOLE + i * NUMBERS_TRIM;
        row[0] = flow_shown(s, t->window.top);
        row[1] = flow_shown(s, t->window.kicked);
        row[2] = flow_shown(s, t->window.settled);
        row[3] = (double)t->rank;
        row[4] = t->window.kicked <= t->window.looked_at; // the window goes further down
        for (int f = 0; f < ENVELOPE_FLOW_COUNT; f++) {
            const double a = 100.0 * t->point[f][0].opening;
            const double b = 100.0 * t->point[f][e->pressure_count - 1].opening;
            row[5 + 2 * f] = fmin(a, b);
            row[6 + 2 * f] = fmax(a, b);
        }
    }
    return NUMBERS_WHOLE + s->count * NUMBERS_TRIM;
}

// Titles: each trim's name, then each trim's verdict over the envelope.
static int draw(const struct study_request *request, const struct trim_study *s) {
    double number[NUMBERS_MAX];
    const size_t number_count = fill_numbers(s, number);
    const char *title[2 * STUDY_REQUEST_TRIMS_MAX];
    for (size_t i = 0; i < s->count; i++) {
        title[i] = s->trim[i].name;
        title[s->count + i] = verdict_name(s->trim[i].worst);
    }
    char flow[64];
    char advice[128];
    const struct trim_choice *c = &s->choice;
    const bool fit = c->advice == TRIM_ADVICE_FIT;
    snprintf(flow, sizeof flow, "flow [%s]", shown_unit(&s->scenario, UNIT_FLOW));
    snprintf(advice, sizeof advice, "advice: %s%s%.64s", trim_advice_name(c->advice),
             fit ? " " : "", fit ? s->trim[c->rank[0].candidate].name : "");
    const char *const label[] = {flow, advice};
    const struct plot_script script = {
        .name = "trims.gp",
        .heading = s->scenario.title,
        .title_count = 2 * s->count,
        .title = title,
        .label_count = 2,
        .label = label,
        .number_count = number_count,
        .number = number,
    };
    return study_output_draw(request, &script);
}

int trim_study_write(const struct study_request *request, const struct trim_study *study) {
    int code = EXIT_CODE_DONE;
    if (request->shared.files) {
        code = write_table(request, study);
        code = code == EXIT_CODE_DONE ? write_summary(request, study) : code;
    }
    if (code == EXIT_CODE_DONE && (request->shared.picture || request->shared.sketch)) {
        code = draw(request, study);
    }
    return code;
}
