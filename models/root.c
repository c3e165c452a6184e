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

// Share of the bracket by which f is probed for its slope when none is known.
#define PROBE 1e-7
// Calls of f without closing in before the bracket is asked.
#define SECANT_MAX 8
// Steps of so many tolerances that no longer bring f down are its rounding.
#define ROUNDING 16.0

// Secant steps from the last root; true when they end at a root inside the bracket.
static bool secant(root_function f, void *context, double low, double high, double tolerance,
                   struct root_memory *m) {
    double x = fmin(fmax(m->x, low), high), value = f(context, x), slope = m->slope;
    for (int i = 0; i < SECANT_MAX; i++) {
        bool probing = !(isfinite(slope) && slope != 0.0);
        double aside = x + PROBE * (high - low) <= high ? PROBE : -PROBE;
        double step = value == 0.0 ? 0.0 : probing ? aside * (high - low) : -value / slope;
        double close = 2.0 * DBL_EPSILON * fabs(x) + 0.5 * tolerance;
        if (fabs(step) <= close) {
            *m = (struct root_memory){true, x, slope};
            return isfinite(value);
        }
        double next = x + step;
        if (!(next >= low && next <= high)) {
            return false;
        }
        double next_value = f(context, next);
        if (!probing && !(fabs(next_value) < 0.5 * fabs(value))) {
            // As close as the rounding of f lets it come?
            *m = (struct root_memory){true, next, slope};
            return fabs(step) <= ROUNDING * close && isfinite(next_value);
        }
        slope = (next_value - value) / (next - x);
        x = next;
        value = next_value;
    }
    return false;
}

double root_near(root_function f, void *context, double low, double high, double tolerance,
                 struct root_memory *memory) {
    if (memory->known && high > low && secant(f, context, low, high, tolerance, memory)) {
        return memory->x;
    }
    double x = root_bracketed(f, context, low, high, tolerance);
    f(context, x);
    *memory = (struct root_memory){true, x, (double)NAN};
    return x;
}
