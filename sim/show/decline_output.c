// SPDX-License-Identifier: MIT
// Files of `decline`: the trims as a table, the rates month by month, and a summary.
#include "base/calendar.h"
#include "base/csv.h"
#include "scenario/shown.h"
#include "show/study_output.h"
#include "show/window_output.h"
#include "study/decline_study.h"

#include <math.h>
#include <string.h>

// --- Tables

static void put_date(struct csv *csv, const struct decline_study *s, double years) {
    char text[CALENDAR_TEXT_SIZE] = "";
    if (isfinite(years)) {
        decline_date(&s->decline, years, text);
    }
    csv_text(csv, text);
}

static void put_crossing(struct csv *csv, const struct decline_study *s,
                         const struct outlook_crossing *c) {
    csv_text(csv, outlook_when_name(c->when));
    put_date(csv, s, c->years);
    put_date(csv, s, c->early);
    put_date(csv, s, c->late);
}

static void put_crossing_headings(struct csv *csv, const char *what) {
    char text[96];
    csv_text(csv, what);
    static const char *const parts[] = {"date", "earliest", "latest"};
    for (size_t i = 0; i < sizeof parts / sizeof parts[0]; i++) {
        snprintf(text, sizeof text, "%s %s", what, parts[i]);
        csv_text(csv, text);
    }
}

static int write_trims(const struct study_request *request, const struct decline_study *s) {
    char path[STUDY_OUTPUT_PATH_SIZE];
    struct csv csv;
    const int code = study_output_table_open(request, "csv", path, &csv);
    if (code != EXIT_CODE_DONE) {
        return code;
    }
    csv_text(&csv, "trim");
    csv_text(&csv, "today");
    window_output_headings(&csv, &s->scenario);
    put_crossing_headings(&csv, "passes the flow from");
    put_crossing_headings(&csv, "leaves its window");
    put_crossing_headings(&csv, "moves by itself");
    csv_end_row(&csv);
    for (size_t i = 0; i < s->count; i++) {
        const struct decline_trim *t = &s->trim[i];
        csv_text(&csv, t->name);
        csv_text(&csv, outlook_state_name(t->outlook.state));
        window_output_row(&csv, &s->scenario, &t->window);
        put_crossing(&csv, s, &t->outlook.passes);
        put_crossing(&csv, s, &t->outlook.kicked);
        put_crossing(&csv, s, &t->outlook.settled);
        csv_end_row(&csv);
    }
    return study_output_table_close(request, path, &csv);
}

// The amount that a flow unit counts, and how many of its times make a year.
struct amount {
    char unit[32];
    double year;
};

static struct amount amount_of(const char *flow_unit) {
    static const struct {
        const char *ending;
        double a_day;
    } times[] = {{"/d", 1.0}, {"/h", 24.0}, {"/s", 86400.0}};
    const size_t length = strlen(flow_unit);
    for (size_t i = 0; i < sizeof times / sizeof times[0]; i++) {
        if (length > 2 && strcmp(flow_unit + length - 2, times[i].ending) == 0) {
            struct amount a = {.year = times[i].a_day * CALENDAR_YEAR};
            snprintf(a.unit, sizeof a.unit, "%.*s", (int)length - 2, flow_unit);
            return a;
        }
    }
    return (struct amount){"gal", 1440.0 * CALENDAR_YEAR}; // gpm
}

static int write_rates(const struct study_request *request, const struct decline_study *s) {
    static const char *const names[] = {"rate", "rate low", "rate high"};
    char path[STUDY_OUTPUT_PATH_SIZE];
    struct csv csv;
    const int code = study_output_table_open(request, "rates.csv", path, &csv);
    if (code != EXIT_CODE_DONE) {
        return code;
    }
    const struct decline *d = &s->decline;
    const struct amount amount = amount_of(s->flow_unit);
    csv_text(&csv, "date");
    for (int k = 0; k < 3; k++) {
        csv_heading(&csv, names[k], s->flow_unit);
    }
    csv_heading(&csv, "produced since the first date", amount.unit);
    csv_end_row(&csv);
    const double end = (double)d->day + s->horizon * CALENDAR_YEAR;
    for (long day = d->day; (double)day <= end; day = calendar_next_month(day)) {
        const double years = (double)(day - d->day) / CALENDAR_YEAR;
        double rate[3];
        decline_study_rate(s, years, rate);
        put_date(&csv, s, years);
        for (int k = 0; k < 3; k++) {
            csv_number(&csv, decline_study_flow(s, rate[k]));
        }
        csv_number(&csv, decline_study_flow(s, arps_cumulative(&d->curve, years)) * amount.year);
        csv_end_row(&csv);
    }
    return study_output_table_close(request, path, &csv);
}

// --- Summary

