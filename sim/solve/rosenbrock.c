// SPDX-License-Identifier: MIT
// With W = 1/(h gamma) - J a step from y0 is eight solves with one factored matrix:
//
//     W u_i = f(t + c_i h, y0 + sum a_ij u_j) + sum C_ij/h u_j + h d_i f_t,     j < i
//     y1 = y0 + sum a_8j u_j + u_8,     error: u_8
//
// States that drive nothing have no column in J: their rows are worked out from the others'.
#include "solve/rosenbrock.h"

#include "solve/lane.h"
#include "solve/rosenbrock_table.h"

#include <float.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { REACH = 256 }; // largest order

// Of the step's length: care, and the most it may shrink or grow at once (common practice).
#define CARE 0.85
#define SHRINK 0.2
#define GROW 6.0

struct rosenbrock {
    struct rosenbrock_problem problem;
    struct rosenbrock_counts counts;
    int width, order;          // of a vector, of the matrix
    double step;               // to try next [s]
    double begun, taken;       // of the last step [s]
    int *pivot;                // [driving]
    struct bordered *bordered; // factors where the problem has a shape; else those below
    double *row;               // slopes [count][driving]
    double *total; // those of the totals, by column [order][width - driving rounded down]
    double *whole; // W, and what is left of it, by column [order][order]
    double *lower; // its factors, by column; the diagonals are one ...
    double *upper; // ... and in `inverse`, turned over
    double *inverse;
    double *from, *to; // ends of the last step
    double *rate0, *rate, *argument, *time_slope;
    double *u;    // [STAGES][width]
    double *bend; // continuous solution [DENSE][width]
    double store[];
};

struct rosenbrock *rosenbrock_new(const struct rosenbrock_problem *problem, double step) {
    const size_t count = (size_t)problem->count, n = (size_t)problem->driving;
    const size_t width = (count + LANE - 1) / LANE * LANE;
    const size_t order = (n + 1) / 2 * 2;
    const size_t doubles = count * n + (4 * order + 8 + STAGES + DENSE) * width;
    struct rosenbrock *m =
        n > 0 && order <= REACH ? calloc(1, sizeof *m + doubles * sizeof(double)) : NULL;
    if (!m) {
        return NULL;
    }
    m->pivot = calloc(order + 1, sizeof *m->pivot);
    if (!m->pivot) {
        free(m);
        return NULL;
    }
    m->problem = *problem;
    m->step = step;
    m->width = (int)width;
    m->order = (int)order;
    const struct {
        double **at;
        size_t vectors;
    } part[] = {{&m->whole, order}, {&m->lower, order}, {&m->upper, order}, {&m->total, order},
                {&m->u, STAGES},    {&m->bend, DENSE},  {&m->from, 1},      {&m->to, 1},
                {&m->rate0, 1},     {&m->rate, 1},      {&m->argument, 1},  {&m->time_slope, 1},
                {&m->inverse, 1}};
    double *next = m->store;
    for (size_t i = 0; i < sizeof part / sizeof part[0]; i++) {
        *part[i].at = next;
        next += part[i].vectors * width;
    }
    m->row = next;
    for (size_t k = n; k < order; k++) {
        m->whole[k * order + k] = 1.0;
    }
    return m;
}

bool rosenbrock_shape(struct rosenbrock *m, const struct bordered_shape *shape) {
    m->bordered = bordered_new(shape);
    return m->bordered != NULL;
}

void rosenbrock_free(struct rosenbrock *m) {
    if (m) {
        bordered_free(m->bordered);
        free(m->pivot);
        free(m);
    }
}

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
        return call(8);                                                                            \
    case 10:                                                                                       \
        return call(10);                                                                           \
    case 12:                                                                                       \
        return call(12);                                                                           \
    case 14:                                                                                       \
        return call(14);                                                                           \
    case 16:                                                                                       \
        return call(16);                                                                           \
    default:                                                                                       \
        return call(order);                                                                        \
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

static bool factorise(struct rosenbrock *m, double inverse) {
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
#define FACTORISE(size) factorise_as(m, size)
    FOR_ITS_ORDER(order, FACTORISE)
}

