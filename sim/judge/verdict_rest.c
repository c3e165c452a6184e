// SPDX-License-Identifier: MIT
#include "judge/verdict_study.h"

#include <math.h>

// Time after which a signal stays within its swing of rest about the mean of the quiet window.
static double view_settling(const struct view *view, double quiet) {
    struct series window = series_last(&view->series, quiet);
    double mean = series_mean(&window);
    size_t i = view->series.count;
    while (i > 0 && fabs(view->series.value[i - 1] - mean) <= view->rest) {
        i--;
    }
    return (double)i * view->series.step;
}

// Damping ratio of all swings above rest together, for a decay that follows no straight trend.
// NaN with fewer swings than settling_swings.
static double view_overall_damping(const struct view *view, const struct verdict_limits *limits) {
    struct turning_points points;
    turning_points_find(&view->series, view->rest, limits, &points);
    if (points.count < (size_t)limits->settling_swings + 2) {
        return (double)NAN;
    }
    double first = turning_points_swing(&points, 1);
    double last = turning_points_swing(&points, points.count - 2);
    double decrement = log(first / last) / (double)(points.count - 3);
    return decrement / hypot(decrement, acos(-1.0));
}

static bool view_is_growing(const struct view *view, const struct verdict_limits *limits) {
    return view->holds && view->trend.rate > 0.0 && view->trend.change > limits->trend_seen;
}

bool verdict_study_is_creeping(const struct verdict_study *study) {
    double time = study->limits->drift_time;
    return fabs(study->pressure.slope) * time > study->pressure.rest ||
           fabs(study->travel.slope) * time > study->travel.rest;
}

bool verdict_is_stuck(double offset, double scale, bool opens_above,
                      const struct verdict_limits *limits) {
    return (opens_above ? offset : -offset) > limits->stuck_pressure * scale;
}

bool verdict_study_rest(struct verdict_study *study) {
    struct view *pressure = &study->pressure;
    struct view *travel = &study->travel;
    double from = study->end - study->quiet;
    if (from < study->start - 0.5 * pressure->series.step || pressure->swing > pressure->rest ||
        travel->swing > travel->rest || verdict_study_contacts_since(study, from) > 0 ||
        verdict_study_is_creeping(study) || view_is_growing(pressure, study->limits) ||
        view_is_growing(travel, study->limits)) {
        return false;
    }
    verdict_study_measure(study, from);
    struct verdict_figures *figures = &study->result->figures;
    figures->settling_time = 0.0;
    double damping = HUGE_VAL;
    struct view *views[] = {travel, pressure};
    for (int i = 0; i < 2; i++) {
        double settling = view_settling(views[i], study->quiet);
        // What never left rest has no damping to speak of, whatever its ripple does.
        if (settling <= 0.0) {
            continue;
        }
        figures->settling_time = fmax(figures->settling_time, settling);
        double own = views[i]->holds ? views[i]->trend.damping_ratio
                                     : view_overall_damping(views[i], study->limits);
        if (views[i]->holds && !(damping <= own)) {
            verdict_study_set_trend(study, &views[i]->trend);
        }
        damping = own < damping ? own : damping;
        figures->damping_ratio = isinf(damping) ? (double)NAN : damping;
    }
    if (damping < study->limits->ringing_damping) {
        return verdict_study_say(
            study, VERDICT_RINGING, true,
            "comes to rest after %.3g s, but with a damping ratio of only %.3g %%",
            figures->settling_time, 100.0 * damping);
    }
    return verdict_study_say(
        study, VERDICT_STEADY, true,
        "at rest: in the last %.3g s pressure moved by no more than %.2g %% of set "
        "and the plug by %.2g %% of its travel",
        study->quiet, 100.0 * pressure->swing / study->input->pressure_scale,
        100.0 * travel->swing / study->input->rated_travel);
}

// Would the decay stop above rest? Friction and play make cycles of a size a0 that a larger swing
// decays toward like d(ln a)/dt = r0 + r1/a. Both constants follow from the rates of the two halves
// of the trend, and the rate they give at the swing of rest must still be one of decay.
static bool trend_stalls(const struct trend *trend, double rest) {
    double early = trend->swing * exp(-0.75 * trend->change);
    double late = trend->swing * exp(-0.25 * trend->change);
    double slope = (trend->late_rate - trend->early_rate) / (1.0 / late - 1.0 / early);
    return trend->late_rate + slope * (1.0 / rest - 1.0 / late) >= 0.0;
}

bool verdict_study_decay(struct verdict_study *study) {
    const struct verdict_limits *limits = study->limits;
    struct view *lead = verdict_study_leading(study);
    struct view *views[] = {&study->pressure, &study->travel};
    double damping = HUGE_VAL;
    double seen = HUGE_VAL; // ln of the ratio over which the decay was watched
    double ratio = 0.0;     // swing at the end of the record over that of rest
    double settled = study->end;
    for (int i = 0; i < 2; i++) {
        const struct trend *trend = &views[i]->trend;
        if (views[i]->swing <= views[i]->rest) {
            continue;
        }
        if (!view_decays(views[i]) || verdict_study_contacts_since(study, trend->start) > 0 ||
            fabs(trend->centre_change) > views[i]->rest || trend_stalls(trend, views[i]->rest)) {
            return false;
        }
        double left = log(trend->swing / views[i]->rest);
        ratio = fmax(ratio, exp(left + trend->rate * (study->end - trend->time)));
        settled = fmax(settled, trend->time - left / trend->rate);
        damping = fmin(damping, trend->damping_ratio);
        seen = fmin(seen, -trend->change);
    }
    if (isinf(damping) || seen < limits->trend_seen) {
        return false;
    }
    bool ringing = damping < limits->ringing_damping;
    if (!ringing && (ratio > limits->trend_reach || settled > study->input->limit)) {
        return false;
    }
    verdict_study_measure(study, lead->trend.start);
    verdict_study_set_trend(study, &lead->trend);
    study->result->figures.settling_time = settled - study->start;
    if (ringing) {
        // A slow decay from a large swing may yet end in a smaller cycle that lives by itself: the
        // run goes on until the swing is near rest.
        return verdict_study_say(
            study, VERDICT_RINGING, ratio <= limits->trend_reach,
            "decays slowly, with a damping ratio of %.3g %%; at this pace it is at "
            "rest %.3g s after it began",
            100.0 * damping, settled - study->start);
    }
    return verdict_study_say(
        study, VERDICT_STEADY, true,
        "decays evenly with a damping ratio of %.3g %% and is at rest %.3g s after it "
        "began",
        100.0 * damping, settled - study->start);
}
