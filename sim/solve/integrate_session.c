// SPDX-License-Identifier: MIT
#include "solve/integrate_session.h"

#include "base/clean.h"
#include "base/reserve.h"
#include "solve/bordered_solver.h"
#include "solve/short_solver.h"
#include "solve/small_vector.h"

#include <cvode/cvode_ls.h>
#include <sunmatrix/sunmatrix_dense.h>
#include <sunnonlinsol/sunnonlinsol_fixedpoint.h>

#include <float.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

_Static_assert(sizeof(sunrealtype) == sizeof(double), "states are plain doubles");

// Below this CVODE halves its step for ever when a state runs into a wall (an emptied vessel), and
// returns success at h = 0. No motion here is faster than a nanosecond.
#define SMALLEST_STEP 1e-13 // [s]
// Absolute tolerance of a state: rtol x scale x this share. The scale is the state's full range;
// a tenth of it is still worth resolving to the relative tolerance.
#define ABSOLUTE_SHARE 0.1
// With the plug held all that is left to follow soon creeps. The flow of the sense line is then
// next to none, where its law bends most, and what Newton's iteration leaves over there can pass
// for motion: the step stays at tens of microseconds for ever (a build wide open took 2,296,879
// steps for 120 s; 236 with a tenth of CVODE's own share of the tolerance). So that share is asked
// for after as many steps as no slam takes on its seat; not with lines, whose waves run on.
#define HELD_STEPS 2000
#define HELD_SHARE 0.01
#define USUAL_SHARE 0.1 // CVODE's own
// More than a solver takes: by itself [bytes], in vectors and in matrices of its states.
enum { SOLVER_ROOM = 64 << 10, VECTORS_MAX = 40, MATRICES_MAX = 6 };

static void keep_message(int code, const char *module, const char *function, char *message,
                         void *data) {
    (void)module;
    (void)function;
    struct integrate_session *s = data;
    if (code < 0 && s->result->message[0] == '\0') {
        snprintf(s->result->message, sizeof s->result->message, "%.*s", clean_whole(message, 200),
                 message);
    }
}

static int rates(sunrealtype t, N_Vector y, N_Vector ydot, void *data) {
    struct integrate_session *s = data;
    s->rate_calls++;
    return regulator_derivatives(s->regulator, s->mode, t, NV_DATA_S(y), NV_DATA_S(ydot));
}

static int weights(N_Vector y, N_Vector weight, void *data) {
    const struct integrate_session *s = data;
    small_vector_weights(y, s->options->relative_tolerance, s->tolerance, weight);
    return 0;
}

// Difference-quotient Jacobian over the states that drive anything. Increments follow the error
// weights, as CVODE's own do.
static int refresh_jacobian(struct integrate_session *s, double t, double *state,
                            const double *rate, double *moved) {
    const double *absolute = NV_DATA_S(s->tolerance);
    double root = sqrt(DBL_EPSILON);
    for (int c = 0; c < s->dynamic_states; c++) {
        double kept = state[c];
        double floor = absolute[c] / s->options->relative_tolerance;
        double increment = root * fmax(fabs(kept), 1e-2 * floor);
        state[c] = kept + increment;
        increment = state[c] - kept; // the step the machine really took
        int status = regulator_derivatives(s->regulator, s->mode, t, state, moved);
        s->rate_calls++;
        state[c] = kept;
        if (status != 0) {
            return status;
        }
        double inverse = 1.0 / increment;
        for (int r = 0; r < s->states; r++) {
            s->jacobian[c][r] = (moved[r] - rate[r]) * inverse;
        }
    }
    s->result->statistics.jacobians++;
    return 0;
}

// The matrix I - gamma J, written straight from a Jacobian that is kept as long as CVODE allows.
// NOLINTNEXTLINE(readability-function-size): CVODE's own list of arguments
static int linear_system(sunrealtype t, N_Vector y, N_Vector fy, SUNMatrix a, booleantype keep,
                         booleantype *renewed, sunrealtype gamma, void *data, N_Vector tmp1,
                         N_Vector tmp2, N_Vector tmp3) {
    (void)a;
    (void)tmp2;
    (void)tmp3;
    struct integrate_session *s = data;
    *renewed = !keep;
    if (!keep) {
        int status = refresh_jacobian(s, t, NV_DATA_S(y), NV_DATA_S(fy), NV_DATA_S(tmp1));
        if (status != 0) {
            return status;
        }
    }
    short_solver_fill(s->linear, gamma, s->jacobian[0], REGULATOR_STATES_MAX);
    return 0;
}

