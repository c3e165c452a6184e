// SPDX-License-Identifier: MIT
#include "solve/dense_lu.h"

#include <math.h>

bool dense_lu_factor(int m, double *a, double *inverse_of, int *pivot) {
    for (int k = 0; k < m; k++) {
        double *own = a + k * m;
        int best = k;
        for (int r = k + 1; r < m; r++) {
            best = fabs(own[r]) > fabs(own[best]) ? r : best;
        }
        pivot[k] = best;
        if (!(fabs(own[best]) > 0.0)) {
            return false;
        }
        for (int c = 0; best != k && c < m; c++) {
            double *column = a + c * m, kept = column[k];
            column[k] = column[best];
            column[best] = kept;
        }
        const double inverse = 1.0 / own[k];
        inverse_of[k] = inverse;
        for (int r = k + 1; r < m; r++) {
            own[r] *= inverse;
        }
        for (int c = k + 1; c < m; c++) {
            double *other = a + c * m;
            const double value = other[k];
            for (int r = k + 1; value != 0.0 && r < m; r++) {
                other[r] -= value * own[r];
            }
        }
    }
    return true;
}

void dense_lu_solve(int m, const double *a, const double *inverse, const int *pivot, double *s) {
    for (int k = 0; k < m; k++) {
        const double kept = s[pivot[k]];
        s[pivot[k]] = s[k];
        s[k] = kept;
    }
    for (int k = 0; k < m; k++) {
        const double *lower = a + k * m, value = s[k];
        for (int r = k + 1; r < m; r++) {
            s[r] -= value * lower[r];
        }
    }
    for (int k = m - 1; k >= 0; k--) {
        const double *upper = a + k * m, value = s[k] * inverse[k];
        s[k] = value;
        for (int r = 0; r < k; r++) {
            s[r] -= value * upper[r];
        }
    }
}
