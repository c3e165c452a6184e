// SPDX-License-Identifier: MIT
// The linear systems of a step: W factored once, and a solve a stage.
#include "solve/lane.h"
#include "solve/rosenbrock_inside.h"

#include <math.h>

static void swap(double *p, double *q) {
    const double kept = *p;
    *p = *q;
    *q = kept;
}

// The work below is written once for any order and compiled for the usual ones, whose loops then
// have a known end.
#define FOR_ITS_ORDER(order, call)                                                                 \
    switch (order) {                                                                               \
    case 8:                                                                                        \
        call(8);                                                                                   \
        break;                                                                                     \
    case 10:                                                                                       \
        call(10);                                                                                  \
        break;                                                                                     \
    case 12:                                                                                       \
        call(12);                                                                                  \
        break;                                                                                     \
    case 14:                                                                                       \
        call(14);                                                                                  \
        break;                                                                                     \
    case 16:                                                                                       \
        call(16);                                                                                  \
        break;                                                                                     \
    default:                                                                                       \
        call(order);                                                                               \
    }

// LU factors of W with row pivoting, column by column, so that no sum has to wait for the one
// before; false when singular.
static inline __attribute__((always_inline)) bool factorise_as(struct rosenbrock *m, int n) {
    for (int k = 0; k < n; k++) {
        double *own = m->whole + k * n, *lower = m->lower + k * n, *upper = m->upper + k * n;
        int best = k;
        for (int r = k + 1; r < n; r++) {
            best = fabs(own[r]) > fabs(own[best]) ? r : best;
        }
        if (!(fabs(own[best]) > 0.0)) {
            return false;
        }
        for (int i = 0; best != k && i < n; i++) {
            double *column = (i < k ? m->lower : m->whole) + i * n;
            swap(&column[k], &column[best]);
        }
        const int row = m->pivot[k];
        m->pivot[k] = m->pivot[best];
        m->pivot[best] = row;
        const double inverse = 1.0 / own[k];
        m->inverse[k] = inverse;
        for (int r = 0; r < n; r++) {
            lower[r] = r > k ? own[r] * inverse : 0.0;
            upper[r] = r < k ? own[r] : 0.0;
        }
        for (int i = k + 1; i < n; i++) {
            double *other = m->whole + i * n;
            if (other[k] != 0.0) { // most couplings are absent
                take_twos_away(other, other[k], lower, k + 1, n);
            }
        }
    }
    return true;
}

bool rosenbrock_factorise(struct rosenbrock *m, double inverse) {
    const int n = m->problem.driving, order = m->order;
    if (m->bordered) {
        return bordered_factor(m->bordered, inverse, -1.0);
    }
    for (int r = 0; r < n; r++) { // what it is filled up with stays as it was made
        for (int k = 0; k < n; k++) {
            m->whole[k * order + r] = -m->row[r * n + k];
        }
        m->whole[r * order + r] += inverse;
    }
    for (int r = 0; r < order; r++) {
        m->pivot[r] = r;
    }
    bool regular;
#define FACTORISE(size) regular = factorise_as(m, size)
    FOR_ITS_ORDER(order, FACTORISE)
    return regular;
}

void rosenbrock_turn_totals(struct rosenbrock *m) {
    const int n = m->problem.driving, first = n / 2 * 2, width = m->width;
    for (int k = 0; k < n; k++) {
        for (int r = n; r < m->problem.count; r++) {
            m->total[k * width + r - first] = m->row[r * n + k];
        }
    }
}

// u becomes the solution of W u = u; rows of totals by what the others are.
static inline __attribute__((always_inline)) void solve_as(const struct rosenbrock *m, double scale,
                                                           double *restrict u, int n) {
    const int driving = m->problem.driving, first = driving / 2 * 2;
    const int more = (m->problem.count + 1) / 2 * 2 - first, width = m->width;
    double v[REACH], x[REACH];
    if (n < 1 || n > REACH || driving < 1 || driving > n) {
        __builtin_unreachable(); // refused by rosenbrock_new
    }
    for (int k = 0; k < n; k++) {
        v[k] = k < driving ? u[m->pivot[k]] : 0.0;
    }
#pragma GCC unroll 16
    for (int k = 0; k + 1 < n; k++) {
        take_twos_away(v, v[k], m->lower + k * n, k + 1, n);
    }
#pragma GCC unroll 16
    for (int k = n - 1; k >= 0; k--) {
        x[k] = v[k] * m->inverse[k]; // not into v, which is read in twos next
        take_twos_away(v, x[k], m->upper + k * n, 0, (k + 1) / 2 * 2);
    }
    for (int k = 0; k < driving; k++) {
        take_twos_away(u + first, -x[k], m->total + k * width, 0, more);
    }
    for (int r = driving; r < m->problem.count; r++) {
        u[r] *= scale;
    }
    for (int k = 0; k < driving; k++) {
        u[k] = x[k];
    }
}

void rosenbrock_solve(const struct rosenbrock *m, double scale, double *u) {
    if (m->bordered) {
        bordered_solve(m->bordered, scale, u);
        return;
    }
#define SOLVE(size) solve_as(m, scale, u, size)
    FOR_ITS_ORDER(m->order, SOLVE)
}
