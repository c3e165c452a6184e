// SPDX-License-Identifier: MIT
// From which flow upward a trim is steady, and how much it passes.
#include "steady/steadiness.h"

#include <math.h>
#include <string.h>

#define SETTLED_PER_DECADE 24.0
#define SETTLED_BRACKET 1e-5

// How finely kicked flows are looked at. Next to a neutral flow a swing takes very long to die out,
// so the coarse grid keeps its bracket away from it.
struct kicked_grid {
    double per_decade;
    double least_decades; // a narrower range gets as many flows as this
    double bracket;
    double margin; // above a neutral flow, as a share of it
};
static const struct kicked_grid fine_grid = {8.0, 1.0, 1e-2, 0.0};
static const struct kicked_grid coarse_grid = {3.0, 0.3, 5e-2, 5e-2};

const char *steadiness_range_name(enum steadiness_range range) {
    static const char *const name[] = {[STEADINESS_EVERYWHERE] = "at every flow",
                                       [STEADINESS_FROM] = "from a flow upward",
                                       [STEADINESS_NOWHERE] = "at no flow",
                                       [STEADINESS_NOT_AT_TOP] =
                                           "in part, but not at the highest flow",
                                       [STEADINESS_NOT_PASSED] = "wide open at every flow"};
    return name[range];
}

// A flow and how it rests there.
struct sample {
    double flow;
    struct steadiness_settled settled;
};

static struct sample sample_at(const struct steadiness *subject, double flow) {
    return (struct sample){flow, steadiness_settled(subject, flow)};
}

// Flow `i` of `steps` steps from low to high, even in the logarithm; the ends exactly.
static double flow_at(double low, double high, int i, int steps) {
    return i == 0 ? low : i == steps ? high : low * pow(high / low, (double)i / steps);
}

static int steps_between(double low, double high, double per_decade, double least_decades) {
    return (int)ceil(per_decade * fmax(least_decades, log10(high / low)));
}

static bool passed(const struct sample *sample) {
    enum steadiness_rest rest = sample->settled.rest;
    return rest != STEADINESS_WIDE_OPEN && rest != STEADINESS_NO_REST;
}

// Narrow a pair of flows whose ends rest differently, until they are neighbours.
static void bisect(const struct steadiness *subject, struct sample *low, struct sample *high) {
    while (high->flow / low->flow - 1.0 > SETTLED_BRACKET) {
        struct sample middle = sample_at(subject, sqrt(low->flow * high->flow));
        *(middle.settled.rest == low->settled.rest ? low : high) = middle;
    }
}

static double frequency_there(const struct sample *low, const struct sample *high) {
    double frequency = high->settled.frequency;
    return isnan(frequency) ? low->settled.frequency : frequency;
}

static void add_change(struct steadiness_window *w, const struct sample *low,
                       const struct sample *high) {
    if (w->count < STEADINESS_NEUTRAL_MAX) {
        w->change[w->count++] = (struct steadiness_change){
            .flow = sqrt(low->flow * high->flow),
            .below = low->settled.rest,
            .above = high->settled.rest,
            .frequency = frequency_there(low, high),
        };
    }
    w->lowest = high->settled.rest == STEADINESS_STEADY ? high->flow : (double)NAN;
}

// Walk upward and note each change until the flow is no longer passed.
static void scan_settled(const struct steadiness *subject, struct steadiness_window *w) {
    int steps = steps_between(w->low, w->high, SETTLED_PER_DECADE, 1.0);
    struct sample last = sample_at(subject, w->low);
    bool steady_somewhere = false;
    w->lowest = last.settled.rest == STEADINESS_STEADY ? w->low : (double)NAN;
    w->top = w->low;
    if (!passed(&last)) {
        w->range = STEADINESS_NOT_PASSED;
        return;
    }
    for (int i = 1; i <= steps; i++) {
        struct sample here = sample_at(subject, flow_at(w->low, w->high, i, steps));
        steady_somewhere |= last.settled.rest == STEADINESS_STEADY;
        while (last.settled.rest != here.settled.rest && passed(&last)) {
            struct sample low = last, high = here;
            bisect(subject, &low, &high);
            if (passed(&high)) {
                add_change(w, &low, &high);
            }
            w->top = low.flow;
            last = high;
        }
        if (!passed(&here)) {
            break;
        }
        w->top = here.flow;
        last = here;
    }
    w->high_passed = passed(&last);
    steady_somewhere |= last.settled.rest == STEADINESS_STEADY || !isnan(w->lowest);
    w->range = !isnan(w->lowest)  ? (w->lowest > w->low ? STEADINESS_FROM : STEADINESS_EVERYWHERE)
               : steady_somewhere ? STEADINESS_NOT_AT_TOP
                                  : STEADINESS_NOWHERE;
    w->monotone = w->count == 0 || (w->count == 1 && !isnan(w->lowest));
}

static void keep_kicked_change(struct steadiness_window *w, double low, double high) {
    w->change[0] = (struct steadiness_change){.flow = sqrt(low * high),
                                              .below = STEADINESS_STEADY,
                                              .above = STEADINESS_STEADY,
                                              .kicked = true,
                                              .frequency = (double)NAN};
    w->count = 1;
    w->lowest = high;
    w->range = STEADINESS_FROM;
    w->monotone = true;
}