// The same with lines, of the model's own slopes: no matrix is written, as most of it is nothing.
// NOLINTNEXTLINE(readability-function-size): CVODE's own list of arguments
static int line_system(sunrealtype t, N_Vector y, N_Vector fy, SUNMatrix a, booleantype keep,
                       booleantype *renewed, sunrealtype gamma, void *data, N_Vector tmp1,
                       N_Vector tmp2, N_Vector tmp3) {
    (void)fy;
    (void)a;
    (void)tmp1;
    (void)tmp2;
    (void)tmp3;
    struct integrate_session *s = data;
    double *row = &s->jacobian[0][0];
    *renewed = !keep;
    if (!keep) {
        if (regulator_slopes(s->regulator, s->mode, t, NV_DATA_S(y), row) != 0) {
            return 1;
        }
        s->result->statistics.jacobians++;
    }
    bordered_solver_set(s->linear, keep ? NULL : row, gamma);
    return 0;
}

static int guards(sunrealtype t, N_Vector y, sunrealtype *g, void *data) {
    struct integrate_session *s = data;
    regulator_guards(s->regulator, s->mode, t, NV_DATA_S(y), g);
    for (int i = 0; i < GUARD_COUNT; i++) {
        if (!isfinite(g[i])) {
            return -1;
        }
    }
    return 0;
}

bool integrate_session_fail(struct integrate_session *s, const char *what, int flag) {
    char *name = CVodeGetReturnFlagName(flag);
    char cause[128];
    snprintf(cause, sizeof cause, "%.*s", clean_whole(s->result->message, 120), s->result->message);
    double step = 0.0;
    if (s->memory) {
        CVodeGetLastStep(s->memory, &step);
    } else if (s->one.method) {
        step = rosenbrock_taken(s->one.method);
    }
    snprintf(s->result->message, sizeof s->result->message, "%s at t = %.9g s, step %.3g s: %s%s%s",
             what, s->time, step, name ? name : "?", cause[0] ? ": " : "", cause);
    free(name);
    s->result->status = flag == CV_MEM_FAIL ? INTEGRATE_NO_MEMORY : INTEGRATE_FAILED;
    return false;
}

static SUNLinearSolver new_line_solver(const struct integrate_session *s) {
    struct regulator_band band;
    regulator_band(s->regulator, &band);
    const struct bordered_shape shape = {
        s->dynamic_states, band.banded, band.below, band.above, s->states - s->dynamic_states,
        band.order};
    return bordered_solver_new(&shape, s->context);
}

