// SPDX-License-Identifier: MIT
// Inside the integration only: one CVODE instance with its context, vectors and counters.
#pragma once

#include "solve/integrate.h"

#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>

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
    long rate_calls, step_calls;
    double stall_time; // time at the last look whether time advances [s]
    double time, stop_time, last_event_time;
    long next_sample;
    int events_at_time;
    int directions[GUARD_COUNT];
    double jacobian[REGULATOR_STATES_MAX][REGULATOR_STATES_MAX]; // by column
};

// Create everything for a run from a state; false after integrate_session_fail.
bool integrate_session_open(struct integrate_session *session, const double *state);
void integrate_session_close(struct integrate_session *session);

// Restart at the present time and state, after a jump; false after integrate_session_fail.
bool integrate_session_restart(struct integrate_session *session);

// Add CVODE's counters to the statistics. CVODE forgets them at every restart.
void integrate_session_gather(struct integrate_session *session);

// Note a failure with time, step and the solver's own name for it. Always returns false.
bool integrate_session_fail(struct integrate_session *session, const char *what, int flag);