// The totals' rows of the slopes by column, in lanes of their own behind those of the driving ones.
static void turn_totals(struct rosenbrock *m) {
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
    if (n < 1 || n > REACH) {
        __builtin_unreachable(); // refused by rosenbrock_new
    }
    for (int k = 0; k < driving; k++) {
        v[k] = u[m->pivot[k]];
    }
    for (int k = driving; k < n; k++) {
        v[k] = 0.0;
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

static void solve(const struct rosenbrock *m, double scale, double *u) {
    if (m->bordered) {
        bordered_solve(m->bordered, scale, u);
        return;
    }
    switch (m->order) {
    case 8:
        solve_as(m, scale, u, 8);
        break;
    case 10:
        solve_as(m, scale, u, 10);
        break;
    case 12:
        solve_as(m, scale, u, 12);
        break;
    case 14:
        solve_as(m, scale, u, 14);
        break;
    case 16:
        solve_as(m, scale, u, 16);
        break;
    default:
        solve_as(m, scale, u, m->order);
    }
}

// All stages with a step h; `to` becomes y1 and the last u the error. False where the state is
// none.
static bool take_stages(struct rosenbrock *m, double h, bool timed) {
    const struct rosenbrock_problem *p = &m->problem;
    const int width = m->width;
    for (int s = 0; s < STAGES; s++) {
        double *u = m->u + s * width;
        const double *rate = m->rate0;
        if (s > LAST_OWN) { // these go on from the stage before
            take_away(m->argument, -1.0, m->u + (s - 1) * width, 0, width);
        } else {
            combine(m->argument, m->from, reach[s], m->u, s, width);
        }
        if (s > 0) {
            rate = m->rate;
            m->counts.rate_calls++;
            if (p->rates(p->context, m->begun + place[s] * h, m->argument, m->rate) != 0) {
                return false;
            }
        }
        double coupling[STAGES];
        for (int j = 0; j < s; j++) {
            coupling[j] = couple[s][j] / h;
        }
        combine(u, rate, coupling, m->u, s, width);
        if (timed) {
            take_away(u, -h * weight[s], m->time_slope, 0, width);
        }
        solve(m, h * gamma_, u);
    }
    const double one = 1.0;
    combine(m->to, m->argument, &one, m->u + (STAGES - 1) * width, 1, width);
    return true;
}

// Root mean square of the error over what is allowed; not a number where the state is none.
static double error_of(const struct rosenbrock *m) {
    const struct rosenbrock_problem *p = &m->problem;
    const double *last = m->u + (STAGES - 1) * m->width;
    double sum = 0.0;
    for (int i = 0; i < p->count; i++) {
        const double size = fmax(fabs(m->from[i]), fabs(m->to[i]));
        const double miss = last[i] / (p->relative * size + p->absolute[i]);
        sum += miss * miss;
    }
    return sqrt(sum / p->count);
}

// Rates and slopes where the step begins; false where the state is none.
static bool look(struct rosenbrock *m, bool *timed) {
    const struct rosenbrock_problem *p = &m->problem;
    bool zero = true;
    m->counts.rate_calls++;
    m->counts.slope_calls++;
    if (p->rates(p->context, m->begun, m->from, m->rate0) != 0 ||
        p->slopes(p->context, m->begun, m->from, m->row) != 0) {
        return false;
    }
    if (p->time_slopes &&
        p->time_slopes(p->context, m->begun, m->from, m->time_slope, &zero) != 0) {
        return false;
    }
    *timed = !zero;
    if (m->bordered) {
        bordered_load(m->bordered, m->row);
    } else {
        turn_totals(m);
    }
    return true;
}

static const double nothing[REACH];

static void keep_bend(struct rosenbrock *m) {
    for (int k = 0; k < DENSE; k++) {
        combine(m->bend + k * m->width, nothing, dense[k], m->u, STAGES, m->width);
    }
}

bool rosenbrock_step(struct rosenbrock *m, double *time, double *state, double stop) {
    const struct rosenbrock_problem *p = &m->problem;
    const size_t size = (size_t)p->count * sizeof *state;
    bool timed, rejected = false;
    m->begun = *time;
    memcpy(m->from, state, size);
    if (!look(m, &timed)) {
        return false;
    }
    for (;;) {
        const double rest = stop - *time;
        double h = p->largest > 0.0 ? fmin(m->step, p->largest) : m->step;
        const bool last = h >= rest * (1.0 - 1e-6);
        h = last ? rest : h > 0.5 * rest ? 0.5 * rest : h; // no crumb is left at the end
        double error = (double)NAN;
        if (!factorise(m, 1.0 / (h * gamma_)) || !take_stages(m, h, timed)) {
            m->counts.impossible++;
        } else {
            error = error_of(m);
        }
        const double change = CARE * pow(error, -0.2);
        if (error <= 1.0) {
            const double most = rejected ? 1.0 : GROW;
            const double next = h * fmin(most, error > 0.0 ? fmax(change, SHRINK) : most);
            // A step cut short by the stop says little of the next.
            m->step = h < m->step ? fmax(m->step, next) : next;
            m->taken = h;
            m->counts.steps++;
            *time = last ? stop : *time + h;
            memcpy(state, m->to, size);
            keep_bend(m);
            return true;
        }
        rejected = true;
        m->counts.rejected++;
        m->step = h * (isfinite(error) ? fmax(change, SHRINK) : SHRINK);
        if (m->step < p->smallest || m->begun + m->step == m->begun) {
            return false;
        }
    }
}

// With s the share: (1 - s) y0 + s (y1 + (1 - s) (b1 + s (b2 + s b3))).
double rosenbrock_between_one(const struct rosenbrock *m, double share, int i) {
    const double rest = 1.0 - share;
    const double *b1 = m->bend, *b2 = b1 + m->width, *b3 = b2 + m->width;
    const double bend = b1[i] + share * (b2[i] + share * b3[i]);
    return rest * m->from[i] + share * (m->to[i] + rest * bend);
}

void rosenbrock_between(const struct rosenbrock *m, double share, double *state) {
    for (int i = 0; i < m->problem.count; i++) {
        state[i] = rosenbrock_between_one(m, share, i);
    }
}

double rosenbrock_begun(const struct rosenbrock *m) {
    return m->begun;
}

double rosenbrock_taken(const struct rosenbrock *m) {
    return m->taken;
}

struct rosenbrock_counts rosenbrock_counts(const struct rosenbrock *m) {
    return m->counts;
}