static bool create_solver(struct integrate_session *s) {
    const struct integrate_options *o = s->options;
    CVodeSetErrHandlerFn(s->memory, keep_message, s);
    // Each step stands on the one before: without memory the next would meet what is not there.
    int flag = CVodeInit(s->memory, rates, s->time, s->state);
    if (flag == CV_SUCCESS) {
        flag = CVodeWFtolerances(s->memory, weights);
    }
    if (flag == CV_SUCCESS) {
        flag = CVodeRootInit(s->memory, GUARD_COUNT, guards);
    }
    if (flag != CV_SUCCESS) {
        return integrate_session_fail(s, "solver set-up failed", flag);
    }
    flag |= CVodeSetUserData(s->memory, s);
    flag |= CVodeSetMaxNumSteps(s->memory, -1); // counted by us over the whole run
    flag |= CVodeSetInitStep(s->memory, o->initial_step);
    flag |= CVodeSetMaxStep(s->memory, o->max_step);
    flag |= CVodeSetMinStep(s->memory, SMALLEST_STEP);
    flag |= CVodeSetNoInactiveRootWarn(s->memory);
    for (int i = 0; i < GUARD_COUNT; i++) {
        s->directions[i] = i == GUARD_REVERSAL ? 0 : -1;
    }
    flag |= CVodeSetRootDirection(s->memory, s->directions);
    if (o->adams) {
        s->fixed_point = SUNNonlinSol_FixedPoint(s->state, 0, s->context);
        if (!s->fixed_point) { // CVODE would print its complaint
            return integrate_session_fail(s, "no memory", CV_MEM_FAIL);
        }
        flag |= CVodeSetNonlinearSolver(s->memory, s->fixed_point);
        return flag == CV_SUCCESS || integrate_session_fail(s, "solver set-up failed", flag);
    }
    s->matrix = SUNDenseMatrix(s->states, s->states, s->context);
    const bool lines = s->regulator->has_lines;
    s->linear =
        lines ? new_line_solver(s) : short_solver_new(s->states, s->dynamic_states, s->context);
    if (!s->matrix || !s->linear) {
        return integrate_session_fail(s, "no memory", CV_MEM_FAIL);
    }
    const int linear = CVodeSetLinearSolver(s->memory, s->linear, s->matrix);
    if (linear != CV_SUCCESS) {
        return integrate_session_fail(s, "solver set-up failed", CV_MEM_FAIL);
    }
    flag |= CVodeSetLinSysFn(s->memory, lines ? line_system : linear_system);
    flag |= CVodeSetMaxOrd(s->memory, o->max_order);
    flag |= CVodeSetStabLimDet(s->memory, SUNTRUE);
    return flag == CV_SUCCESS || integrate_session_fail(s, "solver set-up failed", flag);
}

bool integrate_session_open(struct integrate_session *s, const double *state) {
    const struct regulator_layout *l = &s->regulator->layout;
    s->states = l->count;
    s->dynamic_states = l->mass_in; // the totals are the last states
    const size_t states = (size_t)s->states;
    const size_t room =
        SOLVER_ROOM + (VECTORS_MAX * states + MATRICES_MAX * states * states) * sizeof(double);
    if (!reserve_is_there(room) || SUNContext_Create(NULL, &s->context) != 0) {
        return integrate_session_fail(s, "no solver context", CV_MEM_FAIL);
    }
    s->state = small_vector_new(s->states, s->context);
    s->scratch = small_vector_new(s->states, s->context);
    s->tolerance = small_vector_new(s->states, s->context);
    const bool own = s->options->rosenbrock;
    s->memory = own ? NULL : CVodeCreate(s->options->adams ? CV_ADAMS : CV_BDF, s->context);
    if (!s->state || !s->scratch || !s->tolerance || !(own || s->memory)) {
        return integrate_session_fail(s, "no memory", CV_MEM_FAIL);
    }
    memcpy(NV_DATA_S(s->state), state, (size_t)s->states * sizeof *state);
    for (int i = 0; i < s->states; i++) {
        NV_Ith_S(s->tolerance, i) =
            s->options->relative_tolerance * ABSOLUTE_SHARE * l->slot[i].scale;
    }
    if (own) {
        return integrate_one_step_open(s) || integrate_session_fail(s, "no memory", CV_MEM_FAIL);
    }
    return create_solver(s);
}

void integrate_session_close(struct integrate_session *s) {
    rosenbrock_free(s->one.method);
    if (s->memory) {
        CVodeFree(&s->memory);
    }
    if (s->fixed_point) {
        SUNNonlinSolFree(s->fixed_point);
    }
    if (s->linear) {
        SUNLinSolFree(s->linear);
    }
    if (s->matrix) {
        SUNMatDestroy(s->matrix);
    }
    N_Vector vectors[] = {s->state, s->scratch, s->tolerance};
    for (int i = 0; i < 3; i++) {
        if (vectors[i]) {
            N_VDestroy(vectors[i]);
        }
    }
    if (s->context) {
        SUNContext_Free(&s->context);
    }
}

