// SPDX-License-Identifier: MIT
// Vectors of a dozen numbers behind SUNDIALS' own interface. The stock ones are made for thousands:
// with 15 states their calls took three quarters of a run (perf, see tests/bench/README.md).
// Results do not depend on the machine: each number is rounded as by plain loops, sums run in a
// fixed order.
#pragma once

#include <sundials/sundials_nvector.h>

// A serial N_Vector whose hottest operations are short loops. Clones keep them. NULL on failure.
N_Vector small_vector_new(int length, SUNContext context);

// weight = 1/(relative |state| + absolute), each a vector of this kind.
void small_vector_weights(N_Vector state, double relative, N_Vector absolute, N_Vector weight);
