// SPDX-License-Identifier: MIT
// What plots/decline.gp draws, in numbers and texts.
#include "base/calendar.h"
#include "show/study_output.h"
#include "study/decline_study.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { CURVE_ROWS = 240, PLOT_COLUMNS = 4 };

// Years of the calendar with a fraction, for the axis.
static double axis_year(const struct decline_study *s, double years) {
    return 1970.0 + ((double)s->decline.day + years * CALENDAR_YEAR) / 365.2425;
}

// Dates shown end somewhat after the last crossing, or at the horizon when there is none.
static double last_shown(const struct decline_study *s) {
    double last = 0.0;
    for (size_t i = 0; i < s->count; i++) {
        const struct outlook *o = &s->trim[i].outlook;
        const struct outlook_crossing *all[] = {&o->passes, &o->kicked, &o->settled};
        for (size_t k = 0; k < 3; k++) {
            if (all[k]->when == OUTLOOK_ON) {
                last = fmax(last, isfinite(all[k]->late) ? all[k]->late : all[k]->years);
            }
        }
    }
    const double today = s->decline.today;
    return last > today ? fmin(s->horizon, last + 0.15 * (last - fmin(today, 0.0)) + 0.25)
                        : s->horizon;
}

static void fill_curve(const struct decline_study *s, double last,
                       double curve[CURVE_ROWS][PLOT_COLUMNS]) {
    for (int i = 0; i < CURVE_ROWS; i++) {
        const double years = last * i / (CURVE_ROWS - 1);
        double rate[3];
        decline_study_rate(s, years, rate);
        curve[i][0] = axis_year(s, years);
        for (int k = 0; k < 3; k++) {
            curve[i][k + 1] = decline_study_flow(s, rate[k]);
        }
    }
}

// Numbers of the script: five of the whole, then for each trim its largest flow, lowest kicked,
// lowest settled, and where the crossings lie.
enum { NUMBERS_WHOLE = 5, NUMBERS_TRIM = 7, NUMBERS_MAX = 5 + 7 * STUDY_REQUEST_TRIMS_MAX };

static size_t fill_numbers(const struct decline_study *s, double last, double number[NUMBERS_MAX]) {
    const struct decline *d = &s->decline;
    const double whole[NUMBERS_WHOLE] = {(double)s->count, axis_year(s, 0.0),
                                         axis_year(s, d->today), axis_year(s, last),
                                         d->fitted ? 1.0 : 0.0};
    memcpy(number, whole, sizeof whole);
    for (size_t i = 0; i < s->count; i++) {
        const struct decline_trim *t = &s->trim[i];
        const struct outlook *o = &t->outlook;
        const double row[NUMBERS_TRIM] = {
            decline_study_flow(s, t->window.top),
            decline_study_flow(s, t->window.kicked),
            decline_study_flow(s, t->window.settled),
            axis_year(s, o->kicked.years),
            axis_year(s, o->kicked.early),
            axis_year(s, o->kicked.late),
            axis_year(s, o->settled.years),
        };
        memcpy(number + NUMBERS_WHOLE + i * NUMBERS_TRIM, row, sizeof row);
    }
    return NUMBERS_WHOLE + s->count * NUMBERS_TRIM;
}

int decline_study_draw(const struct study_request *request, const struct decline_study *s) {
    double curve[CURVE_ROWS][PLOT_COLUMNS];
    double number[NUMBERS_MAX];
    const struct decline *d = &s->decline;
    const double last = last_shown(s);
    // At least one row: gnuplot has no word for an empty file.
    const size_t count = d->record.count > 0 ? d->record.count : 1;
    double *record = malloc(count * 2 * sizeof *record);
    if (!record) {
        return study_output_fail(request, "picture", "out of memory");
    }
    record[0] = (double)NAN;
    record[1] = (double)NAN;
    for (size_t i = 0; i < d->record.count; i++) {
        record[2 * i] = axis_year(s, d->record.years[i]);
        record[2 * i + 1] = decline_study_flow(s, d->record.rate[i]);
    }
    fill_curve(s, last, curve);
    const size_t number_count = fill_numbers(s, last, number);
    char dates[STUDY_REQUEST_TRIMS_MAX][CALENDAR_TEXT_SIZE];
    const char *title[2 * STUDY_REQUEST_TRIMS_MAX];
    for (size_t i = 0; i < s->count; i++) {
        decline_date(d, s->trim[i].outlook.kicked.years, dates[i]);
        title[i] = s->trim[i].name;
        title[s->count + i] = dates[i];
    }
    char label[64];
    snprintf(label, sizeof label, "flow [%s]", s->flow_unit);
    const char *const labels[] = {label};
    const struct plot_table tables[] = {
        {.rows = CURVE_ROWS, .columns = PLOT_COLUMNS, .value = &curve[0][0]},
        {.rows = count, .columns = 2, .value = record},
    };
    const struct plot_script script = {
        .name = "decline.gp",
        .heading = s->scenario.title,
        .title_count = 2 * s->count,
        .title = title,
        .label_count = 1,
        .label = labels,
        .number_count = number_count,
        .number = number,
        .file_count = 2,
        .table = tables,
    };
    const int code = study_output_draw(request, &script);
    free(record);
    return code;
}
