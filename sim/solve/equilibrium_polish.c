// SPDX-License-Identifier: MIT
// One point of rest, brought to all digits by Newton's iteration.
#include "solve/equilibrium_polish.h"

#include "base/reserve.h"

#include <kinsol/kinsol.h>
#include <nvector/nvector_serial.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>

#include <math.h>
#include <string.h>

#define UNKNOWNS_MAX (2 + NODE_VOLUMES + LINE_COUNT)
// Largest scaled rate of a polished point of rest.
#define RESIDUAL_WANTED 1e-9
// KINSOL and its vectors take less than 20 kB for so few unknowns [bytes].
#define SOLVER_ROOM ((size_t)64 << 10)

// The unknowns of one point of rest: travel, pilot travel unless at a stop, pressures of volumes.
struct polish {
    const struct regulator *regulator;
    const struct regulator_mode *mode;
    double time;
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
    const struct regulator *r = p->regulator;
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
    double scheduled = schedule_value(&m->flow, p->mode->flow_piece, p->time);
    double flow = fmax(fmax(p->guess.flow, fabs(scheduled)), 1e-6);
    for (int n = 0; n < NODE_VOLUMES; n++) {
        if (r->layout.mass[n] >= 0) {
            add_unknown(p, n, pressure, r->liquid ? flow / m->liquid.density : flow);
        }
    }
    for (int line = 0; line < LINE_COUNT; line++) { // in some nothing flows at rest
        if (r->has_line[line] && regulator_line_flows_at_rest(line)) {
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
    if (unknown == NODE_CHAMBER && r->has_line[LINE_LOADING]) { // the pilot fills it through a line
        return rate_slot(r, UNKNOWN_LINE - LINE_LOADING);
    }
    return unknown == UNKNOWN_TRAVEL  ? l->speed
           : unknown == UNKNOWN_PILOT ? (l->pilot_speed >= 0 ? l->pilot_speed : l->pilot_travel)
                                      : l->mass[unknown];
}

// The rates that must vanish.
static int residual(N_Vector u, N_Vector f, void *data) {
    struct polish *p = data;
    const struct regulator *r = p->regulator;
    unpack(p, NV_DATA_S(u));
    double state[REGULATOR_STATES_MAX], rate[REGULATOR_STATES_MAX];
    const struct regulator_rest rest = {p->travel, p->pilot_travel, p->pressure};
    regulator_rest_state_flowing(r, p->mode, p->time, &rest, p->line_flow, state);
    if (regulator_derivatives(r, p->mode, p->time, state, rate) != 0) {
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

bool equilibrium_polish(const struct equilibrium_place *at, const struct regulator_static *guess,
                        bool travel_free, struct equilibrium *out) {
    struct polish p = {
        .regulator = at->regulator, .mode = at->mode, .time = at->time, .guess = *guess};
    p.travel = guess->travel;
    p.pilot_travel = guess->pilot_travel;
    memcpy(p.pressure, guess->pressure, sizeof p.pressure);
    choose_unknowns(&p, travel_free);
    if (at->regulator->has_lines) {
        const struct regulator_rest rest = {p.travel, p.pilot_travel, p.pressure};
        regulator_line_flows(at->regulator, at->mode, at->time, &rest, p.line_flow);
    }
    double start[UNKNOWNS_MAX] = {0.0}, u[UNKNOWNS_MAX] = {0.0};
    for (int i = 0; i < p.count; i++) {
        start[i] = *unknown_at(&p, p.node[i]);
        u[i] = start[i];
    }
    SUNContext context;
    out->residual = (double)INFINITY;
    bool whole = reserve_is_there(SOLVER_ROOM) && SUNContext_Create(NULL, &context) == 0;
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
    regulator_rest_state_flowing(at->regulator, at->mode, at->time, &rest, p.line_flow, out->state);
    return whole;
}
