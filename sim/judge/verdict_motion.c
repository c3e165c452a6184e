// SPDX-License-Identifier: MIT
#include "judge/verdict_study.h"

#include "judge/verdict_figures.h"

#include <math.h>

bool verdict_study_cycle(struct verdict_study *study, struct view *view) {
    const struct verdict_limits *limits = study->limits;
    struct series half =
        series_last(&view->series, limits->motion_share * series_span(&view->series));
    if (series_swing(&half) <= view->rest) {
        return false;
    }
    struct cycles cycles;
    struct motion motion = verdict_study_motion(study);
    cycles_find(&motion, &half, limits, &cycles);
    view->cycle_count = cycles.total;
    if (cycles.count == 0) {
        return false;
    }
    const struct cycle *last = &cycles.cycle[cycles.count - 1];
    double end = last->start + last->period;
    double mean_period = (end - cycles.cycle[0].start) / (double)cycles.count;
    view->cycle_frequency = 1.0 / mean_period;
    study->coarse = study->coarse || mean_period < limits->cycle_samples * half.step;
    if (study->coarse) {
        return false;
    }
    size_t repeats = (size_t)limits->cycle_repeats;
    struct cycles_tolerance tolerance = {
        .share = limits->cycle_tolerance,
        .speed_share = limits->cycle_speed_tolerance,
        .pressure_floor = limits->cycle_floor * study->pressure.rest,
        .travel_floor = limits->cycle_floor * study->travel.rest,
        .time_floor = limits->cycle_time_floor * half.step,
    };
    size_t pattern = cycles_pattern(&cycles, limits, &tolerance);
    // At the limit a change that follows no trend cannot be told from a limit cycle.
    bool waits = !study->last_chance || view->holds;
    if (pattern == 0 ||
        (waits && cycles_still_changing(&cycles, pattern, limits, view == &study->travel))) {
        return false;
    }
    const struct cycle *first = &cycles.cycle[cycles.count - repeats * pattern];
    double frequency = (double)(repeats * pattern) / (end - first->start);
    struct verdict_figures *figures = &study->result->figures;
    verdict_figures_measure(study->input, first->start, end, figures);
    figures->frequency = frequency;
    figures->growth_rate = 0.0;
    figures->log_decrement = 0.0;
    figures->damping_ratio = 0.0;
    figures->pattern = pattern;
    figures->periodic = true;
    char how[100];
    snprintf(how, sizeof how, "repeats itself every %.3g s%s", (double)pattern / frequency,
             pattern > 1 ? ", in cycles that differ in turn" : "");
    return verdict_study_say_motion(study, VERDICT_HUNTING, how);
}

static bool statistics_agree(const struct view *view, const struct verdict_limits *limits) {
    double share = limits->irregular_tolerance;
    double span = series_span(&view->series);
    struct series half = series_last(&view->series, limits->motion_share * span);
    struct series late = series_last(&view->series, 0.5 * limits->motion_share * span);
    struct series early = series_between(&half, half.start, late.start);
    double swing = fmax(series_swing(&early), series_swing(&late));
    double deviation = fmax(series_deviation(&early), series_deviation(&late));
    return swing <= view->rest ||
           (fabs(series_mean(&early) - series_mean(&late)) <= share * swing &&
            fabs(series_deviation(&early) - series_deviation(&late)) <= share * deviation &&
            fabs(series_swing(&early) - series_swing(&late)) <= share * swing);
}

// A trend that is long, or has changed the swing a good deal. Irregular motion shows short ones.
static bool view_develops(const struct view *view, const struct verdict_limits *limits) {
    return view->holds &&
           (fabs(view->trend.change) > limits->irregular_tolerance ||
            (double)view->trend.swings >= limits->irregular_trend * limits->trend_swings);
}

bool verdict_study_irregular(struct verdict_study *study) {
    const struct verdict_limits *limits = study->limits;
    double span = study->end - study->start;
    double half = study->end - limits->motion_share * span;
    double quarter = study->end - 0.5 * limits->motion_share * span;
    size_t contacts = verdict_study_contacts_since(study, half);
    size_t late = verdict_study_contacts_since(study, quarter);
    size_t cycles = study->pressure.cycle_count > study->travel.cycle_count
                        ? study->pressure.cycle_count
                        : study->travel.cycle_count;
    size_t events = cycles > contacts ? cycles : contacts;
    double least = study->last_chance ? limits->irregular_least : limits->irregular_cycles;
    double share = limits->irregular_tolerance;
    // Contacts: the counts of the two quarters.
    double uneven = fabs((double)contacts - 2.0 * (double)late);
    bool even = uneven <= fmax(share * (double)contacts, limits->irregular_contacts);
    bool developing =
        view_develops(&study->pressure, limits) || view_develops(&study->travel, limits);
    if ((double)events < least || developing || !even || (study->coarse && contacts == 0) ||
        !statistics_agree(&study->pressure, limits) || !statistics_agree(&study->travel, limits)) {
        return false;
    }
    if (verdict_study_leading(study)->swing <= verdict_study_leading(study)->rest &&
        contacts == 0) {
        return false;
    }
    verdict_study_measure(study, half);
    const struct view *busier = study->pressure.cycle_count >= study->travel.cycle_count
                                    ? &study->pressure
                                    : &study->travel;
    if (cycles > 0) {
        study->result->figures.frequency = busier->cycle_frequency;
    }
    return verdict_study_say_motion(study, VERDICT_IRREGULAR,
                                    "keeps moving within bounds without repeating itself");
}
