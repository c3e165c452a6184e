// SPDX-License-Identifier: MIT
// Inside of the one-step method only: one instance, and the linear systems of its steps.
#pragma once

#include "solve/bordered.h"
#include "solve/rosenbrock.h"

enum { REACH = 256 }; // largest order

struct rosenbrock {
    struct rosenbrock_problem problem;
    struct rosenbrock_counts counts;
    int width, order;          // of a vector, of the matrix
    double step;               // to try next [s]
    double begun, taken;       // of the last step [s]
    int worst;                 // state with the largest error in it
    int bounced;               // steps in a row that end where they began
    int *pivot;                // [driving]
    struct bordered *bordered; // factors where the problem has a shape; else those below
    double *row;               // slopes [count][driving]
    double *total; // those of the totals, by column [order][width - driving rounded down]
    double *whole; // W, and what is left of it, by column [order][order]
    double *lower; // its factors, by column; the diagonals are one ...
    double *upper; // ... and in `inverse`, turned over
    double *inverse;
    double *from, *to; // ends of the last step
    double *rate0, *rate, *argument, *time_slope;
    double *u;    // [STAGES][width]
    double *bend; // continuous solution [DENSE][width]
    double store[];
};

// W = inverse I - J factored, where the slopes stand in `row`; false when singular.
bool rosenbrock_factorise(struct rosenbrock *m, double inverse);

// The totals' rows of the slopes by column, in lanes of their own behind those of the driving ones.
void rosenbrock_turn_totals(struct rosenbrock *m);

// u becomes the solution of W u = u; that of a total, which W does not hold, by `scale`.
void rosenbrock_solve(const struct rosenbrock *m, double scale, double *u);
