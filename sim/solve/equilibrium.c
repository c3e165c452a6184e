// SPDX-License-Identifier: MIT
// With the plug held at x everything else comes to rest by itself and leaves a force F(x) on it
// (models/regulator_static.h). So all points of rest are the roots of one function of one variable,
// and the ends:
//
//     F |o                      shut       F(0) <= 0: the seat carries the rest
//       |  o       o  o         open       F = 0; restoring where F falls through zero
//     0 |---x----x------x---> x wide open  F(end) > 0: the stop carries the rest
//       |    o  o         o
//
// A scan finds every change of sign, and a bracketed search the root in it: none can be invented,
// and one is missed only with its neighbour, when two lie between two points of the scan. The
// nested searches leave a residue of their rounding, so the full set of rates is then brought to
// zero together by Newton's iteration (KINSOL), in the unknowns that a state at rest is made of.
#include "solve/equilibrium.h"

#include "models/root.h"
#include "solve/equilibrium_polish.h"

#include <math.h>

// Points of the scan in travel. They crowd towards the seat (square law), where an oversized plug
// lives. Where the force might vanish between two points, the step is split; two roots closer than
// that are missed, which a finer scan in the tests guards against.
#define SCAN_POINTS 80
#define SCAN_SPLIT 4

struct scan {
    const struct regulator *regulator;
    const struct regulator_mode *mode;
    double time;
    struct regulator_static_memory memory;
};

static struct regulator_static scan_at(struct scan *s, double travel) {
    return regulator_static_next(s->regulator, s->mode, s->time, travel, &s->memory);
}

static double scan_force(void *context, double travel) {
    return scan_at(context, travel).force;
}

static void add_point(struct equilibria *found, const struct scan *scan,
                      const struct regulator_static *at, enum equilibrium_kind kind,
                      bool restoring) {
    if (found->count == EQUILIBRIUM_MAX) {
        found->truncated = true;
        return;
    }
    struct equilibrium *e = &found->at[found->count++];
    *e = (struct equilibrium){.kind = kind, .restoring = restoring};
    // A scan needs the sign of the force only; this needs all digits.
    struct regulator_static exact =
        regulator_static_at(scan->regulator, scan->mode, scan->time, at->travel);
    const struct equilibrium_place place = {scan->regulator, scan->mode, scan->time};
    found->no_memory |= !equilibrium_polish(&place, &exact, kind == EQUILIBRIUM_OPEN, e);
}

static double scan_travel(const struct regulator *r, double i) {
    double u = i / SCAN_POINTS;
    // Without an upper stop the plug may pass its rated travel: look four times as far.
    double reach = r->parameters.actuator.stop.law == CONTACT_NONE ? 4.0 : 1.0;
    return reach * r->parameters.trim.rated_travel * u * u;
}

// The scan, taken from the seat on as far as is asked for.
struct points {
    struct scan scan;
    struct regulator_static at[SCAN_POINTS + 1];
    int count;
};

static const struct regulator_static *points_up_to(struct points *p, int last) {
    for (; p->count <= last; p->count++) {
        p->at[p->count] = scan_at(&p->scan, scan_travel(p->scan.regulator, p->count));
    }
    return p->at;
}

// By how much the force bends at a point.
static double bend(struct points *p, int i) {
    if (i <= 0 || i >= SCAN_POINTS) {
        return 0.0;
    }
    const struct regulator_static *at = points_up_to(p, i + 1);
    return fabs(at[i - 1].force - 2.0 * at[i].force + at[i + 1].force);
}

// Whether the force may vanish between the points i - 1 and i, once or several times. A smooth
// curve leaves its chord by an eighth of the bend, one with a corner by half of it at most.
static bool may_vanish(struct points *p, int i) {
    const struct regulator_static *at = points_up_to(p, i);
    double a = at[i - 1].force, b = at[i].force;
    return (a > 0.0) != (b > 0.0) || fmin(fabs(a), fabs(b)) <= fmax(bend(p, i - 1), bend(p, i));
}

static void find_root(struct equilibria *found, const struct scan *scan, double low, double high,
                      bool restoring) {
    struct scan close = *scan;
    double travel = root_bracketed(scan_force, &close, low, high,
                                   1e-12 * scan->regulator->parameters.trim.rated_travel);
    struct regulator_static root = scan_at(&close, travel);
    if (root.balanced) {
        add_point(found, scan, &root, EQUILIBRIUM_OPEN, restoring);
    }
}

// One stretch of the scan again, four times as fine, and a search in each part where F changes
// sign.
static void look_between(struct equilibria *found, const struct scan *scan,
                         const struct regulator_static *at, int i) {
    struct scan close = *scan;
    regulator_static_remember(&at[i - 1], &close.memory);
    regulator_static_remember(&at[i], &close.memory);
    double low = at[i - 1].travel, last = at[i - 1].force;
    for (int k = 1; k <= SCAN_SPLIT; k++) {
        double high = k < SCAN_SPLIT ? scan_travel(scan->regulator, i - 1 + (double)k / SCAN_SPLIT)
                                     : at[i].travel;
        double force = k < SCAN_SPLIT ? scan_force(&close, high) : at[i].force;
        if ((last > 0.0) != (force > 0.0)) {
            find_root(found, &close, low, high, last > 0.0);
        }
        low = high;
        last = force;
    }
}

// Whether the list holds what equilibrium_choose takes.
static bool holds_choice(const struct equilibria *found) {
    const struct equilibrium *at = equilibrium_choose(found);
    return at && at->kind == EQUILIBRIUM_OPEN && at->restoring;
}

static struct equilibria find(const struct regulator *regulator, const struct regulator_mode *mode,
                              double time, bool all) {
    struct equilibria found = {0};
    const struct scan fresh = {.regulator = regulator, .mode = mode, .time = time};
    struct points points = {.scan = fresh};
    found.can_shut = regulator_static_shut_force(regulator, mode, time) < 0.0;
    const struct regulator_static *shut = points_up_to(&points, 0);
    if (regulator->parameters.actuator.seat.law != CONTACT_NONE && shut->balanced &&
        shut->force <= 0.0) {
        add_point(&found, &fresh, shut, EQUILIBRIUM_SHUT, true);
    }
    for (int i = 1; i <= SCAN_POINTS; i++) {
        if (may_vanish(&points, i)) {
            look_between(&found, &fresh, points.at, i);
            if (!all && holds_choice(&found)) {
                return found;
            }
        }
    }
    const struct regulator_static *wide = &points_up_to(&points, SCAN_POINTS)[SCAN_POINTS];
    if (regulator->parameters.actuator.stop.law != CONTACT_NONE && wide->balanced &&
        wide->force > 0.0) {
        add_point(&found, &fresh, wide, EQUILIBRIUM_WIDE_OPEN, true);
    }
    return found;
}

struct equilibria equilibrium_find(const struct regulator *regulator,
                                   const struct regulator_mode *mode, double time) {
    return find(regulator, mode, time, true);
}

struct equilibria equilibrium_first(const struct regulator *regulator,
                                    const struct regulator_mode *mode, double time) {
    return find(regulator, mode, time, false);
}

const struct equilibrium *equilibrium_choose(const struct equilibria *found) {
    for (size_t i = 0; i < found->count; i++) {
        if (found->at[i].kind == EQUILIBRIUM_OPEN && found->at[i].restoring) {
            return &found->at[i];
        }
    }
    return found->count > 0 ? &found->at[0] : NULL;
}

const char *equilibrium_kind_name(enum equilibrium_kind kind) {
    static const char *const name[] = {"open", "shut", "wide open"};
    return name[kind];
}
