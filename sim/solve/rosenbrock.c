// SPDX-License-Identifier: MIT
// With W = 1/(h gamma) - J a step from y0 is eight solves with one factored matrix:
//
//     W u_i = f(t + c_i h, y0 + sum a_ij u_j) + sum C_ij/h u_j + h d_i f_t,     j < i
//     y1 = y0 + sum a_8j u_j + u_8,     error: u_8
//
// States that drive nothing have no column in J: their rows are worked out from the others'.
#include "solve/rosenbrock.h"

#include <float.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { STAGES = 8, DENSE = 3 };

static const double gamma_ = 0.21193756319429014;
static const double a[STAGES][STAGES] = {
    {0.0},
    {3.0},
    {2.849394379747939, 0.45842242204463923},
    {-6.954028509809101, 2.489845061869568, -10.358996098473584},
    {2.8029986275628964, 0.5072464736228206, -0.3988312541770524, -0.04721187230404641},
    {-7.502846399306121, 2.561846144803919, -11.627539656261098, -0.18268767659942256,
     0.030198172008377946},
    {-7.502846399306121, 2.561846144803919, -11.627539656261098, -0.18268767659942256,
     0.030198172008377946, 1.0},
    {-7.502846399306121, 2.561846144803919, -11.627539656261098, -0.18268767659942256,
     0.030198172008377946, 1.0, 1.0},
};
static const double c[STAGES][STAGES] = {
    {0.0},
    {-14.155112264123755},
    {-17.97296035885952, -2.859693295451294},
    {147.12150275711716, -1.41221402718213, 71.68940251302358},
    {165.43517024871676, -0.4592823456491126, 42.90938336958603, -5.961986721573306},
    {24.854864614690072, -3.0009227002832186, 47.4931110020768, 5.5814197821558125,
     -0.6610691825249471},
    {30.91273214028599, -3.1208243349937974, 77.79954646070892, 34.28646028294783,
     -19.097331116725623, -28.087943162872662},
    {37.80277123390563, -3.2571969029072276, 112.26918849496327, 66.9347231244047,
     -40.06618937091002, -54.66780262877968, -9.48861652309627},
};
static const double place[STAGES] = {
    0.0, 0.6358126895828704, 0.4095798393397535, 0.9769306725060716, 0.4288403609558664, 1.0, 1.0,
    1.0};
static const double weight[STAGES] = {0.21193756319429014, -0.42387512638858027,
                                      -0.3384627126235924, 1.8046452872882734, 2.325825639765069};
static const double dense[DENSE][STAGES] = {
    {25.948786856663858, -2.5579724845846235, 10.433815404888879, -2.3679251022685204,
     0.524948541321073, 1.1241088310450404, 0.4272876194431874, -0.17202221070155493},
    {-9.91568850695171, -0.9689944594115154, 3.0438037242978453, -24.495224566215796,
     20.176138334709044, 15.98066361424651, -6.789040303419874, -6.710236069923372},
    {11.419903575922262, 2.8879645146136994, 72.92137995996029, 80.12511834622643,
     -52.072871366152654, -59.78993625266729, -0.15582684282751913, 4.883087185713722},
};

// Of the step's length: care, and the most it may shrink or grow at once (common practice).
#define CARE 0.9
#define SHRINK 0.2
#define GROW 6.0

struct rosenbrock {
    struct rosenbrock_problem problem;
    struct rosenbrock_counts counts;
    double step;         // to try next [s]
    double begun, taken; // of the last step [s]
    int *pivot;          // [driving]
    double *row;         // slopes [count][driving]
    double *factor;      // [driving][driving], row-major
    double *from, *to;   // ends of the last step
    double *rate0, *rate, *argument, *time_slope;
    double *u[STAGES];
    double *bend[DENSE]; // continuous solution
    double store[];
};

struct rosenbrock *rosenbrock_new(const struct rosenbrock_problem *problem, double step) {
    const size_t count = (size_t)problem->count, n = (size_t)problem->driving;
    const size_t vectors = 6 + STAGES + DENSE, doubles = (count + n) * n + vectors * count;
    struct rosenbrock *m = calloc(1, sizeof *m + doubles * sizeof(double));
    if (!m) {
        return NULL;
    }
    m->pivot = calloc(n + 1, sizeof *m->pivot);
    if (!m->pivot) {
        free(m);
        return NULL;
    }
    m->problem = *problem;
    m->step = step;
    double *next = m->store;
    m->row = next;
    m->factor = next += count * n;
    next += n * n;
    double **one[] = {&m->from, &m->to, &m->rate0, &m->rate, &m->argument, &m->time_slope};
    for (int i = 0; i < 6; i++, next += count) {
        *one[i] = next;
    }
    for (int i = 0; i < STAGES; i++, next += count) {
        m->u[i] = next;
    }
    for (int i = 0; i < DENSE; i++, next += count) {
        m->bend[i] = next;
    }
    return m;
}

void rosenbrock_free(struct rosenbrock *m) {
    if (m) {
        free(m->pivot);
        free(m);
    }
}

