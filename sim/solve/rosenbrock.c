// SPDX-License-Identifier: MIT
// With W = 1/(h gamma) - J a step from y0 is eight solves with one factored matrix:
//
//     W u_i = f(t + c_i h, y0 + sum a_ij u_j) + sum C_ij/h u_j + h d_i f_t,     j < i
//     y1 = y0 + sum a_8j u_j + u_8,     error: u_8
//
// States that drive nothing have no column in J: their rows are worked out from the others'.
#include "solve/rosenbrock.h"

#include "solve/lane.h"
#include "solve/rosenbrock_inside.h"
#include "solve/rosenbrock_table.h"

#include <float.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

// Of the step's length: care, and the most it may shrink or grow at once (common practice).
#define CARE 0.85
#define SHRINK 0.2
#define GROW 6.0
// What follows another state closely settles within a step (a sense line with next to no flow: its
// law is a root there, and the slope at a drop says twice the way to none). A step too long for
// that root can end where it began, on the other side or the same, for ever, with an error just
// below what is allowed. It is seen by the state with the largest error: its rate says much more
// than it moves. So many such steps in a row, and one is cut to a share, in which it settles.
#define BOUNCED 3
#define BOUNCED_MOVES 0.1  // of rate times step, at most
#define BOUNCED_ERROR 0.05 // of what is allowed, at least: below it the step grows anyway
#define BOUNCED_CUT 0.03

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
        rosenbrock_solve(m, h * gamma_, u);
    }
    const double one = 1.0;
    combine(m->to, m->argument, &one, m->u + (STAGES - 1) * width, 1, width);
    return true;
}

// Root mean square of the error over what is allowed; not a number where the state is none. Notes
// the state with the largest.
static double error_of(struct rosenbrock *m) {
    const struct rosenbrock_problem *p = &m->problem;
    const double *last = m->u + (STAGES - 1) * m->width;
    double sum = 0.0, largest = 0.0;
    m->worst = 0;
    for (int i = 0; i < p->count; i++) {
        const double size = fmax(fabs(m->from[i]), fabs(m->to[i]));
        const double miss = last[i] / (p->relative * size + p->absolute[i]);
        const double square = miss * miss;
        sum += square;
        m->worst = square > largest ? i : m->worst;
        largest = square > largest ? square : largest;
    }
    return sqrt(sum / p->count);
}

// Whether the step's worst state ends where it began, though its rate is large.
static bool bounces(const struct rosenbrock *m, double h, double error) {
    const int i = m->worst;
    return error > BOUNCED_ERROR &&
           fabs(m->to[i] - m->from[i]) < BOUNCED_MOVES * h * fabs(m->rate0[i]);
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
        rosenbrock_turn_totals(m);
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
        if (!rosenbrock_factorise(m, 1.0 / (h * gamma_)) || !take_stages(m, h, timed)) {
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
            m->bounced = bounces(m, h, error) ? m->bounced + 1 : 0;
            if (m->bounced == BOUNCED) {
                m->bounced = 0;
                m->step = BOUNCED_CUT * h;
            }
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
