// SPDX-License-Identifier: MIT
#include "steady/trim_window.h"

#include "steady/trim_point.h"

#include <math.h>

#define KICK_SHARE 0.02
// Where to look why a window ends: far enough below that what grows there grows soon, or nearer
// where that lands beyond the trouble.
static const double below_share[] = {0.9, 0.97};
// Flows a decade, in the search for a window further down.
#define AGAIN_PER_DECADE 8.0

double trim_window_own_flow(const struct scenario_case *scenario) {
    const struct schedule *flow = &scenario->model.flow;
    return schedule_value(flow, schedule_piece(flow, 0.0), 0.0);
}

double trim_window_prepare(const struct scenario_case *scenario, double lowest,
                           struct steadiness *out) {
    struct scenario_case at = *scenario;
    double turned = trim_window_own_flow(scenario);
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
        .below_settled = VERDICT_UNDECIDED,
        .below_kicked = VERDICT_UNDECIDED,
        .again = (double)NAN,
        .looked_at = search->lowest,
    };
}

// What becomes of a kick a little below the lower end of a window.
static enum verdict verdict_below(const struct steadiness *subject, double flow, double kick) {
    enum verdict verdict = VERDICT_STEADY;
    for (size_t i = 0; i < sizeof below_share / sizeof below_share[0]; i++) {
        verdict = trim_point_trouble(subject, below_share[i] * flow, kick);
        if (verdict > VERDICT_RINGING) {
            break;
        }
    }
    return verdict;
}

// From which flow down the kick dies out again, below one where it does not.
static double steady_again(const struct steadiness *subject, double flow,
                           const struct trim_window_search *search) {
    double place = ceil(AGAIN_PER_DECADE * log10(flow));
    while (flow > search->lowest) {
        const double next = fmax(pow(10.0, --place / AGAIN_PER_DECADE), search->lowest);
        if (steadiness_kicked(subject, next, search->kick)) {
            return sqrt(flow * next);
        }
        flow = next;
    }
    return (double)NAN;
}

// Why the window ends where it does, and whether there is another below it.
static void explain(const struct steadiness *subject, const struct trim_window_search *search,
                    double near, struct trim_window *w) {
    if (w->settled > search->lowest && !search->brief) {
        w->below_settled = verdict_below(subject, w->settled, search->kick);
    }
    if (w->kicked > search->lowest && !search->brief) {
        w->below_kicked = w->kicked <= w->settled ? w->below_settled
                                                  : verdict_below(subject, w->kicked, search->kick);
    }
    if (isnan(w->kicked) || !search->brief) {
        w->again = steady_again(subject, isnan(w->kicked) ? near : w->kicked, search);
    }
}

static enum steadiness_range range_of(double from, const struct trim_window *w) {
    return from <= w->looked_at ? STEADINESS_EVERYWHERE
           : !isnan(from)       ? STEADINESS_FROM
           : isnan(w->again)    ? STEADINESS_NOWHERE
                                : STEADINESS_NOT_AT_TOP;
}

struct trim_window trim_window_find(const struct steadiness *subject,
                                    const struct trim_window_search *search) {
    struct trim_window out = trim_window_none(search);
    const struct steadiness_capacity c = steadiness_largest_flow(
        subject, search->lowest, search->ceiling, STEADINESS_TRAVEL_SHARE, search->limit);
    out.bound = c.bound;
    if (c.bound == STEADINESS_BOUND_ALWAYS || !(c.flow > search->lowest)) {
        return out;
    }
    out.largest = c.flow;
    out.travel = c.travel;
    out.pressure = c.pressure;
    // The window that holds the largest flow of interest; failing that, the next above.
    const double near = fmin(c.flow, fmax(search->upper, search->lowest));
    const struct steadiness_window w = steadiness_lowest_flow(subject, search->lowest, c.flow);
    const struct steadiness_stretch settled = steadiness_settled_stretch(&w, near);
    out.settled_range = w.range;
    out.settled = settled.from;
    out.top = settled.to;
    out.kicked = settled.from;
    if (search->kick > 0.0 && !isnan(settled.from)) {
        out.kicked = steadiness_kicked_from(subject, settled.from, settled.to, near, search->kick);
    }
    explain(subject, search, near, &out);
    out.kicked_range = range_of(out.kicked, &out);
    return out;
}

// The worse of two lower ends; none if either has none.
static double later(double a, double b) {
    return isnan(a) || isnan(b) ? (double)NAN : fmax(a, b);
}

// Where both stand the kick again: one that stands it all the way down does so anywhere.
static double again_in_both(const struct trim_window *a, const struct trim_window *b) {
    const double x = a->kicked <= a->looked_at ? (double)INFINITY : a->again;
    const double y = b->kicked <= b->looked_at ? (double)INFINITY : b->again;
    const double both = isnan(x) || isnan(y) ? (double)NAN : fmin(x, y);
    return isfinite(both) ? both : (double)NAN;
}

struct trim_window trim_window_common(const struct trim_window *a, const struct trim_window *b) {
    struct trim_window out = isnan(a->largest) || a->largest <= b->largest ? *a : *b;
    out.top = isnan(a->top) || isnan(b->top) ? (double)NAN : fmin(a->top, b->top);
    out.settled = later(a->settled, b->settled);
    out.kicked = later(a->kicked, b->kicked);
    out.below_settled = (a->settled >= b->settled ? a : b)->below_settled;
    out.below_kicked = (a->kicked >= b->kicked ? a : b)->below_kicked;
    out.again = again_in_both(a, b);
    // Windows that do not overlap have nothing in common.
    out.settled = out.settled <= out.top ? out.settled : (double)NAN;
    out.kicked = out.kicked <= out.top ? out.kicked : (double)NAN;
    // In the order of the enum, from everywhere to not even passed.
    out.settled_range = a->settled_range > b->settled_range ? a->settled_range : b->settled_range;
    out.kicked_range = a->kicked_range > b->kicked_range ? a->kicked_range : b->kicked_range;
    return out;
}

const char *trim_window_reason(enum verdict verdict) {
    return verdict <= VERDICT_RINGING ? "dies out slowly" : verdict_name(verdict);
}

const char *trim_window_below(const struct trim_window *window, bool kicked) {
    const double end = kicked ? window->kicked : window->settled;
    // Comparison with NaN is false: no end, no reason.
    return end > window->looked_at
               ? trim_window_reason(kicked ? window->below_kicked : window->below_settled)
               : NULL;
}

const char *trim_window_bounds(bool limited) {
    return limited ? "within 90 % of its travel and the vessel limit" : "within 90 % of its travel";
}

void trim_window_pack(const struct trim_window *window, double number[TRIM_WINDOW_NUMBERS]) {
    const double row[TRIM_WINDOW_NUMBERS] = {
        window->bound,     window->largest,       window->travel,       window->pressure,
        window->top,       window->settled_range, window->kicked_range, window->settled,
        window->kicked,    window->below_settled, window->below_kicked, window->again,
        window->looked_at,
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
        .below_settled = (enum verdict)number[9],
        .below_kicked = (enum verdict)number[10],
        .again = number[11],
        .looked_at = number[12],
    };
}

double trim_window_kick(const struct scenario_case *scenario) {
    // It goes down as well, where a push up may be any size.
    const double own = fmin(fabs(scenario->start.kick_pressure), 0.9 * scenario->set_pressure);
    return own > 0.0 ? own : KICK_SHARE * fabs(scenario->set_pressure - scenario->model.atmosphere);
}
