// SPDX-License-Identifier: MIT
// Inside the integration only: one CVODE instance with its context, vectors and counters, or one
// instance of the one-step method with what it takes to find events in a step.
#pragma once

#include "solve/integrate.h"
#include "solve/rosenbrock.h"

#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>

// The one-step method within its last step: how far events have been looked for.
struct integrate_one_step {
    struct rosenbrock *method; // NULL: CVODE
    bool pending;              // part of the last step is still ahead
    double share;              // of it that is behind
    double end;                // time at which it ends [s]
    bool guards_known;
    double guard[GUARD_COUNT];          // at the present time
    double state[REGULATOR_STATES_MAX]; // at the end of the step
    int found[GUARD_COUNT];
    int failure; // as CVODE would name it
    struct rosenbrock_counts gathered;
};

struct integrate_session {
    const struct regulator *regulator;
    struct regulator_mode *mode;
    const struct integrate_options *options;
    const struct integrate_observer *observer;
    struct integrate_result *result;
    SUNContext context;
    void *memory;
    N_Vector state, scratch, tolerance;
    SUNMatrix matrix;
    SUNLinearSolver linear;
    SUNNonlinearSolver fixed_point;
    int states, dynamic_states; // the running totals drive nothing: no Jacobian column
    bool careful;               // CVODE's iteration is asked for more than usual
    long rate_calls, step_calls;
    double stall_time; // time at the last look whether time advances [s]
    double time, stop_time, last_event_time;
    long next_sample;
    int events_at_time;
    int directions[GUARD_COUNT];
    double jacobian[REGULATOR_STATES_MAX][REGULATOR_STATES_MAX]; // by column; with lines by row
    struct integrate_one_step one;
};

// Create everything for a run from a state; false after integrate_session_fail.
bool integrate_session_open(struct integrate_session *session, const double *state);
void integrate_session_close(struct integrate_session *session);

// Restart at the present time and state, after a jump; false after integrate_session_fail.
bool integrate_session_restart(struct integrate_session *session);

enum integrate_step { INTEGRATE_STEP_FAILED, INTEGRATE_STEP_TAKEN, INTEGRATE_STEP_ROOT };

// One step of either method, `stop` at most, or up to the first guard that fires; FAILED after
// integrate_session_fail.
enum integrate_step integrate_session_step(struct integrate_session *session, double stop);

// Guards that fired at the end of that step; the state at a time within it, into `scratch`.
void integrate_session_found(struct integrate_session *session, int found[GUARD_COUNT]);
bool integrate_session_between(struct integrate_session *session, double time);
// The same, where the observer says so of what it reads alone.
bool integrate_session_sample(struct integrate_session *s, double time);

// A step at rest is long: puts time and state back to a time within the last one, as if it had
// ended there. Nothing goes on from there without a new session. False where no step was taken, or
// none beyond the time.
bool integrate_session_cut(struct integrate_session *session, double time);

// Steps since the last gathering.
long integrate_session_steps(const struct integrate_session *session);

// The same of the one-step method (integrate_one_step.c); false without memory, and a failure is
// left in `one` for whoever asked.
bool integrate_one_step_open(struct integrate_session *session);
enum integrate_step integrate_one_step_take(struct integrate_session *session, double stop);

// Add the method's counters to the statistics. CVODE forgets them at every restart.
void integrate_session_gather(struct integrate_session *session);

// Note a failure with time, step and the solver's own name for it. Always returns false.
bool integrate_session_fail(struct integrate_session *session, const char *what, int flag);
