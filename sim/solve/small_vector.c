// SPDX-License-Identifier: MIT
#include "solve/small_vector.h"

#include "solve/pair.h"

#include <nvector/nvector_serial.h>

#include <math.h>
#include <string.h>

enum { COMBINED_MAX = 13 }; // as many as Adams' method of order 12 keeps

// A loop over pairs, two at a time, that leaves up to three numbers.
#define BY_PAIRS(n, what)                                                                          \
    long i = 0;                                                                                    \
    for (const long end = (n)-3; i < end; i += 4) {                                                \
        what(i);                                                                                   \
        what(i + 2);                                                                               \
    }

// r = a p + q
static inline void add_scaled(long n, double a, const double *p, const double *q, double *r) {
#define ADD_SCALED(k) *pair_at(r, k) = a * pair_of(p, k) + pair_of(q, k)
    BY_PAIRS(n, ADD_SCALED)
    for (; i < n; i++) {
        r[i] = a * p[i] + q[i];
    }
}

static inline void add(long n, const double *p, const double *q, double *r) {
#define ADD(k) *pair_at(r, k) = pair_of(p, k) + pair_of(q, k)
    BY_PAIRS(n, ADD)
    for (; i < n; i++) {
        r[i] = p[i] + q[i];
    }
}

static void linear_sum(sunrealtype a, N_Vector x, sunrealtype b, N_Vector y, N_Vector z) {
    const long n = NV_LENGTH_S(x);
    const double *p = NV_DATA_S(x), *q = NV_DATA_S(y);
    double *r = NV_DATA_S(z);
    if (b == 1.0) {
        if (a == 1.0) {
            add(n, p, q, r);
        } else {
            add_scaled(n, a, p, q, r);
        }
        return;
    }
#define ADD_BOTH(k) *pair_at(r, k) = a * pair_of(p, k) + b * pair_of(q, k)
    BY_PAIRS(n, ADD_BOTH)
    for (; i < n; i++) {
        r[i] = a * p[i] + b * q[i];
    }
}

static int scale_add_multi(int count, sunrealtype *a, N_Vector x, N_Vector *y, N_Vector *z) {
    for (int k = 0; k < count; k++) {
        add_scaled(NV_LENGTH_S(x), a[k], NV_DATA_S(x), NV_DATA_S(y[k]), NV_DATA_S(z[k]));
    }
    return 0;
}

static void scale(sunrealtype c, N_Vector x, N_Vector z) {
    const long n = NV_LENGTH_S(x);
    const double *p = NV_DATA_S(x);
    double *r = NV_DATA_S(z);
    if (c == 1.0) {
        memmove(r, p, (size_t)n * sizeof *r);
        return;
    }
#define SCALE(k) *pair_at(r, k) = c * pair_of(p, k)
    BY_PAIRS(n, SCALE)
    for (; i < n; i++) {
        r[i] = c * p[i];
    }
}

static int linear_combination(int count, sunrealtype *c, N_Vector *x, N_Vector z) {
    const long n = NV_LENGTH_S(z);
    const double *p[COMBINED_MAX];
    if (count < 1 || count > COMBINED_MAX) {
        return -1;
    }
    for (int k = 0; k < count; k++) {
        p[k] = NV_DATA_S(x[k]);
    }
    double *r = NV_DATA_S(z);
    long i = 0;
    for (; i + 1 < n; i += 2) {
        pair sum = c[0] * pair_of(p[0], i);
        for (int k = 1; k < count; k++) {
            sum = c[k] * pair_of(p[k], i) + sum;
        }
        *pair_at(r, i) = sum;
    }
    if (i < n) {
        double sum = c[0] * p[0][i];
        for (int k = 1; k < count; k++) {
            sum = c[k] * p[k][i] + sum;
        }
        r[i] = sum;
    }
    return 0;
}

static int scale_vector_array(int count, sunrealtype *c, N_Vector *x, N_Vector *z) {
    for (int k = 0; k < count; k++) {
        scale(c[k], x[k], z[k]);
    }
    return 0;
}

static void constant(sunrealtype c, N_Vector z) {
    const long n = NV_LENGTH_S(z);
    double *r = NV_DATA_S(z);
    const pair both = {c, c};
#define FILL(k) *pair_at(r, k) = both
    BY_PAIRS(n, FILL)
    for (; i < n; i++) {
        r[i] = c;
    }
}

// Two sums side by side, in the same order on every machine.
static sunrealtype wrms_norm(N_Vector x, N_Vector w) {
    const long n = NV_LENGTH_S(x);
    const double *p = NV_DATA_S(x), *q = NV_DATA_S(w);
    pair sum = {0.0, 0.0};
    long i = 0;
    for (const long end = n - 1; i < end; i += 2) {
        const pair u = pair_of(p, i) * pair_of(q, i);
        sum += u * u;
    }
    if (i < n) {
        const double u = p[i] * q[i];
        sum[0] += u * u;
    }
    return sqrt((sum[0] + sum[1]) / (double)n);
}

N_Vector small_vector_new(int length, SUNContext context) {
    N_Vector v = N_VNew_Serial(length, context);
    if (v) {
        v->ops->nvlinearsum = linear_sum;
        v->ops->nvscale = scale;
        v->ops->nvconst = constant;
        v->ops->nvwrmsnorm = wrms_norm;
        v->ops->nvlinearcombination = linear_combination;
        v->ops->nvscaleaddmulti = scale_add_multi;
        v->ops->nvscalevectorarray = scale_vector_array;
    }
    return v;
}

void small_vector_weights(N_Vector state, double relative, N_Vector absolute, N_Vector weight) {
    const long n = NV_LENGTH_S(state);
    const double *y = NV_DATA_S(state), *least = NV_DATA_S(absolute);
    double *w = NV_DATA_S(weight);
    for (long i = 0; i < n; i++) {
        w[i] = 1.0 / (relative * fabs(y[i]) + least[i]);
    }
}
