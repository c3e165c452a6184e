// SPDX-License-Identifier: MIT
// Eigenvalues of a small real matrix. The native program asks LAPACKE; where that is not to be had,
// as in a page, a short method of our own does it. Does not find eigenvectors.
#pragma once

#include <stdbool.h>

enum { EIGENVALUES_MAX = 256 }; // rows of the largest matrix

// Real and imaginary parts of the n eigenvalues of a matrix [n][n], row-major, which is
// overwritten; a pair stands in two neighbouring places. Returns false when they do not converge.
bool eigenvalues_find(int n, double *matrix, double *real, double *imaginary);

// The same by the method in eigenvalues_qr.c alone. Errors are those of a change of the matrix by
// some roundings of its norm: 1e-13 of the norm for well separated eigenvalues.
// tests/test_eigenvalues.c holds it against LAPACKE. False also when an entry is not finite.
bool eigenvalues_qr(int n, double *matrix, double *real, double *imaginary);
