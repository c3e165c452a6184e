// SPDX-License-Identifier: MIT
// Vectors and a linear solver for a dozen unknowns, behind SUNDIALS' own interfaces. The stock ones
// are made for thousands: with 15 states their calls took three quarters of a run (perf, see
// tests/bench/README.md). Results do not depend on the machine: sums run in a fixed order.
#pragma once

#include <sundials/sundials_linearsolver.h>
#include <sundials/sundials_matrix.h>
#include <sundials/sundials_nvector.h>

// A serial N_Vector whose hottest operations are short loops. Clones keep them. NULL on failure.
N_Vector small_vector_new(int length, SUNContext context);

// Direct solver for I - gamma J where only the first `driving` unknowns drive anything: the columns
// of the others are those of the identity. LU with row pivoting (any numerical text) of the leading
// block, then one product for the rest. The matrix is a SUNDenseMatrix.
SUNLinearSolver small_solver_new(int length, int driving, SUNContext context);
