// SPDX-License-Identifier: MIT
// The factors of bordered.h behind SUNDIALS' interface of a linear solver, for I - gamma J of a
// regulator with lines. The matrix that CVODE hands to it is not looked at: it is told here.
#pragma once

#include "solve/bordered.h"

#include <sundials/sundials_linearsolver.h>

// NULL on failure.
SUNLinearSolver bordered_solver_new(const struct bordered_shape *shape, SUNContext context);

// The matrix that the next set-up factors: slopes row[count + more][count], or NULL where they are
// those of the last time, and gamma.
void bordered_solver_set(SUNLinearSolver solver, const double *row, double gamma);
