// SPDX-License-Identifier: MIT
// Linear solver for the dozen unknowns of a build without lines, behind SUNDIALS' own interface:
// LU with row pivoting. Rows are worked on by pairs, and a solve passes over what is zero.
#pragma once

#include <sundials/sundials_linearsolver.h>

// For I - gamma J where only the first `driving` unknowns drive anything. The matrix that SUNDIALS
// hands over is not looked at: short_solver_fill comes before.
SUNLinearSolver short_solver_new(int length, int driving, SUNContext context);

// Takes I - gamma J from the columns of J, `apart` numbers from one to the next.
void short_solver_fill(SUNLinearSolver solver, double gamma, const double *column, int apart);
