// SPDX-License-Identifier: MIT
// What plots/decline.gp draws, in numbers and texts.
#include "answer/picture.h"
#include "base/calendar.h"
#include "trims/decline_study.h"

#include <math.h>

enum { CURVE_ROWS = 240 };

// Days of a year of the calendar, on average over its cycle of 400 years.
#define CALENDAR_MEAN_YEAR 365.2425

// Years of the calendar with a fraction, for the axis.
static double axis_year(const struct decline_study *s, double years) {
    return 1970.0 + ((double)s->decline.day + years * CALENDAR_YEAR) / CALENDAR_MEAN_YEAR;
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

// Columns: year, rate, its bounds.
static void add_curve(struct answer *answer, const struct decline_study *s, double last) {
    struct picture_data *data = picture_data(answer, 4);
    for (int i = 0; i < CURVE_ROWS; i++) {
        const double years = last * i / (CURVE_ROWS - 1);
        double rate[3];
        decline_study_rate(s, years, rate);
        const double row[] = {axis_year(s, years), answer_shown(answer, UNIT_FLOW, rate[0]),
                              answer_shown(answer, UNIT_FLOW, rate[1]),
                              answer_shown(answer, UNIT_FLOW, rate[2])};
        picture_row(data, NULL, row);
    }
}

// Columns: year, rate. At least one row: gnuplot has no word for an empty file.
static void add_record(struct answer *answer, const struct decline_study *s) {
    const struct arps_record *r = &s->decline.record;
    struct picture_data *data = picture_data(answer, 2);
    const double none[] = {(double)NAN, (double)NAN};
    if (r->count == 0) {
        picture_row(data, NULL, none);
    }
    for (size_t i = 0; i < r->count; i++) {
        const double row[] = {axis_year(s, r->years[i]),
                              answer_shown(answer, UNIT_FLOW, r->rate[i])};
        picture_row(data, NULL, row);
    }
}

// Of each trim its largest flow, lowest kicked, lowest settled, and where the crossings lie.
static void add_trim(struct answer *answer, const struct decline_study *s,
                     const struct decline_trim *t) {
    const struct outlook *o = &t->outlook;
    const double flow[] = {t->window.top, t->window.kicked, t->window.settled};
    const double years[] = {o->kicked.years, o->kicked.early, o->kicked.late, o->settled.years};
    for (size_t k = 0; k < sizeof flow / sizeof flow[0]; k++) {
        picture_number(answer, answer_shown(answer, UNIT_FLOW, flow[k]));
    }
    for (size_t k = 0; k < sizeof years / sizeof years[0]; k++) {
        picture_number(answer, axis_year(s, years[k]));
    }
}

void decline_study_picture(const struct decline_study *s, struct answer *answer) {
    const struct decline *d = &s->decline;
    const double last = last_shown(s);
    picture_begin(answer, "decline.gp", answer->title);
    add_curve(answer, s, last);
    add_record(answer, s);
    picture_axis(answer, "flow", UNIT_FLOW);
    const double whole[] = {(double)s->count, axis_year(s, 0.0), axis_year(s, d->today),
                            axis_year(s, last), d->fitted ? 1.0 : 0.0};
    for (size_t k = 0; k < sizeof whole / sizeof whole[0]; k++) {
        picture_number(answer, whole[k]);
    }
    for (size_t i = 0; i < s->count; i++) {
        picture_title(answer, "%s", s->trim[i].name);
        add_trim(answer, s, &s->trim[i]);
    }
    for (size_t i = 0; i < s->count; i++) {
        char date[CALENDAR_TEXT_SIZE];
        decline_date(d, s->trim[i].outlook.kicked.years, date);
        picture_title(answer, "%s", date);
    }
}
