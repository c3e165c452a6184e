// SPDX-License-Identifier: MIT
// The central difference over a step h of a smooth function is
//     D(h) = f' + c1 h^2 + c2 h^4 + ...,
// and two steps h and h/q together remove the first term left over:
//     T_j(h/q) = (q^2j T_(j-1)(h/q) - T_(j-1)(h))/(q^2j - 1),   T_0 = D.
// How far an entry of this triangle lies from those it was made of is their error, and more than
// its own. Long steps suffer from the curve, short ones from rounding, delta/h when the function
// itself is only known to delta. Which is which cannot be read from the differences alone: D may
// grow with every shorter step because of rounding, or because all steps are still too long for a
// bend. So delta is measured. From the shortest step upward, the first two differences that
// disagree by more than rounding mark how far the curve is felt; only from there down the least
// error is looked for.
#include "maths/derivative.h"

#include <assert.h>
#include <float.h>
#include <math.h>
#include <stdbool.h>

// A ladder of steps: each is shorter than the one before by a power of two, which costs no digits.
#define RUNGS 8
#define RATIO 8.0
// Points close together for the rounding, so far apart as a share of the longest step.
#define POINTS 7
#define CLOSE 0x1p-24
#define SIGNIFICANT 10.0 // times the rounding
#define GROWTH 16.0      // over two rungs: between 8, a root's, and 64, that of rounding

struct ladder {
    double difference[DERIVATIVE_MAX][RUNGS];
    double rounding[DERIVATIVE_MAX]; // of the function [its unit]
    double step[RUNGS];
};

static void climb(const struct derivative_of *of, double x, struct ladder *out) {
    double high[DERIVATIVE_MAX], low[DERIVATIVE_MAX];
    for (int k = 0; k < RUNGS; k++) {
        double up = x + out->step[k], down = x - out->step[k]; // as they are rounded
        int failed = of->function(of->context, up, high);
        failed = failed || of->function(of->context, down, low);
        for (size_t i = 0; i < of->count; i++) {
            out->difference[i][k] = failed ? (double)NAN : (high[i] - low[i]) / (up - down);
        }
    }
}

// Rounding of each component: fourth differences of points close together are free of anything
// smooth, and of independent errors they have 1 + 16 + 36 + 16 + 1 = 70 times the square.
// Source: J. J. More, S. M. Wild, SIAM J. Sci. Comput. 33 (2011).
static void measure_rounding(const struct derivative_of *of, double x, struct ladder *out) {
    double value[POINTS][DERIVATIVE_MAX];
    double space = fmax(CLOSE * out->step[0], 4.0 * DBL_EPSILON * fabs(x));
    int failed = 0, middle = POINTS / 2;
    for (int k = 0; k < POINTS; k++) {
        failed = failed || of->function(of->context, x + (k - middle) * space, value[k]);
    }
    for (size_t i = 0; i < of->count; i++) {
        double squares = 0.0;
        for (int k = 0; k + 4 < POINTS; k++) {
            double fourth = value[k][i] - 4.0 * value[k + 1][i] + 6.0 * value[k + 2][i] -
                            4.0 * value[k + 3][i] + value[k + 4][i];
            squares += fourth * fourth;
        }
        double seen = sqrt(squares / (POINTS - 4) / 70.0);
        double least = 0.5 * DBL_EPSILON * fabs(value[middle][i]); // though none be seen
        out->rounding[i] = failed ? (double)NAN : fmax(seen, least);
    }
}

// How far a step's difference lies from that of the next longer one.
static double apart(const struct ladder *l, size_t i, int k) {
    return fabs(l->difference[i][k] - l->difference[i][k - 1]);
}

// The shortest step over which the curve is felt.
static int last_felt(const struct ladder *l, size_t i) {
    for (int k = RUNGS - 1; k > 0; k--) {
        bool rounding = k > 2 && apart(l, i, k) > GROWTH * apart(l, i, k - 2);
        if (!rounding && apart(l, i, k) > SIGNIFICANT * l->rounding[i] / l->step[k]) {
            return k;
        }
    }
    return 0;
}

static double settle(const struct ladder *l, size_t i, double *error) {
    double row[RUNGS] = {0.0}, above[RUNGS], best = (double)NAN;
    int felt = last_felt(l, i);
    *error = (double)INFINITY;
    for (int k = 0; k < RUNGS; k++) {
        for (int j = 0; j < k; j++) {
            above[j] = row[j];
        }
        row[0] = l->difference[i][k];
        if (isinf(*error) && isfinite(row[0])) {
            best = row[0]; // better than nothing while it stands alone
        }
        double factor = 1.0;
        for (int j = 1; j <= k; j++) {
            factor *= RATIO * RATIO;
            row[j] = row[j - 1] + (row[j - 1] - above[j - 1]) / (factor - 1.0);
            double moved = fmax(fabs(row[j] - row[j - 1]), fabs(row[j] - above[j - 1]));
            double doubt = moved + l->rounding[i] / l->step[k];
            if (k >= felt && doubt < *error) {
                *error = doubt;
                best = row[j];
            }
        }
    }
    return best;
}

void derivative_find(const struct derivative_of *of, double x, double step, double *slope,
                     double *error) {
    assert(of->count <= DERIVATIVE_MAX);
    struct ladder ladder;
    for (int k = 0; k < RUNGS; k++) {
        ladder.step[k] = k == 0 ? step : ladder.step[k - 1] / RATIO;
    }
    climb(of, x, &ladder);
    measure_rounding(of, x, &ladder);
    for (size_t i = 0; i < of->count; i++) {
        double miss;
        slope[i] = settle(&ladder, i, &miss);
        if (error) {
            error[i] = isnan(slope[i]) ? (double)NAN : miss;
        }
    }
}
