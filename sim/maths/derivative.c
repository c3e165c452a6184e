// SPDX-License-Identifier: MIT
#include "maths/derivative.h"

#include <assert.h>
#include <math.h>

// A ladder of steps: each is shorter than the one before by a power of two, which costs no digits.
#define RUNGS 8
#define RATIO 8.0

// The central difference over a step h of a smooth function is
//     D(h) = f' + c1 h^2 + c2 h^4 + ...,
// and two steps h and h/q together remove the first term left over:
//     T_j = (q^2j T_(j-1)(h/q) - T_(j-1)(h)) / (q^2j - 1),   T_0 = D.
// Long steps suffer from the curve, short ones from rounding, which goes as 1/h. How far T_j lies
// from the value it was made of tells either: it is the error of that value, and so more than that
// of T_j. The entry of the triangle that moved least is taken. A step that reached over a bend of
// the curve (a seat, the change from laminar to turbulent) agrees with no other and drops out.
static double settle(const double difference[RUNGS], double *error) {
    double row[RUNGS] = {0.0}, above[RUNGS], best = (double)NAN;
    *error = (double)INFINITY;
    for (int k = 0; k < RUNGS; k++) {
        for (int j = 0; j < k; j++) {
            above[j] = row[j];
        }
        row[0] = difference[k];
        if (isnan(best)) {
            best = row[0]; // better than nothing while it stands alone
        }
        double factor = 1.0;
        for (int j = 1; j <= k; j++) {
            factor *= RATIO * RATIO;
            row[j] = row[j - 1] + (row[j - 1] - above[j - 1]) / (factor - 1.0);
            double moved = fmax(fabs(row[j] - row[j - 1]), fabs(row[j] - above[j - 1]));
            if (moved < *error) {
                *error = moved;
                best = row[j];
            }
        }
    }
    return best;
}

void derivative_find(const struct derivative_of *of, double x, double step, double *slope,
                     double *error) {
    assert(of->count <= DERIVATIVE_MAX);
    double difference[DERIVATIVE_MAX][RUNGS], high[DERIVATIVE_MAX], low[DERIVATIVE_MAX];
    double h = step;
    for (int k = 0; k < RUNGS; k++, h /= RATIO) {
        double up = x + h, down = x - h; // as they are rounded
        int failed = of->function(of->context, up, high);
        failed = failed || of->function(of->context, down, low);
        for (size_t i = 0; i < of->count; i++) {
            difference[i][k] = failed ? (double)NAN : (high[i] - low[i]) / (up - down);
        }
    }
    for (size_t i = 0; i < of->count; i++) {
        double miss;
        slope[i] = settle(difference[i], &miss);
        if (error) {
            error[i] = isnan(slope[i]) ? (double)NAN : miss;
        }
    }
}
