// SPDX-License-Identifier: MIT
// From which flow upward a trim is steady, and how much it passes.
#include "steady/steadiness.h"

#include <math.h>
#include <string.h>

#define SETTLED_PER_DECADE 24.0
#define SETTLED_BRACKET 1e-5

// Kicked flows are looked at where the decades are divided, whatever range is asked for, so that
// the answer does not depend on it: 8 flows a decade, and between two of them 31 more.
#define KICKED_PER_DECADE 256.0
#define KICKED_STEP 32L

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

// Flows that settle, and the kick they are to stand.
struct stretch {
    const struct steadiness *subject;
    double low, high; // [kg/s]
    double kick;      // [Pa]
    double failed;    // the kick, up or down, that did not die out where it was last seen [Pa]
};

// Place of a flow among the divisions of the decades, and back; the ends of the stretch close it.
static long place_below(double flow) {
    return (long)floor(KICKED_PER_DECADE * log10(flow));
}

static double flow_of(const struct stretch *s, long place) {
    return fmin(fmax(pow(10.0, (double)place / KICKED_PER_DECADE), s->low), s->high);
}

static bool stands_at(struct stretch *s, double flow) {
    const double ways[] = {s->kick, -s->kick};
    if (s->kick == 0.0) {
        return steadiness_kicked(s->subject, flow, 0.0);
    }
    for (size_t i = 0; i < 2; i++) {
        if (!steadiness_kicked_way(s->subject, flow, ways[i])) {
            s->failed = ways[i];
            return false;
        }
    }
    return true;
}

static bool stands(struct stretch *s, long place) {
    return stands_at(s, flow_of(s, place));
}

static long coarse_below(long place) {
    return KICKED_STEP * (long)floor((double)place / (double)KICKED_STEP);
}

// Down from a place that stands the kick to the first that does not. False: there is none.
static bool walk_down(struct stretch *s, long *good, long *bad) {
    for (long at = coarse_below(*good - 1); flow_of(s, at) > s->low; at -= KICKED_STEP) {
        if (!stands(s, at)) {
            *bad = at;
            return true;
        }
        *good = at;
    }
    *bad = place_below(s->low);
    return !stands(s, *bad);
}

// Up from a place that does not stand it to the first that does. False: there is none.
static bool walk_up(struct stretch *s, long *good, long *bad) {
    for (long at = coarse_below(*bad) + KICKED_STEP;; at += KICKED_STEP) {
        if (stands(s, at)) {
            *good = at;
            return true;
        }
        *bad = at;
        if (flow_of(s, at) >= s->high) {
            return false;
        }
    }
}

// Between two places of which one way of the kick dies out at `good` only: the lowest where it
// does.
static long edge_of(const struct stretch *s, double kick, long bad, long good) {
    while (good - bad > 1) {
        const long middle = bad + (good - bad) / 2;
        *(steadiness_kicked_way(s->subject, flow_of(s, middle), kick) ? &good : &bad) = middle;
    }
    return good;
}

// Between two places of which both ways die out at `good` only. The way that fails first is
// followed alone; the other is asked where that one ends, and followed from there if it fails.
static long kicked_edge(const struct stretch *s, long bad, long good) {
    const long edge = edge_of(s, s->failed, bad, good);
    return edge == good || steadiness_kicked_way(s->subject, flow_of(s, edge), -s->failed)
               ? edge
               : edge_of(s, -s->failed, edge, good);
}

double steadiness_kicked_from(const struct steadiness *subject, double low, double high,
                              double near, double kick) {
    struct stretch s = {.subject = subject, .low = low, .high = high, .kick = kick};
    near = fmin(fmax(near, low), high);
    long bad = place_below(near);
    long good = bad + 1;
    if (stands_at(&s, near)) {
        s.high = near;
        if (!walk_down(&s, &good, &bad)) {
            return low;
        }
    } else if (near >= high || !walk_up(&s, &good, &bad)) {
        return (double)NAN;
    }
    return flow_of(&s, kicked_edge(&s, bad, good));
}

struct steadiness_stretch steadiness_settled_stretch(const struct steadiness_window *w,
                                                     double near) {
    const double none = (double)NAN;
    const bool below = w->count > 0 ? w->change[0].below == STEADINESS_STEADY : !isnan(w->lowest);
    double from = below ? w->low : none;
    for (size_t i = 0; i < w->count; i++) {
        const struct steadiness_change *c = &w->change[i];
        if (c->below == STEADINESS_STEADY && c->flow >= near) {
            return (struct steadiness_stretch){from, c->flow};
        }
        from = c->above == STEADINESS_STEADY ? c->flow : none;
    }
    // The last is known to the side of its bracket that is steady.
    from = isnan(w->lowest) ? none : w->lowest;
    return isnan(from) ? (struct steadiness_stretch){none, none}
                       : (struct steadiness_stretch){from, w->top};
}

struct steadiness_window steadiness_lowest_flow(const struct steadiness *subject, double low,
                                                double high) {
    struct steadiness_window w;
    memset(&w, 0, sizeof w);
    w.low = low;
    w.high = high;
    scan_settled(subject, &w);
    return w;
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
