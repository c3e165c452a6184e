// SPDX-License-Identifier: MIT
// Factors of a small dense matrix a[m][m], by column, with exchange of rows, in its place.
#pragma once

#include <stdbool.h>

// `inverse` [m] becomes one over the pivots. False when singular.
bool dense_lu_factor(int m, double *a, double *inverse, int *pivot);
void dense_lu_solve(int m, const double *a, const double *inverse, const int *pivot, double *s);
