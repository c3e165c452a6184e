// SPDX-License-Identifier: MIT
// The only place that talks to LAPACKE about eigenvalues.
#include "solve/eigenvalues.h"

#include <lapacke.h>
#include <stddef.h>

bool eigenvalues_find(int n, double *matrix, double *real, double *imaginary) {
    // dgeev balances the matrix itself, which brings masses, metres and joules to one scale.
    return LAPACKE_dgeev(LAPACK_ROW_MAJOR, 'N', 'N', n, matrix, n, real, imaginary, NULL, 1, NULL,
                         1) == 0;
}