static json_t *date_json(const struct decline_study *s, double years) {
    char text[CALENDAR_TEXT_SIZE];
    if (!isfinite(years)) {
        return json_null();
    }
    decline_date(&s->decline, years, text);
    return json_string(text);
}

static json_t *crossing_json(const struct decline_study *s, const struct outlook_crossing *c) {
    json_t *one = json_object();
    json_object_set_new(one, "when", json_string(outlook_when_name(c->when)));
    json_object_set_new(one, "date", date_json(s, c->years));
    json_object_set_new(one, "earliest", date_json(s, c->early));
    json_object_set_new(one, "latest", date_json(s, c->late));
    return one;
}

static json_t *flow_json(const struct decline_study *s, double flow) {
    return study_output_number(decline_study_flow(s, flow), s->flow_unit);
}

static json_t *fits_json(const struct decline *d) {
    json_t *all = json_array();
    for (int i = 0; i < ARPS_MODEL_COUNT; i++) {
        const struct arps_fit *fit = &d->fit[i];
        if (fit->status != ARPS_FITTED) {
            continue;
        }
        json_t *one = json_object();
        json_object_set_new(one, "law", json_string(arps_model_name(fit->model)));
        json_object_set_new(one, "nominal_per_year", json_real(fit->curve.nominal));
        json_object_set_new(one, "exponent", json_real(fit->curve.exponent));
        json_object_set_new(one, "relative_error_of_nominal",
                            json_real(sqrt(fit->covariance[1][1])));
        json_object_set_new(one, "error_of_exponent", json_real(sqrt(fit->covariance[2][2])));
        json_object_set_new(one, "corrected_akaike", json_real(fit->score));
        json_object_set_new(one, "residual_correlation", json_real(fit->correlation));
        json_array_append_new(all, one);
    }
    return all;
}

static json_t *decline_json(const struct decline_study *s) {
    const struct decline *d = &s->decline;
    json_t *one = json_object();
    json_object_set_new(one, "law", json_string(arps_model_name(d->model)));
    json_object_set_new(one, "rate", flow_json(s, d->curve.rate));
    json_object_set_new(one, "rate_date", date_json(s, 0.0));
    json_object_set_new(one, "nominal_per_year", json_real(d->curve.nominal));
    json_object_set_new(one, "exponent", json_real(d->curve.exponent));
    json_object_set_new(one, "today", date_json(s, d->today));
    json_object_set_new(one, "horizon", date_json(s, s->horizon));
    if (d->fitted) {
        json_object_set_new(one, "reason", json_string(d->reason));
        json_object_set_new(one, "rates", json_integer((json_int_t)d->record.count));
        json_object_set_new(one, "confidence", json_real(ARPS_CONFIDENCE));
        json_object_set_new(one, "fits", fits_json(d));
    }
    return one;
}

static json_t *trim_json(const struct decline_study *s, const struct decline_trim *t) {
    const struct trim_window *w = &t->window;
    json_t *one = json_object();
    json_object_set_new(one, "trim", json_string(t->name));
    json_object_set_new(one, "today", json_string(outlook_state_name(t->outlook.state)));
    json_object_set_new(one, "set_screw_turned_at", flow_json(s, t->adjusted));
    window_output_json(one, &s->scenario, w);
    json_object_set_new(one, "steady_up_to", flow_json(s, w->top));
    json_object_set_new(one, "lowest_flow_looked_at", flow_json(s, w->looked_at));
    json_object_set_new(one, "passes_the_flow_from", crossing_json(s, &t->outlook.passes));
    json_object_set_new(one, "leaves_its_window", crossing_json(s, &t->outlook.kicked));
    json_object_set_new(one, "moves_by_itself", crossing_json(s, &t->outlook.settled));
    return one;
}

static int write_summary(const struct study_request *request, const struct decline_study *s) {
    json_t *document = study_output_summary(request);
    json_object_set_new(document, "decline", decline_json(s));
    json_object_set_new(
        document, "kick",
        study_output_number(shown_number(&s->scenario, UNIT_PRESSURE_DROP, s->search.kick),
                            shown_unit(&s->scenario, UNIT_PRESSURE_DROP)));
    json_t *trims = json_array();
    for (size_t i = 0; i < s->count; i++) {
        json_array_append_new(trims, trim_json(s, &s->trim[i]));
    }
    json_object_set_new(document, "trims", trims);
    return study_output_json(request, document);
}

int decline_study_write(const struct study_request *request, const struct decline_study *study) {
    int code = EXIT_CODE_DONE;
    if (request->shared.files) {
        code = write_trims(request, study);
        code = code == EXIT_CODE_DONE ? write_rates(request, study) : code;
        code = code == EXIT_CODE_DONE ? write_summary(request, study) : code;
    }
    if (code == EXIT_CODE_DONE && (request->shared.picture || request->shared.sketch)) {
        code = decline_study_draw(request, study);
    }
    return code;
}