static void swap_rows(double *p, double *q, int n) {
    for (int i = 0; i < n; i++) {
        double kept = p[i];
        p[i] = q[i];
        q[i] = kept;
    }
}

// LU factors of W with row pivoting; false when singular.
static bool factorise(struct rosenbrock *m, double inverse) {
    const int n = m->problem.driving;
    double *f = m->factor;
    for (int i = 0; i < n * n; i++) {
        f[i] = -m->row[i];
    }
    for (int k = 0; k < n; k++) {
        f[k * n + k] += inverse;
    }
    for (int k = 0; k < n; k++) {
        int best = k;
        for (int r = k + 1; r < n; r++) {
            best = fabs(f[r * n + k]) > fabs(f[best * n + k]) ? r : best;
        }
        m->pivot[k] = best;
        if (best != k) {
            swap_rows(f + k * n, f + best * n, n);
        }
        if (!(fabs(f[k * n + k]) > 0.0)) {
            return false;
        }
        const double pivot = 1.0 / f[k * n + k];
        for (int r = k + 1; r < n; r++) {
            const double share = f[r * n + k] * pivot;
            f[r * n + k] = share;
            if (share == 0.0) {
                continue; // most couplings are absent
            }
            for (int i = k + 1; i < n; i++) {
                f[r * n + i] -= share * f[k * n + i];
            }
        }
        f[k * n + k] = pivot; // kept inverted: a solve then has no division
    }
    return true;
}

// u becomes the solution of W u = u; rows of totals by what the others are.
static void solve(const struct rosenbrock *m, double scale, double *u) {
    const int n = m->problem.driving;
    const double *f = m->factor;
    for (int k = 0; k < n; k++) {
        const double kept = u[m->pivot[k]];
        u[m->pivot[k]] = u[k];
        u[k] = kept;
    }
    for (int r = 1; r < n; r++) {
        double sum = u[r];
        for (int i = 0; i < r; i++) {
            sum -= f[r * n + i] * u[i];
        }
        u[r] = sum;
    }
    for (int r = n; r-- > 0;) {
        double sum = u[r];
        for (int i = r + 1; i < n; i++) {
            sum -= f[r * n + i] * u[i];
        }
        u[r] = sum * f[r * n + r];
    }
    for (int r = n; r < m->problem.count; r++) {
        double sum = u[r];
        for (int i = 0; i < n; i++) {
            sum += m->row[r * n + i] * u[i];
        }
        u[r] = sum * scale;
    }
}

static void add(double *to, double factor, const double *of, int n) {
    if (factor != 0.0) {
        for (int i = 0; i < n; i++) {
            to[i] += factor * of[i];
        }
    }
}

// All stages with a step h; `to` becomes y1 and the last u the error. False where the state is
// none.
static bool take_stages(struct rosenbrock *m, double h, bool timed) {
    const struct rosenbrock_problem *p = &m->problem;
    const int count = p->count;
    const double inverse = 1.0 / h;
    for (int s = 0; s < STAGES; s++) {
        const double *rate = m->rate0;
        memcpy(m->argument, m->from, (size_t)count * sizeof *m->argument);
        for (int j = 0; j < s; j++) {
            add(m->argument, a[s][j], m->u[j], count);
        }
        if (s > 0) {
            rate = m->rate;
            m->counts.rate_calls++;
            if (p->rates(p->context, m->begun + place[s] * h, m->argument, m->rate) != 0) {
                return false;
            }
        }
        double *u = m->u[s];
        memcpy(u, rate, (size_t)count * sizeof *u);
        for (int j = 0; j < s; j++) {
            add(u, c[s][j] * inverse, m->u[j], count);
        }
        if (timed) {
            add(u, h * weight[s], m->time_slope, count);
        }
        solve(m, h * gamma_, u);
    }
    memcpy(m->to, m->argument, (size_t)count * sizeof *m->to);
    add(m->to, 1.0, m->u[STAGES - 1], count);
    return true;
}

// Root mean square of the error over what is allowed; not a number where the state is none.
static double error_of(const struct rosenbrock *m) {
    const struct rosenbrock_problem *p = &m->problem;
    double sum = 0.0;
    for (int i = 0; i < p->count; i++) {
        const double size = fmax(fabs(m->from[i]), fabs(m->to[i]));
        const double miss = m->u[STAGES - 1][i] / (p->relative * size + p->absolute[i]);
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
    return true;
}

static void keep_bend(struct rosenbrock *m) {
    for (int k = 0; k < DENSE; k++) {
        memset(m->bend[k], 0, (size_t)m->problem.count * sizeof *m->bend[k]);
        for (int s = 0; s < STAGES; s++) {
            add(m->bend[k], dense[k][s], m->u[s], m->problem.count);
        }
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
void rosenbrock_between(const struct rosenbrock *m, double share, double *state) {
    const double rest = 1.0 - share;
    for (int i = 0; i < m->problem.count; i++) {
        const double bend = m->bend[0][i] + share * (m->bend[1][i] + share * m->bend[2][i]);
        state[i] = rest * m->from[i] + share * (m->to[i] + rest * bend);
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
