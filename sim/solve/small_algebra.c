// SPDX-License-Identifier: MIT
#include "solve/small_algebra.h"

#include <nvector/nvector_serial.h>
#include <sunmatrix/sunmatrix_dense.h>

#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

struct small_solver {
    int length, driving;
    int *pivot;     // [driving]
    double *block;  // row-major factors of the leading block [driving][driving]
    double *rest;   // row-major lower-left part [length - driving][driving]
    int *place;     // columns of what is not zero in the factors, row by row
    int *row;       // [2 driving + 1] where a row begins among them, left and right of its pivot
    int words;      // of 64 rows each
    uint64_t *mask; // [driving][words]
};

static SUNLinearSolver_Type solver_type(SUNLinearSolver solver) {
    (void)solver;
    return SUNLINEARSOLVER_DIRECT;
}

static void copy_matrix(struct small_solver *s, SUNMatrix matrix) {
    const int n = s->driving;
    for (int c = 0; c < n; c++) {
        const double *column = SUNDenseMatrix_Column(matrix, c);
        uint64_t *mask = s->mask + c * s->words;
        for (int w = 0, r = 0; w < s->words; w++) {
            mask[w] = 0;
            for (int bit = 0; bit < 64 && r < n; bit++, r++) {
                s->block[r * n + c] = column[r];
                mask[w] |= (uint64_t)(column[r] != 0.0) << bit;
            }
        }
        for (int r = n; r < s->length; r++) {
            s->rest[(r - n) * n + c] = column[r];
        }
    }
}

static void swap_rows(double *a, double *b, int n) {
    for (int i = 0; i < n; i++) {
        double kept = a[i];
        a[i] = b[i];
        b[i] = kept;
    }
}

// Columns in which a row is not zero, from one on.
static int columns_of(const double *row, int from, int n, int *column) {
    int count = 0;
    for (int c = from; c < n; c++) {
        column[count] = c;
        count += row[c] != 0.0;
    }
    return count;
}

// The places of what is not zero in the factors, row by row, so that a solve passes over the rest:
// of the states of a line each knows its neighbours only.
static void note_places(struct small_solver *s) {
    const int n = s->driving;
    int count = 0;
    for (int r = 0; r < n; r++) {
        const double *row = s->block + r * n;
        s->row[2 * r] = count;
        count += columns_of(row, 0, r, s->place + count);
        s->row[2 * r + 1] = count;
        count += columns_of(row, r + 1, n, s->place + count);
    }
    s->row[2 * n] = count;
}

// Rows of a column in which it may not be zero, as bits: with lines a matrix is sparse, and looking
// through its zeros took most of the time.
static void mark(struct small_solver *s, int r, int c) {
    s->mask[c * s->words + r / 64] |= (uint64_t)1 << (r % 64);
}

static bool marked(const struct small_solver *s, int r, int c) {
    return (s->mask[c * s->words + r / 64] >> (r % 64) & 1) != 0;
}

// Rows below k of column k into `list`; returns their number.
static int rows_below(const struct small_solver *s, int k, int *list) {
    int count = 0;
    for (int w = (k + 1) / 64; w < s->words; w++) {
        uint64_t bits = s->mask[k * s->words + w];
        if (w == (k + 1) / 64) {
            bits &= ~(uint64_t)0 << ((k + 1) % 64);
        }
        for (; bits != 0; bits &= bits - 1) {
            list[count++] = 64 * w + __builtin_ctzll(bits);
        }
    }
    return count;
}

static void exchange(struct small_solver *s, int k, int best) {
    const int n = s->driving;
    swap_rows(s->block + k * n, s->block + best * n, n);
    for (int c = k; c < n; c++) {
        if (marked(s, k, c)) {
            mark(s, best, c);
        }
    }
}

static void eliminate(struct small_solver *s, int k, const int *rows, int count) {
    const int n = s->driving;
    double *a = s->block;
    const double *top = a + k * n;
    const double inverse = 1.0 / top[k];
    int *column = s->place, columns = columns_of(top, k + 1, n, column);
    for (int i = 0; i < count; i++) {
        double *row = a + rows[i] * n;
        double factor = row[k] * inverse;
        row[k] = factor;
        if (factor == 0.0) {
            continue;
        }
        for (int j = 0; j < columns; j++) {
            row[column[j]] -= factor * top[column[j]];
            mark(s, rows[i], column[j]);
        }
    }
    a[k * n + k] = inverse; // kept inverted: a solve then has no division
}

