// SPDX-License-Identifier: MIT
#include "solve/small_algebra.h"

#include <nvector/nvector_serial.h>
#include <sunmatrix/sunmatrix_dense.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

static void linear_sum(sunrealtype a, N_Vector x, sunrealtype b, N_Vector y, N_Vector z) {
    const long n = NV_LENGTH_S(x);
    const double *p = NV_DATA_S(x), *q = NV_DATA_S(y);
    double *r = NV_DATA_S(z);
    if (a == 1.0 && b == 1.0) {
        for (long i = 0; i < n; i++) {
            r[i] = p[i] + q[i];
        }
        return;
    }
    for (long i = 0; i < n; i++) {
        r[i] = a * p[i] + b * q[i];
    }
}

static void scale(sunrealtype c, N_Vector x, N_Vector z) {
    const long n = NV_LENGTH_S(x);
    const double *p = NV_DATA_S(x);
    double *r = NV_DATA_S(z);
    for (long i = 0; i < n; i++) {
        r[i] = c * p[i];
    }
}

// Two sums side by side, in the same order on every machine.
static sunrealtype wrms_norm(N_Vector x, N_Vector w) {
    const long n = NV_LENGTH_S(x);
    const double *p = NV_DATA_S(x), *q = NV_DATA_S(w);
    double even = 0.0, odd = 0.0;
    long i = 0;
    for (; i + 1 < n; i += 2) {
        double u = p[i] * q[i], v = p[i + 1] * q[i + 1];
        even += u * u;
        odd += v * v;
    }
    if (i < n) {
        double u = p[i] * q[i];
        even += u * u;
    }
    return sqrt((even + odd) / (double)n);
}

N_Vector small_vector_new(int length, SUNContext context) {
    N_Vector v = N_VNew_Serial(length, context);
    if (v) {
        v->ops->nvlinearsum = linear_sum;
        v->ops->nvscale = scale;
        v->ops->nvwrmsnorm = wrms_norm;
    }
    return v;
}

struct small_solver {
    int length, driving;
    int *pivot;    // [driving]
    double *block; // row-major factors of the leading block [driving][driving]
    double *rest;  // row-major lower-left part [length - driving][driving]
};

static SUNLinearSolver_Type solver_type(SUNLinearSolver solver) {
    (void)solver;
    return SUNLINEARSOLVER_DIRECT;
}

static void copy_matrix(struct small_solver *s, SUNMatrix matrix) {
    const int n = s->driving;
    for (int c = 0; c < n; c++) {
        const double *column = SUNDenseMatrix_Column(matrix, c);
        for (int r = 0; r < n; r++) {
            s->block[r * n + c] = column[r];
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

static int solver_setup(SUNLinearSolver solver, SUNMatrix matrix) {
    struct small_solver *s = solver->content;
    const int n = s->driving;
    double *a = s->block;
    copy_matrix(s, matrix);
    for (int k = 0; k < n; k++) {
        int best = k;
        for (int r = k + 1; r < n; r++) {
            best = fabs(a[r * n + k]) > fabs(a[best * n + k]) ? r : best;
        }
        s->pivot[k] = best;
        if (best != k) {
            swap_rows(a + k * n, a + best * n, n);
        }
        if (a[k * n + k] == 0.0) {
            return 1; // singular: CVODE tries a shorter step
        }
        double inverse = 1.0 / a[k * n + k];
        for (int r = k + 1; r < n; r++) {
            double factor = a[r * n + k] * inverse;
            a[r * n + k] = factor;
            if (factor == 0.0) {
                continue; // most couplings are absent
            }
            for (int c = k + 1; c < n; c++) {
                a[r * n + c] -= factor * a[k * n + c];
            }
        }
        a[k * n + k] = inverse; // kept inverted: a solve then has no division
    }
    return 0;
}

static int solver_solve(SUNLinearSolver solver, SUNMatrix matrix, N_Vector x, N_Vector b,
                        sunrealtype tolerance) {
    (void)matrix;
    (void)tolerance;
    const struct small_solver *s = solver->content;
    const int n = s->driving;
    const double *a = s->block;
    double *u = NV_DATA_S(x);
    memcpy(u, NV_DATA_S(b), (size_t)s->length * sizeof *u);
    for (int k = 0; k < n; k++) {
        double kept = u[s->pivot[k]];
        u[s->pivot[k]] = u[k];
        u[k] = kept;
    }
    for (int r = 1; r < n; r++) {
        double sum = u[r];
        for (int c = 0; c < r; c++) {
            sum -= a[r * n + c] * u[c];
        }
        u[r] = sum;
    }
    for (int r = n - 1; r >= 0; r--) {
        double sum = u[r];
        for (int c = r + 1; c < n; c++) {
            sum -= a[r * n + c] * u[c];
        }
        u[r] = sum * a[r * n + r];
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
    if (!s->pivot || !s->block || !s->rest) {
        solver_free(solver);
        return NULL;
    }
    return solver;
}
