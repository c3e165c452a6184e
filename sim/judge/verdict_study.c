// SPDX-License-Identifier: MIT
#include "judge/verdict_study.h"

#include "judge/verdict_figures.h"

#include <math.h>
#include <stdarg.h>

bool verdict_study_say(struct verdict_study *study, enum verdict verdict, bool decided,
                       const char *format, ...) __attribute__((format(printf, 4, 5)));

bool verdict_study_say(struct verdict_study *study, enum verdict verdict, bool decided,
                       const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    study->result->verdict = verdict;
    study->result->decided = decided;
    vsnprintf(study->result->reason, sizeof study->result->reason, format, arguments);
    va_end(arguments);
    return true;
}

void verdict_study_measure(struct verdict_study *study, double from) {
    verdict_figures_measure(study->input, from, study->end, &study->result->figures);
}

void verdict_study_set_trend(struct verdict_study *study, const struct trend *trend) {
    struct verdict_figures *figures = &study->result->figures;
    figures->frequency = trend->frequency;
    figures->growth_rate = trend->rate;
    figures->log_decrement = -trend->rate / trend->frequency;
    figures->damping_ratio = trend->damping_ratio;
}

static bool trend_holds(const struct trend *trend, const struct verdict_limits *limits) {
    double scatter = limits->trend_scatter * fmax(1.0, fabs(trend->change));
    double change = fabs(trend->change);
    return (double)trend->swings >= limits->trend_swings && change >= limits->trend_least &&
           change >= limits->trend_over_scatter * trend->scatter && trend->scatter <= scatter &&
           trend->spacing <= limits->trend_scatter &&
           trend->late_rate / trend->early_rate >= limits->trend_persists;
}

// The longest trend of the last swings that holds: early large swings may follow another law.
static void view_find_trend(struct view *view, double window_swing,
                            const struct verdict_limits *limits) {
    struct turning_points points;
    double floor =
        fmax(limits->trend_floor_rest * view->rest, limits->trend_floor_window * window_swing);
    turning_points_find(&view->series, floor, limits, &points);
    size_t least = (size_t)limits->trend_swings;
    for (size_t swings = (size_t)limits->trend_longest * least; swings >= least && !view->holds;
         swings /= 2) {
        view->trend = trend_find(&points, swings);
        view->holds = trend_holds(&view->trend, limits);
        if (swings == 0) {
            break;
        }
    }
}

static void view_begin(struct view *view, const struct series *series, double from, double rest) {
    *view = (struct view){.series = series_after(series, from), .rest = rest};
}

static void view_measure_window(struct view *view, double quiet) {
    struct series window = series_last(&view->series, quiet);
    view->swing = series_swing(&window);
    view->slope = series_slope(&window);
}

void verdict_study_begin(struct verdict_study *study) {
    const struct verdict_input *input = study->input;
    const struct verdict_limits *limits = study->limits;
    view_begin(&study->pressure, &input->motion.pressure, input->from,
               limits->steady_pressure * input->pressure_scale);
    view_begin(&study->travel, &input->motion.travel, input->from,
               limits->steady_travel * input->rated_travel);
    const struct series *series = &study->pressure.series;
    double span = series_span(series);
    study->start = series->start;
    study->end = series->start + span;
    study->at_limit = study->end >= input->limit - 0.5 * series->step;
    study->last_chance = study->at_limit && !input->goes_on;
    double period = input->period_hint;
    struct view *views[] = {&study->pressure, &study->travel};
    for (int i = 0; i < 2; i++) {
        view_measure_window(views[i], fmin(limits->quiet_time, limits->quiet_first * span));
        view_find_trend(views[i], views[i]->swing, limits);
        if (views[i]->holds) {
            period = fmax(period, 1.0 / views[i]->trend.frequency);
        }
    }
    study->quiet = fmax(
        fmax(limits->quiet_time, limits->quiet_share * span),
        fmax(limits->quiet_periods * period, limits->quiet_schedules * input->schedule_period));
    view_measure_window(&study->pressure, study->quiet);
    view_measure_window(&study->travel, study->quiet);
}

size_t verdict_study_contacts_since(const struct verdict_study *study, double from) {
    return contact_list_between(&study->input->motion.seat, from, HUGE_VAL).count;
}

struct view *verdict_study_leading(struct verdict_study *study) {
    double pressure = study->pressure.swing / study->pressure.rest;
    double travel = study->travel.swing / study->travel.rest;
    return pressure >= travel ? &study->pressure : &study->travel;
}

bool view_decays(const struct view *view) {
    return view->holds && view->trend.rate < 0.0;
}

bool verdict_study_say_motion(struct verdict_study *study, enum verdict quiet_seat,
                              const char *how) {
    struct verdict_figures *figures = &study->result->figures;
    size_t contacts = verdict_study_contacts_since(study, figures->window_start);
    if (contacts == 0) {
        return verdict_study_say(study, quiet_seat, true,
                                 "%s; the seat is not touched; pressure swings by %.3g %% of set",
                                 how,
                                 100.0 * figures->pressure_swing / study->input->pressure_scale);
    }
    bool chatter = figures->seat_rate > study->limits->chatter_rate;
    return verdict_study_say(study, chatter ? VERDICT_CHATTER : VERDICT_SLAMMING, true,
                             "%s; the seat is hit %.3g times a minute", how, figures->seat_rate);
}

struct motion verdict_study_motion(const struct verdict_study *study) {
    struct motion motion = study->input->motion;
    motion.pressure = study->pressure.series;
    motion.travel = study->travel.series;
    return motion;
}
