// SPDX-License-Identifier: MIT
#include "trim_window.h"

#include <math.h>

#define KICK_SHARE 0.02

double trim_window_prepare(const struct scenario_case *scenario, double lowest,
                           struct steadiness *out) {
    struct scenario_case at = *scenario;
    const struct schedule *flow = &scenario->model.flow;
    double turned = schedule_value(flow, schedule_piece(flow, 0.0), 0.0);
    if (steadiness_prepare(&at, out)) {
        return turned;
    }
    for (turned *= 0.5; turned >= lowest; turned *= 0.5) {
        at.model.flow = schedule_constant(turned);
        if (steadiness_prepare(&at, out)) {
            return turned;
        }
    }
    return (double)NAN;
}

// Up to which flow small motions die out, from one where they do.
static double highest(const struct steadiness *subject, double from, double largest) {
    if (from >= largest) {
        return from;
    }
    const struct steadiness_window w = steadiness_lowest_flow(subject, from, largest, 0.0);
    return w.range == STEADINESS_EVERYWHERE ? largest : w.count > 0 ? w.change[0].flow : from;
}

struct trim_window trim_window_none(const struct trim_window_search *search) {
    return (struct trim_window){
        .bound = STEADINESS_BOUND_ALWAYS,
        .largest = (double)NAN,
        .travel = (double)NAN,
        .pressure = (double)NAN,
        .top = (double)NAN,
        .settled_range = STEADINESS_NOT_PASSED,
        .kicked_range = STEADINESS_NOT_PASSED,
        .settled = (double)NAN,
        .kicked = (double)NAN,
        .looked_at = search->lowest,
    };
}

struct trim_window trim_window_find(const struct steadiness *subject,
                                    const struct trim_window_search *search) {
    struct trim_window out = trim_window_none(search);
    const struct steadiness_capacity c = steadiness_largest_flow(
        subject, search->lowest, search->ceiling, TRIM_WINDOW_TRAVEL, search->limit);
    out.bound = c.bound;
    if (c.bound == STEADINESS_BOUND_ALWAYS || !(c.flow > search->lowest)) {
        return out;
    }
    out.largest = c.flow;
    out.travel = c.travel;
    out.pressure = c.pressure;
    // First the window that holds the largest flow of interest; failing that, one above.
    double high = fmin(c.flow, fmax(search->upper, 2.0 * search->lowest));
    struct steadiness_window settled = steadiness_lowest_flow(subject, search->lowest, high, 0.0);
    if (isnan(settled.lowest) && high < c.flow) {
        high = c.flow;
        settled = steadiness_lowest_flow(subject, search->lowest, high, 0.0);
    }
    const struct steadiness_window kicked =
        steadiness_lowest_flow(subject, search->lowest, high, search->kick);
    out.top = isnan(settled.lowest) ? (double)NAN : highest(subject, high, c.flow);
    out.settled_range = settled.range;
    out.kicked_range = kicked.range;
    out.settled = settled.lowest;
    out.kicked = kicked.lowest;
    return out;
}

// The worse of two lower ends; none if either has none.
static double later(double a, double b) {
    return isnan(a) || isnan(b) ? (double)NAN : fmax(a, b);
}

struct trim_window trim_window_common(const struct trim_window *a, const struct trim_window *b) {
    struct trim_window out = isnan(a->largest) || a->largest <= b->largest ? *a : *b;
    out.top = isnan(a->top) || isnan(b->top) ? (double)NAN : fmin(a->top, b->top);
    out.settled = later(a->settled, b->settled);
    out.kicked = later(a->kicked, b->kicked);
    // Windows that do not overlap have nothing in common.
    out.settled = out.settled <= out.top ? out.settled : (double)NAN;
    out.kicked = out.kicked <= out.top ? out.kicked : (double)NAN;
    // In the order of the enum, from everywhere to not even passed.
    out.settled_range = a->settled_range > b->settled_range ? a->settled_range : b->settled_range;
    out.kicked_range = a->kicked_range > b->kicked_range ? a->kicked_range : b->kicked_range;
    return out;
}

void trim_window_pack(const struct trim_window *window, double number[TRIM_WINDOW_NUMBERS]) {
    const double row[TRIM_WINDOW_NUMBERS] = {
        window->bound,  window->largest,       window->travel,       window->pressure,
        window->top,    window->settled_range, window->kicked_range, window->settled,
        window->kicked, window->looked_at,
    };
    for (int i = 0; i < TRIM_WINDOW_NUMBERS; i++) {
        number[i] = row[i];
    }
}

struct trim_window trim_window_unpack(const double number[TRIM_WINDOW_NUMBERS]) {
    return (struct trim_window){
        .bound = (enum steadiness_bound)number[0],
        .largest = number[1],
        .travel = number[2],
        .pressure = number[3],
        .top = number[4],
        .settled_range = (enum steadiness_range)number[5],
        .kicked_range = (enum steadiness_range)number[6],
        .settled = number[7],
        .kicked = number[8],
        .looked_at = number[9],
    };
}

double trim_window_kick(const struct scenario_case *scenario) {
    const double own = fabs(scenario->start.kick_pressure);
    return own > 0.0 ? own : KICK_SHARE * fabs(scenario->set_pressure - scenario->model.atmosphere);
}