static int solver_setup(SUNLinearSolver solver, SUNMatrix matrix) {
    struct small_solver *s = solver->content;
    const int n = s->driving;
    double *a = s->block;
    copy_matrix(s, matrix);
    for (int k = 0; k < n; k++) {
        int *rows = s->row, count = rows_below(s, k, rows), best = k;
        for (int i = 0; i < count; i++) {
            best = fabs(a[rows[i] * n + k]) > fabs(a[best * n + k]) ? rows[i] : best;
        }
        s->pivot[k] = best;
        if (best != k) {
            exchange(s, k, best);
        }
        if (a[k * n + k] == 0.0) {
            return 1; // singular: CVODE tries a shorter step
        }
        eliminate(s, k, rows, count);
    }
    note_places(s);
    return 0;
}

static double row_product(const struct small_solver *s, int r, int first, int end,
                          const double *u) {
    const double *row = s->block + r * s->driving;
    double sum = u[r];
    for (int i = first; i < end; i++) {
        sum -= row[s->place[i]] * u[s->place[i]];
    }
    return sum;
}

static int solver_solve(SUNLinearSolver solver, SUNMatrix matrix, N_Vector x, N_Vector b,
                        sunrealtype tolerance) {
    (void)matrix;
    (void)tolerance;
    const struct small_solver *s = solver->content;
    const int n = s->driving;
    double *u = NV_DATA_S(x);
    memcpy(u, NV_DATA_S(b), (size_t)s->length * sizeof *u);
    for (int k = 0; k < n; k++) {
        double kept = u[s->pivot[k]];
        u[s->pivot[k]] = u[k];
        u[k] = kept;
    }
    for (int r = 1; r < n; r++) {
        u[r] = row_product(s, r, s->row[2 * r], s->row[2 * r + 1], u);
    }
    for (int r = n - 1; r >= 0; r--) {
        u[r] = row_product(s, r, s->row[2 * r + 1], s->row[2 * r + 2], u) * s->block[r * n + r];
    }
    for (int r = n; r < s->length; r++) {
        const double *row = s->rest + (r - n) * n;
        for (int c = 0; c < n; c++) {
            u[r] -= row[c] * u[c];
        }
    }
    return 0;
}

static int solver_free(SUNLinearSolver solver) {
    struct small_solver *s = solver->content;
    if (s) {
        free(s->pivot);
        free(s->block);
        free(s->rest);
        free(s->place);
        free(s->row);
        free(s->mask);
        free(s);
    }
    SUNLinSolFreeEmpty(solver);
    return 0;
}

SUNLinearSolver small_solver_new(int length, int driving, SUNContext context) {
    SUNLinearSolver solver = SUNLinSolNewEmpty(context);
    struct small_solver *s = calloc(1, sizeof *s);
    if (!solver || !s) {
        free(s);
        SUNLinSolFreeEmpty(solver);
        return NULL;
    }
    solver->content = s;
    solver->ops->gettype = solver_type;
    solver->ops->setup = solver_setup;
    solver->ops->solve = solver_solve;
    solver->ops->free = solver_free;
    size_t n = (size_t)driving;
    *s = (struct small_solver){.length = length, .driving = driving};
    s->pivot = calloc(n, sizeof *s->pivot);
    s->block = calloc(n * n, sizeof *s->block);
    s->rest = calloc(n * (size_t)(length - driving) + 1, sizeof *s->rest);
    s->place = calloc(n * n + 1, sizeof *s->place);
    s->row = calloc(2 * n + 1, sizeof *s->row);
    s->words = (driving + 63) / 64;
    s->mask = calloc(n * (size_t)s->words + 1, sizeof *s->mask);
    if (!s->pivot || !s->block || !s->rest || !s->place || !s->row || !s->mask) {
        solver_free(solver);
        return NULL;
    }
    return solver;
}
