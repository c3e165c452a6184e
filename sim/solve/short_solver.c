// SPDX-License-Identifier: MIT
#include "solve/short_solver.h"

#include "solve/pair.h"

#include <nvector/nvector_serial.h>

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

struct short_solver {
    int length, driving;
    int stride, rest_stride; // both even
    double *block;           // leading block by rows [driving][stride]
    double *rest;            // lower-left part by columns [driving][rest_stride]
    double *kept;            // what is not zero in the factors, row by row...
    int *place;              // ...and its columns
    int *row;                // [2 driving + 1] where a row begins, left and right of its pivot
    int *pivot;              // [driving]
};

void short_solver_fill(SUNLinearSolver solver, double gamma, const double *column, int apart) {
    struct short_solver *s = solver->content;
    const int n = s->driving;
    for (int c = 0; c < n; c++, column += apart) {
        for (int r = 0; r < n; r++) {
            s->block[r * s->stride + c] = -gamma * column[r];
        }
        s->block[c * s->stride + c] += 1.0;
        for (int r = n; r < s->length; r++) {
            s->rest[c * s->rest_stride + r - n] = -gamma * column[r];
        }
    }
}

static void swap_rows(double *a, double *b, int n) {
    for (int i = 0; i < n; i += 2) {
        const pair kept = pair_of(a, i);
        *pair_at(a, i) = pair_of(b, i);
        *pair_at(b, i) = kept;
    }
}

// row -= factor x top right of column k, where the factor is kept.
static void take_away(double *row, double factor, const double *top, int k, int n) {
    for (int i = (k + 1) / 2 * 2; i < n; i += 2) {
        *pair_at(row, i) = pair_of(row, i) - factor * pair_of(top, i);
    }
    row[k] = factor;
}

// False when singular.
static bool eliminate(struct short_solver *s, int k) {
    const int n = s->driving, stride = s->stride;
    double *a = s->block, *top = a + k * stride;
    int best = k;
    double largest = fabs(top[k]);
    for (int r = k + 1; r < n; r++) {
        const double size = fabs(a[r * stride + k]);
        best = size > largest ? r : best;
        largest = size > largest ? size : largest;
    }
    s->pivot[k] = best;
    if (best != k) {
        swap_rows(top, a + best * stride, stride);
    }
    if (top[k] == 0.0) {
        return false;
    }
    const double inverse = 1.0 / top[k];
    for (int r = k + 1; r < n; r++) {
        double *row = a + r * stride;
        if (row[k] != 0.0) {
            take_away(row, row[k] * inverse, top, k, stride);
        }
    }
    top[k] = inverse; // kept turned over: a solve then has no division
    return true;
}

static int keep_row(struct short_solver *s, const double *row, int from, int end, int count) {
    for (int c = from; c < end; c++) {
        s->kept[count] = row[c];
        s->place[count] = c;
        count += row[c] != 0.0;
    }
    return count;
}

static void keep_factors(struct short_solver *s) {
    const int n = s->driving;
    int count = 0;
    for (int r = 0; r < n; r++) {
        const double *row = s->block + r * s->stride;
        s->row[2 * r] = count;
        count = keep_row(s, row, 0, r, count);
        s->row[2 * r + 1] = count;
        count = keep_row(s, row, r + 1, n, count);
    }
    s->row[2 * n] = count;
}

static int solver_setup(SUNLinearSolver solver, SUNMatrix matrix) {
    (void)matrix;
    struct short_solver *s = solver->content;
    for (int k = 0; k < s->driving; k++) {
        if (!eliminate(s, k)) {
            return 1; // CVODE tries a shorter step
        }
    }
    keep_factors(s);
    return 0;
}

static double row_left(const struct short_solver *s, double sum, int first, int end,
                       const double *u) {
    const double *kept = s->kept + first, *last = s->kept + end;
    const int *place = s->place + first;
    for (; kept < last; kept++, place++) {
        sum -= *kept * u[*place];
    }
    return sum;
}

static int solver_solve(SUNLinearSolver solver, SUNMatrix matrix, N_Vector x, N_Vector b,
                        sunrealtype tolerance) {
    (void)matrix;
    (void)tolerance;
    const struct short_solver *s = solver->content;
    const int n = s->driving, *row = s->row;
    double *u = NV_DATA_S(x);
    memcpy(u, NV_DATA_S(b), (size_t)s->length * sizeof *u);
    for (int k = 0; k < n; k++) {
        const double kept = u[s->pivot[k]];
        u[s->pivot[k]] = u[k];
        u[k] = kept;
    }
    for (int r = 1; r < n; r++) {
        u[r] = row_left(s, u[r], row[2 * r], row[2 * r + 1], u);
    }
    for (int r = n - 1; r >= 0; r--) {
        u[r] = row_left(s, u[r], row[2 * r + 1], row[2 * r + 2], u) * s->block[r * s->stride + r];
    }
    for (int r = n; r + 1 < s->length; r += 2) {
        const double *rest = s->rest + r - n;
        pair left = pair_of(u, r);
        for (int c = 0; c < n; c++, rest += s->rest_stride) {
            left -= pair_of(rest, 0) * u[c];
        }
        *pair_at(u, r) = left;
    }
    if ((s->length - n) % 2 != 0) {
        const int last = s->length - 1;
        for (int c = 0; c < n; c++) {
            u[last] -= s->rest[c * s->rest_stride + last - n] * u[c];
        }
    }
    return 0;
}

static SUNLinearSolver_Type solver_type(SUNLinearSolver solver) {
    (void)solver;
    return SUNLINEARSOLVER_DIRECT;
}

static int solver_free(SUNLinearSolver solver) {
    struct short_solver *s = solver->content;
    if (s) {
        free(s->block);
        free(s->rest);
        free(s->kept);
        free(s->place);
        free(s->row);
        free(s->pivot);
        free(s);
    }
    SUNLinSolFreeEmpty(solver);
    return 0;
}

SUNLinearSolver short_solver_new(int length, int driving, SUNContext context) {
    SUNLinearSolver solver = SUNLinSolNewEmpty(context);
    struct short_solver *s = calloc(1, sizeof *s);
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
    s->length = length;
    s->driving = driving;
    s->stride = (driving + 1) / 2 * 2;
    s->rest_stride = (length - driving + 1) / 2 * 2;
    const size_t n = (size_t)driving;
    s->block = calloc(n * (size_t)s->stride + 1, sizeof *s->block);
    s->rest = calloc(n * (size_t)s->rest_stride + 1, sizeof *s->rest);
    s->kept = calloc(n * n + 1, sizeof *s->kept);
    s->place = calloc(n * n + 1, sizeof *s->place);
    s->row = calloc(2 * n + 1, sizeof *s->row);
    s->pivot = calloc(n + 1, sizeof *s->pivot);
    if (!s->block || !s->rest || !s->kept || !s->place || !s->row || !s->pivot) {
        solver_free(solver);
        return NULL;
    }
    return solver;
}
