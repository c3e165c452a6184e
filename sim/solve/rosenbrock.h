// SPDX-License-Identifier: MIT
// One step of a Rosenbrock method of order 5 for dy/dt = f(t, y), stiff or lightly damped, with its
// exact Jacobian: no iteration, no memory of steps before, so nothing to build up again after a
// jump. Knows nothing of regulators or events.
//
// The method is Rodas5P: eight stages, stiffly accurate, A-stable, with an embedded solution of
// order 4 and a continuous one of order 4. Source of method and coefficients: G. Steinebach,
// Construction of Rosenbrock-Wanner method Rodas5P and numerical benchmarks within the Julia
// Differential Equations package, BIT Numer. Math. 63 (2023) 27, in the transformed form of
// E. Hairer, G. Wanner, Solving Ordinary Differential Equations II, section IV.7.
#pragma once

#include "solve/bordered.h"

#include <stdbool.h>

// The problem; functions return 0, or 1 where the state is none (a shorter step is then tried).
struct rosenbrock_problem {
    void *context;
    int count;   // states
    int driving; // the first so many drive anything; the others are running totals
    int (*rates)(void *context, double time, const double *state, double *rate);
    // Slopes of the rates over the driving states: row[count][driving].
    int (*slopes)(void *context, double time, const double *state, double *row);
    // Slopes of the rates over time itself; NULL: f does not know the time. May say at a step that
    // they are all zero by *zero.
    int (*time_slopes)(void *context, double time, const double *state, double *slope, bool *zero);
    double relative;          // tolerance [-]
    const double *absolute;   // [count], in the states' units
    double smallest, largest; // step; largest 0: no limit [s]
};

struct rosenbrock_counts {
    long steps, rate_calls, slope_calls, rejected, impossible;
};

struct rosenbrock; // opaque

// A first step to try [s]; NULL without memory, or with none or more than 256 driving states. The
// problem is copied, its context is not.
struct rosenbrock *rosenbrock_new(const struct rosenbrock_problem *problem, double step);
// Tells that the slopes over what drives have zeros but in this shape; false without memory.
bool rosenbrock_shape(struct rosenbrock *method, const struct bordered_shape *shape);
void rosenbrock_free(struct rosenbrock *method); // NULL is fine

// One accepted step from a time and state, which are moved on, `stop` at most. False: no step above
// the smallest meets the tolerance.
bool rosenbrock_step(struct rosenbrock *method, double *time, double *state, double stop);

// State at a time within the last step (its continuous solution), `share` of it from 0 to 1.
void rosenbrock_between(const struct rosenbrock *method, double share, double *state);

// One number of it.
double rosenbrock_between_one(const struct rosenbrock *method, double share, int i);
double rosenbrock_begun(const struct rosenbrock *method); // time at which that step began [s]
double rosenbrock_taken(const struct rosenbrock *method); // its length [s]

struct rosenbrock_counts rosenbrock_counts(const struct rosenbrock *method);