// Whether some flow below the top stands the kick.
static bool stands_lower(const struct steadiness *subject, const struct steadiness_window *w,
                         double kick, const struct kicked_grid *grid) {
    int steps = steps_between(w->lowest, w->top, grid->per_decade, grid->least_decades);
    for (int i = steps - 1; i >= 0; i--) {
        if (steadiness_kicked(subject, flow_at(w->lowest, w->top, i, steps), kick)) {
            return true;
        }
    }
    return false;
}

// Walk downward from the top within what settles.
static void scan_kicked(const struct steadiness *subject, struct steadiness_window *w, double kick,
                        const struct kicked_grid *grid) {
    if (isnan(w->lowest) || w->lowest >= w->top) {
        return;
    }
    if (!steadiness_kicked(subject, w->top, kick)) {
        w->range =
            stands_lower(subject, w, kick, grid) ? STEADINESS_NOT_AT_TOP : STEADINESS_NOWHERE;
        w->lowest = (double)NAN;
        w->count = 0;
        w->monotone = w->range == STEADINESS_NOWHERE;
        return;
    }
    double bottom = w->lowest > w->low ? w->lowest * (1.0 + grid->margin) : w->lowest;
    double high = w->top;
    if (bottom >= high) {
        return;
    }
    int steps = steps_between(bottom, high, grid->per_decade, grid->least_decades);
    for (int i = steps - 1; i >= 0; i--) {
        double low = flow_at(bottom, w->top, i, steps);
        if (steadiness_kicked(subject, low, kick)) {
            high = low;
            continue;
        }
        while (high / low - 1.0 > grid->bracket) {
            double middle = sqrt(low * high);
            *(steadiness_kicked(subject, middle, kick) ? &high : &low) = middle;
        }
        keep_kicked_change(w, low, high);
        return;
    }
}

static struct steadiness_window lowest_flow(const struct steadiness *subject, double low,
                                            double high, double kick,
                                            const struct kicked_grid *grid) {
    struct steadiness_window w;
    memset(&w, 0, sizeof w);
    w.low = low;
    w.high = high;
    scan_settled(subject, &w);
    if (kick != 0.0) {
        scan_kicked(subject, &w, kick, grid);
    }
    return w;
}

struct steadiness_window steadiness_lowest_flow(const struct steadiness *subject, double low,
                                                double high, double kick) {
    return lowest_flow(subject, low, high, kick, &fine_grid);
}

struct steadiness_window steadiness_lowest_flow_coarse(const struct steadiness *subject, double low,
                                                       double high, double kick) {
    return lowest_flow(subject, low, high, kick, &coarse_grid);
}

// Which bound a point of rest breaks; NONE: neither.
static enum steadiness_bound broken(const struct steadiness_settled *s, double travel,
                                    double limit) {
    if (s->pressure > limit) {
        return STEADINESS_BOUND_LIMIT;
    }
    return s->travel <= travel ? STEADINESS_BOUND_NONE : STEADINESS_BOUND_TRAVEL;
}

struct steadiness_capacity steadiness_largest_flow(const struct steadiness *subject, double low,
                                                   double ceiling, double share, double limit) {
    double travel = share * subject->held.model.trim.rated_travel;
    struct sample good = sample_at(subject, low), bad = sample_at(subject, ceiling);
    enum steadiness_bound bound = broken(&bad.settled, travel, limit);
    if (broken(&good.settled, travel, limit) != STEADINESS_BOUND_NONE) {
        const double none = (double)NAN;
        return (struct steadiness_capacity){none, none, none, STEADINESS_BOUND_ALWAYS};
    }
    if (bound == STEADINESS_BOUND_NONE) {
        good = bad;
    }
    while (bound != STEADINESS_BOUND_NONE && bad.flow / good.flow - 1.0 > SETTLED_BRACKET) {
        struct sample middle = sample_at(subject, sqrt(good.flow * bad.flow));
        enum steadiness_bound which = broken(&middle.settled, travel, limit);
        if (which == STEADINESS_BOUND_NONE) {
            good = middle;
        } else {
            bad = middle;
            bound = which;
        }
    }
    return (struct steadiness_capacity){good.flow, good.settled.travel, good.settled.pressure,
                                        bound};
}

#define DEFAULT_LOWEST 0.05
#define DEFAULT_HIGHEST_AT_LEAST 2.0
#define DEFAULT_HIGHEST_AT_MOST 1000.0

void steadiness_default_range(const struct steadiness *subject, double limit, double *low,
                              double *high) {
    double flow = subject->flow;
    *low = DEFAULT_LOWEST * flow;
    struct steadiness_capacity passed = steadiness_largest_flow(
        subject, *low, DEFAULT_HIGHEST_AT_MOST * flow, STEADINESS_TRAVEL_SHARE, limit);
    *high = fmax(DEFAULT_HIGHEST_AT_LEAST * flow, passed.flow); // fmax leaves out a NaN
}
