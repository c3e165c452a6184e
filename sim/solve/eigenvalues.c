// SPDX-License-Identifier: MIT
// The only place that talks to LAPACKE about eigenvalues.
#include "solve/eigenvalues.h"

#include <lapacke.h>
#include <stddef.h>

bool eigenvalues_find(int n, double *matrix, double *real, double *imaginary) {
    enum { WORK = 64 * EIGENVALUES_MAX };
    // dgeev balances the matrix itself, which brings masses, metres and joules to one scale. A
    // matrix has the eigenvalues of its transpose, so rows may pass for columns; but the order of
    // rounding would change, so it is turned. Given its working memory LAPACKE allocates nothing
    // and has nothing to print.
    double work[WORK];
    if (n > EIGENVALUES_MAX) {
        return false;
    }
    for (int i = 0; i < n; i++) {
        for (int k = 0; k < i; k++) {
            const double kept = matrix[i * n + k];
            matrix[i * n + k] = matrix[k * n + i];
            matrix[k * n + i] = kept;
        }
    }
    return LAPACKE_dgeev_work(LAPACK_COL_MAJOR, 'N', 'N', n, matrix, n, real, imaginary, NULL, 1,
                              NULL, 1, work, WORK) == 0;
}
