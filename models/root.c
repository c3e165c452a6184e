// SPDX-License-Identifier: MIT
#include "root.h"

#include <float.h>
#include <math.h>

struct bracket {
    double a, b, c; // previous, best, and the end that keeps the sign change
    double fa, fb, fc;
    double step, before; // last two steps
};

// Step by interpolation if it falls well inside the bracket, else by halving.
static void choose_step(struct bracket *k, double half, double tolerance) {
    double p, q, s = k->fb / k->fa;
    if (fabs(k->before) < tolerance || fabs(k->fa) <= fabs(k->fb)) {
        k->step = k->before = half;
        return;
    }
    if (k->a == k->c) {
        p = 2.0 * half * s;
        q = 1.0 - s;
    } else {
        double u = k->fa / k->fc, r = k->fb / k->fc;
        p = s * (2.0 * half * u * (u - r) - (k->b - k->a) * (r - 1.0));
        q = (u - 1.0) * (r - 1.0) * (s - 1.0);
    }
    if (p > 0.0) {
        q = -q;
    } else {
        p = -p;
    }
    if (2.0 * p < fmin(3.0 * half * q - fabs(tolerance * q), fabs(k->before * q))) {
        k->before = k->step;
        k->step = p / q;
    } else {
        k->step = k->before = half;
    }
}

double root_bracketed(root_function f, void *context, double low, double high, double tolerance) {
    struct bracket k = {.a = low, .b = high};
    k.fa = f(context, low);
    k.fb = f(context, high);
    if ((k.fa > 0.0) == (k.fb > 0.0) && k.fa != 0.0 && k.fb != 0.0) {
        return fabs(k.fa) < fabs(k.fb) ? low : high;
    }
    k.c = k.a;
    k.fc = k.fa;
    k.step = k.before = k.b - k.a;
    for (int i = 0; i < 200; i++) {
        if (fabs(k.fc) < fabs(k.fb)) {
            k.a = k.b, k.b = k.c, k.c = k.a;
            k.fa = k.fb, k.fb = k.fc, k.fc = k.fa;
        }
        double close = 2.0 * DBL_EPSILON * fabs(k.b) + 0.5 * tolerance;
        double half = 0.5 * (k.c - k.b);
        if (fabs(half) <= close || k.fb == 0.0) {
            break;
        }
        choose_step(&k, half, close);
        k.a = k.b;
        k.fa = k.fb;
        k.b += fabs(k.step) > close ? k.step : copysign(close, half);
        k.fb = f(context, k.b);
        if ((k.fb > 0.0) == (k.fc > 0.0)) {
            k.c = k.a;
            k.fc = k.fa;
            k.step = k.before = k.b - k.a;
        }
    }
    return k.b;
}
