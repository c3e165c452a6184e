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

#include <kinsol/kinsol.h>
#include <nvector/nvector_serial.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>

#include <math.h>
#include <string.h>

// Points of the scan in travel. They crowd towards the seat (square law), where an oversized plug
// lives. Where the force might vanish between two points, the step is split; two roots closer than
// that are missed, which a finer scan in the tests guards against.
#define SCAN_POINTS 80
#define SCAN_SPLIT 4
#define UNKNOWNS_MAX (2 + NODE_VOLUMES + LINE_COUNT)
// Largest scaled rate of a polished point of rest.
#define RESIDUAL_WANTED 1e-9

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

// The unknowns of one point of rest: travel, pilot travel unless at a stop, pressures of volumes.
struct polish {
    const struct scan *scan;
    struct regulator_static guess;
    int count;
    int node[UNKNOWNS_MAX]; // node of a pressure, or below 0 what it is else
    double scale[UNKNOWNS_MAX];
    double rate_scale[UNKNOWNS_MAX];
    double pressure[NODE_COUNT];
    double travel, pilot_travel;
    double line_flow[LINE_COUNT];
};

// Numbers by which the list of unknowns names what is no node's pressure.
enum { UNKNOWN_TRAVEL = -1, UNKNOWN_PILOT = -2, UNKNOWN_LINE = -3 }; // a line less its index

// An unknown and its equation, each with the size that counts as one, since metres, pascals and
// kilograms a second stand side by side: the rate that a typical force, or the flow, would make.
static void add_unknown(struct polish *p, int node, double scale, double rate_scale) {
    p->node[p->count] = node;
    p->scale[p->count] = scale;
    p->rate_scale[p->count++] = rate_scale;
}

static void choose_unknowns(struct polish *p, bool travel_free) {
    const struct regulator *r = p->scan->regulator;
    const struct regulator_parameters *m = &r->parameters;
    double pressure = fmax(m->flow_reference, m->atmosphere);
    if (travel_free) {
        double force =
            pressure * m->actuator.diaphragm_area + m->actuator.spring_rate * m->trim.rated_travel;
        add_unknown(p, UNKNOWN_TRAVEL, m->trim.rated_travel, force / r->moving_mass);
    }
    if (r->has_pilot && !p->guess.pilot_at_stop) {
        double force = pressure * m->pilot.diaphragm_area;
        bool massless = r->layout.pilot_speed < 0;
        add_unknown(p, UNKNOWN_PILOT, m->pilot.travel,
                    force / (massless ? m->pilot.damping : m->pilot.moving_mass));
    }
    // What flows may be nothing at rest, as below a shut plug; then the scheduled flow is the
    // scale.
    double scheduled = schedule_value(&m->flow, p->scan->mode->flow_piece, p->scan->time);
    double flow = fmax(fmax(p->guess.flow, fabs(scheduled)), 1e-6);
    for (int n = 0; n < NODE_VOLUMES; n++) {
        if (r->layout.mass[n] >= 0) {
            add_unknown(p, n, pressure, r->liquid ? flow / m->liquid.density : flow);
        }
    }
    for (int line = 0; line < LINE_COUNT; line++) {
        if (r->has_line[line]) {
            add_unknown(p, UNKNOWN_LINE - line, flow, r->liquid ? flow / m->liquid.density : flow);
        }
    }
}

static double *unknown_at(struct polish *p, int unknown) {
    return unknown <= UNKNOWN_LINE     ? &p->line_flow[UNKNOWN_LINE - unknown]
           : unknown == UNKNOWN_TRAVEL ? &p->travel
           : unknown == UNKNOWN_PILOT  ? &p->pilot_travel
                                       : &p->pressure[unknown];
}

static void unpack(struct polish *p, const double *u) {
    for (int i = 0; i < p->count; i++) {
        *unknown_at(p, p->node[i]) = u[i];
    }
}

// Where the rate stands that belongs to an unknown: of the plug's speed for its travel, of the
// pilot's speed (or, without mass, of its travel) for its own, of what a volume holds for its
// pressure, and of what the node at the regulator's end of a line holds for its flow.
static int rate_slot(const struct regulator *r, int unknown) {
    const struct regulator_layout *l = &r->layout;
    if (unknown <= UNKNOWN_LINE) {
        int line = UNKNOWN_LINE - unknown;
        return l->line[line] + l->line_states[line] - r->pipe[line].stride + 1;
    }
    return unknown == UNKNOWN_TRAVEL  ? l->speed
           : unknown == UNKNOWN_PILOT ? (l->pilot_speed >= 0 ? l->pilot_speed : l->pilot_travel)
                                      : l->mass[unknown];
}