enum integrate_step integrate_session_step(struct integrate_session *s, double stop) {
    if (s->one.method) {
        const enum integrate_step step = integrate_one_step_take(s, stop);
        if (step == INTEGRATE_STEP_FAILED) {
            integrate_session_fail(s, "the integration failed", s->one.failure);
        }
        return step;
    }
    if (!s->careful && s->mode->plug != HOLD_FREE && !s->regulator->has_lines &&
        integrate_session_steps(s) > HELD_STEPS) {
        s->careful = CVodeSetNonlinConvCoef(s->memory, HELD_SHARE) == CV_SUCCESS;
    }
    CVodeSetStopTime(s->memory, stop);
    int flag = CVode(s->memory, stop, s->state, &s->time, CV_ONE_STEP);
    if (flag < 0) {
        integrate_session_fail(s, "the integration failed", flag);
        return INTEGRATE_STEP_FAILED;
    }
    return flag == CV_ROOT_RETURN ? INTEGRATE_STEP_ROOT : INTEGRATE_STEP_TAKEN;
}

void integrate_session_found(struct integrate_session *s, int found[GUARD_COUNT]) {
    if (s->one.method) {
        memcpy(found, s->one.found, sizeof s->one.found);
    } else {
        CVodeGetRootInfo(s->memory, found);
    }
}

bool integrate_session_between(struct integrate_session *s, double time) {
    if (!s->one.method) {
        return CVodeGetDky(s->memory, time, 0, s->scratch) == CV_SUCCESS;
    }
    const double taken = rosenbrock_taken(s->one.method);
    const double share = (time - rosenbrock_begun(s->one.method)) / taken;
    rosenbrock_between(s->one.method, share, NV_DATA_S(s->scratch));
    return true;
}

bool integrate_session_sample(struct integrate_session *s, double time) {
    const struct integrate_observer *o = s->observer;
    if (!s->one.method || !o->read) {
        return integrate_session_between(s, time);
    }
    const struct rosenbrock *m = s->one.method;
    const double share = (time - rosenbrock_begun(m)) / rosenbrock_taken(m);
    for (int k = 0; k < o->reads; k++) {
        NV_Ith_S(s->scratch, o->read[k]) = rosenbrock_between_one(m, share, o->read[k]);
    }
    return true;
}

bool integrate_session_cut(struct integrate_session *s, double time) {
    const bool none = s->one.method && rosenbrock_taken(s->one.method) == 0.0;
    if (none || time >= s->time || !integrate_session_between(s, time)) {
        return false;
    }
    memcpy(NV_DATA_S(s->state), NV_DATA_S(s->scratch), (size_t)s->states * sizeof(double));
    s->time = time;
    s->one.pending = s->one.guards_known = false;
    return true;
}

long integrate_session_steps(const struct integrate_session *s) {
    long steps = 0;
    if (s->one.method) {
        return rosenbrock_counts(s->one.method).steps - s->one.gathered.steps;
    }
    CVodeGetNumSteps(s->memory, &steps);
    return steps;
}

// The one-step method never forgets its counters.
static void gather_one_step(struct integrate_session *s) {
    const struct rosenbrock_counts now = rosenbrock_counts(s->one.method);
    const struct rosenbrock_counts *then = &s->one.gathered;
    struct integrate_statistics *t = &s->result->statistics;
    t->steps += now.steps - then->steps;
    t->jacobians += now.slope_calls - then->slope_calls;
    t->error_failures += now.rejected - then->rejected;
    t->convergence_failures += now.impossible - then->impossible;
    s->one.gathered = now;
}

void integrate_session_gather(struct integrate_session *s) {
    if (s->one.method) {
        gather_one_step(s);
        return;
    }
    long steps = 0, errors = 0, convergence = 0;
    CVodeGetNumSteps(s->memory, &steps);
    CVodeGetNumErrTestFails(s->memory, &errors);
    CVodeGetNumNonlinSolvConvFails(s->memory, &convergence);
    struct integrate_statistics *t = &s->result->statistics;
    t->steps += steps;
    t->error_failures += errors;
    t->convergence_failures += convergence;
}

bool integrate_session_restart(struct integrate_session *s) {
    integrate_session_gather(s);
    s->result->statistics.restarts++;
    if (s->one.method) { // each step begins anew
        s->one.pending = s->one.guards_known = false;
        return true;
    }
    int flag = CVodeReInit(s->memory, s->time, s->state);
    if (s->careful) {
        s->careful = false;
        CVodeSetNonlinConvCoef(s->memory, USUAL_SHARE);
    }
    return flag == CV_SUCCESS || integrate_session_fail(s, "restart failed", flag);
}
