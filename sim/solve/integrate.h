// SPDX-License-Identifier: MIT
// Integrates a prepared regulator with SUNDIALS CVODE (only integrate*.c calls it), or with a
// one-step method of our own (rosenbrock.h). Knows steps, roots, restarts and even sampling; knows
// nothing of pressures or verdicts.
#pragma once

#include "models/regulator_events.h"

#include <stddef.h>

enum integrate_status {
    INTEGRATE_DONE,        // reached the end time
    INTEGRATE_STOPPED,     // the observer asked to stop
    INTEGRATE_INTERRUPTED, // a signal asked to stop
    INTEGRATE_FAILED,      // the solver gave up; `message` says why
    INTEGRATE_NO_MEMORY,
};

struct integrate_options {
    double start, end;         // [s]
    double sample_interval;    // even spacing of samples [s]
    double relative_tolerance; // [-]
    double initial_step;       // [s], fixed so that sampling never changes the steps taken
    double max_step;           // [s]; 0: no limit
    long max_steps;            // ceiling on all steps of the run
    int max_order;             // 1..5 for BDF
    bool adams;                // functional iteration, for cross-checks on runs that are not stiff
    bool rosenbrock;           // the one-step method; the order has then no say
};

struct integrate_options integrate_options_default(void);

struct integrate_statistics {
    long steps, rate_calls, jacobians, error_failures, convergence_failures, restarts, events;
    double end_time; // [s]
};

// A jump and both its sides; the pointers hold only during the call.
struct integrate_jump {
    double time; // [s]
    const struct regulator_mode *mode_before, *mode_after;
    const double *before, *after;                  // states
    const struct regulator_transition *transition; // never of EVENT_NONE; NULL: a schedule jumps
};

// One call per sample and per jump; `state` holds only during the call.
struct integrate_observer {
    void *context;
    void (*sample)(void *context, double time, const struct regulator_mode *mode,
                   const double *state);
    const int *read; // states that `sample` reads, `reads` of them; NULL: all
    int reads;
    // NULL: nobody wants to know.
    void (*jump)(void *context, const struct integrate_jump *jump);
    // Asked after each sample; true ends the run.
    bool (*stop)(void *context, double time);
};

struct integrate_result {
    enum integrate_status status;
    struct integrate_statistics statistics;
    char message[256]; // cause of a failure: time, step, solver's own flag name
};

// Integrate from options->start; state and mode are updated to the end of the run.
struct integrate_result integrate_run(const struct regulator *regulator,
                                      struct regulator_mode *mode, double *state,
                                      const struct integrate_options *options,
                                      const struct integrate_observer *observer);

// The same in slices: open, continue as often as wanted until a time [s], close. A slice ends
// behind a whole step, so that nothing depends on where. All that is handed over must live until
// the close.
struct integrate_run;
struct integrate_run *integrate_open(const struct regulator *regulator, struct regulator_mode *mode,
                                     double *state, const struct integrate_options *options,
                                     const struct integrate_observer *observer); // NULL: no memory
bool integrate_continue(struct integrate_run *run, double until);   // false: the run has ended
double integrate_time(const struct integrate_run *run);             // [s]
struct integrate_result integrate_close(struct integrate_run *run); // NULL is a failed run

// Ask every running integration to stop at its next step; safe in a signal handler.
void integrate_interrupt(void);
bool integrate_interrupted(void);