// The rates that must vanish.
static int residual(N_Vector u, N_Vector f, void *data) {
    struct polish *p = data;
    const struct regulator *r = p->scan->regulator;
    unpack(p, NV_DATA_S(u));
    double state[REGULATOR_STATES_MAX], rate[REGULATOR_STATES_MAX];
    const struct regulator_rest rest = {p->travel, p->pilot_travel, p->pressure};
    regulator_rest_state_flowing(r, p->scan->mode, p->scan->time, &rest, p->line_flow, state);
    if (regulator_derivatives(r, p->scan->mode, p->scan->time, state, rate) != 0) {
        return 1;
    }
    for (int i = 0; i < p->count; i++) {
        NV_Ith_S(f, i) = rate[rate_slot(r, p->node[i])];
    }
    return 0;
}

static void silent(int code, const char *module, const char *function, char *message, void *data) {
    (void)code;
    (void)module;
    (void)function;
    (void)message;
    (void)data;
}

// What one call of KINSOL needs.
struct newton {
    N_Vector x, xs, fs;
    SUNMatrix matrix;
    SUNLinearSolver solver;
    void *memory;
};

static void newton_close(struct newton *n) {
    KINFree(&n->memory);
    if (n->solver) {
        SUNLinSolFree(n->solver);
    }
    if (n->matrix) {
        SUNMatDestroy(n->matrix);
    }
    N_Vector vectors[] = {n->fs, n->xs, n->x};
    for (int i = 0; i < 3; i++) {
        if (vectors[i]) {
            N_VDestroy(vectors[i]);
        }
    }
}

// False without memory. Close it either way.
static bool newton_open(struct newton *n, int count, SUNContext context) {
    *n = (struct newton){.x = N_VNew_Serial(count, context)};
    n->xs = N_VNew_Serial(count, context); // N_VClone does not look whether it got one
    n->fs = N_VNew_Serial(count, context);
    n->matrix = SUNDenseMatrix(count, count, context);
    n->solver = n->x && n->matrix ? SUNLinSol_Dense(n->x, n->matrix, context) : NULL;
    n->memory = KINCreate(context);
    return n->xs && n->fs && n->solver && n->memory;
}

// Newton's iteration with a line search, started at the scan's own root. False without memory.
static bool run_kinsol(struct polish *p, double *u, SUNContext context) {
    struct newton n;
    if (!newton_open(&n, p->count, context)) {
        newton_close(&n);
        return false;
    }
    N_Vector x = n.x, xs = n.xs, fs = n.fs;
    for (int i = 0; i < p->count; i++) {
        NV_Ith_S(x, i) = u[i];
        NV_Ith_S(xs, i) = 1.0 / p->scale[i];
        NV_Ith_S(fs, i) = 1.0 / p->rate_scale[i];
    }
    KINSetErrHandlerFn(n.memory, silent, NULL);
    // Each step stands on the one before: without memory the next would meet what is not there.
    int flag = KINInit(n.memory, residual, x);
    if (flag == KIN_SUCCESS) {
        flag = KINSetLinearSolver(n.memory, n.solver, n.matrix);
    }
    if (flag == KIN_SUCCESS) {
        KINSetUserData(n.memory, p);
        KINSetFuncNormTol(n.memory, 1e-13);
        KINSetScaledStepTol(n.memory, 1e-16);
        KINSetMaxSetupCalls(n.memory, 1); // a true Newton iteration: the guess is already close
    }
    bool whole = flag == KIN_SUCCESS; // else no memory: nothing above can be refused
    // Of what this one returns only a lack of memory is trusted ("initial guess ok" and "step below
    // tolerance" both count as success): the caller judges the residual itself.
    whole = whole && KINSol(n.memory, x, KIN_LINESEARCH, xs, fs) != KIN_MEM_FAIL;
    memcpy(u, NV_DATA_S(x), (size_t)p->count * sizeof *u);
    newton_close(&n);
    return whole;
}

// NaN without memory.
static double scaled_residual(struct polish *p, double *u, SUNContext context) {
    N_Vector x = N_VMake_Serial(p->count, u, context), f = N_VNew_Serial(p->count, context);
    double worst = x && f ? (double)INFINITY : (double)NAN;
    if (x && f && residual(x, f, p) == 0) {
        worst = 0.0;
        for (int i = 0; i < p->count; i++) {
            worst = fmax(worst, fabs(NV_Ith_S(f, i)) / p->rate_scale[i]);
        }
    }
    if (f) {
        N_VDestroy(f);
    }
    if (x) {
        N_VDestroy(x);
    }
    return worst;
}

