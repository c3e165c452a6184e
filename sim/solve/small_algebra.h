// SPDX-License-Identifier: MIT
// A linear solver for a dozen unknowns behind SUNDIALS' own interface, as small_vector.h is for
// vectors. Results do not depend on the machine: sums run in a fixed order.
#pragma once

#include <sundials/sundials_linearsolver.h>
#include <sundials/sundials_matrix.h>

// Direct solver for I - gamma J where only the first `driving` unknowns drive anything: the columns
// of the others are those of the identity. LU with row pivoting (any numerical text) of the leading
// block, then one product for the rest. The matrix is a SUNDenseMatrix.
SUNLinearSolver small_solver_new(int length, int driving, SUNContext context);