// Polish a point found by the scan; keep the scan's own values where KINSOL makes it no better.
// False without memory, which leaves the scan's own values.
static bool polish_point(const struct scan *scan, const struct regulator_static *guess,
                         bool travel_free, struct equilibrium *out) {
    struct polish p = {.scan = scan, .guess = *guess};
    p.travel = guess->travel;
    p.pilot_travel = guess->pilot_travel;
    memcpy(p.pressure, guess->pressure, sizeof p.pressure);
    choose_unknowns(&p, travel_free);
    if (scan->regulator->has_lines) {
        const struct regulator_rest at = {p.travel, p.pilot_travel, p.pressure};
        regulator_line_flows(scan->regulator, scan->mode, scan->time, &at, p.line_flow);
    }
    double start[UNKNOWNS_MAX] = {0.0}, u[UNKNOWNS_MAX] = {0.0};
    for (int i = 0; i < p.count; i++) {
        start[i] = *unknown_at(&p, p.node[i]);
        u[i] = start[i];
    }
    SUNContext context;
    out->residual = (double)INFINITY;
    bool whole = SUNContext_Create(NULL, &context) == 0;
    if (whole) {
        double before = scaled_residual(&p, start, context);
        whole = run_kinsol(&p, u, context);
        double after = scaled_residual(&p, u, context);
        whole = whole && !isnan(before) && !isnan(after);
        bool better = after <= before;
        unpack(&p, better ? u : start);
        out->residual = better ? after : before;
        SUNContext_Free(&context);
    }
    out->polished = out->residual <= RESIDUAL_WANTED;
    out->travel = p.travel;
    out->pilot_travel = p.pilot_travel;
    memcpy(out->pressure, p.pressure, sizeof out->pressure);
    memcpy(out->line_flow, p.line_flow, sizeof out->line_flow);
    const struct regulator_rest rest = {p.travel, p.pilot_travel, p.pressure};
    regulator_rest_state_flowing(scan->regulator, scan->mode, scan->time, &rest, p.line_flow,
                                 out->state);
    return whole;
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
    found->no_memory |= !polish_point(scan, &exact, kind == EQUILIBRIUM_OPEN, e);
}

static double scan_travel(const struct regulator *r, double i) {
    double u = i / SCAN_POINTS;
    // Without an upper stop the plug may pass its rated travel: look four times as far.
    double reach = r->parameters.actuator.stop.law == CONTACT_NONE ? 4.0 : 1.0;
    return reach * r->parameters.trim.rated_travel * u * u;
}

// By how much the force bends at a point.
static double bend(const struct regulator_static *at, int i) {
    bool inside = i > 0 && i < SCAN_POINTS;
    return inside ? fabs(at[i - 1].force - 2.0 * at[i].force + at[i + 1].force) : 0.0;
}

// Whether the force may vanish between the points i - 1 and i, once or several times. A smooth
// curve leaves its chord by an eighth of the bend, one with a corner by half of it at most.
static bool may_vanish(const struct regulator_static *at, int i) {
    double a = at[i - 1].force, b = at[i].force;
    return (a > 0.0) != (b > 0.0) || fmin(fabs(a), fabs(b)) <= fmax(bend(at, i - 1), bend(at, i));
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

struct equilibria equilibrium_find(const struct regulator *regulator,
                                   const struct regulator_mode *mode, double time) {
    struct equilibria found = {0};
    const struct scan fresh = {.regulator = regulator, .mode = mode, .time = time};
    struct scan scan = fresh;
    struct regulator_static at[SCAN_POINTS + 1];
    found.can_shut = regulator_static_shut_force(regulator, mode, time) < 0.0;
    for (int i = 0; i <= SCAN_POINTS; i++) {
        at[i] = scan_at(&scan, scan_travel(regulator, i));
    }
    const struct regulator_static *shut = &at[0], *wide = &at[SCAN_POINTS];
    if (regulator->parameters.actuator.seat.law != CONTACT_NONE && shut->balanced &&
        shut->force <= 0.0) {
        add_point(&found, &fresh, shut, EQUILIBRIUM_SHUT, true);
    }
    for (int i = 1; i <= SCAN_POINTS; i++) {
        if (may_vanish(at, i)) {
            look_between(&found, &fresh, at, i);
        }
    }
    if (regulator->parameters.actuator.stop.law != CONTACT_NONE && wide->balanced &&
        wide->force > 0.0) {
        add_point(&found, &fresh, wide, EQUILIBRIUM_WIDE_OPEN, true);
    }
    return found;
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
