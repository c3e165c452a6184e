// SPDX-License-Identifier: MIT
#include "maths/arps_fit.h"

#include "maths/student.h"

#include <math.h>
#include <string.h>

enum { ITERATIONS_MAX = 200 };

// Scatter below which a record counts as exact [ln rate]: what is left is rounding.
#define EXACT 1e-10

const char *arps_model_name(enum arps_model model) {
    static const char *const names[] = {"exponential", "hyperbolic", "harmonic"};
    return names[model];
}

// The work of one fit. Parameters: ln(q0/scale), ln D, b.
struct work {
    const struct arps_record *record;
    enum arps_residual residual;
    double scale;                                    // largest rate
    bool free[ARPS_PARAMETERS];                      // takes part in the step at hand
    double sum;                                      // of squared residuals
    double normal[ARPS_PARAMETERS][ARPS_PARAMETERS]; // J'J
    double gradient[ARPS_PARAMETERS];                // J'r
};

static struct arps curve_of(const struct work *w, const double *parameter) {
    return (struct arps){.rate = w->scale * exp(parameter[0]),
                         .nominal = exp(parameter[1]),
                         .exponent = parameter[2]};
}

// Residual i, observed less fitted, and the derivatives of the fitted value.
static double residual_at(const struct work *w, const double *parameter, size_t i,
                          double slope[ARPS_PARAMETERS]) {
    const struct arps curve = curve_of(w, parameter);
    const struct arps_slope s = arps_slope_at(&curve, w->record->years[i]);
    const double fitted = parameter[0] - s.fall;
    slope[0] = 1.0;
    slope[1] = -s.by_nominal;
    slope[2] = -s.by_exponent;
    const double observed = w->record->rate[i] / w->scale;
    if (w->residual == ARPS_LOG_RATE) {
        return log(observed) - fitted;
    }
    for (int k = 0; k < ARPS_PARAMETERS; k++) {
        slope[k] *= exp(fitted);
    }
    return observed - exp(fitted);
}

// Sum of squares, and with `full` what a step is made from.
static double accumulate(struct work *w, const double *parameter, bool full) {
    double sum = 0.0;
    if (full) {
        memset(w->normal, 0, sizeof w->normal);
        memset(w->gradient, 0, sizeof w->gradient);
    }
    for (size_t i = 0; i < w->record->count; i++) {
        double slope[ARPS_PARAMETERS];
        const double r = residual_at(w, parameter, i, slope);
        sum += r * r;
        for (int k = 0; full && k < ARPS_PARAMETERS; k++) {
            w->gradient[k] += slope[k] * r;
            for (int l = 0; l < ARPS_PARAMETERS; l++) {
                w->normal[k][l] += slope[k] * slope[l];
            }
        }
    }
    return sum;
}

// Inverse of the free part of J'J + lambda diag(J'J), zero elsewhere, by Gauss-Jordan without
// pivoting, which a positive definite matrix does not need. False when it is not one.
static bool invert(const struct work *w, double lambda,
                   double inverse[ARPS_PARAMETERS][ARPS_PARAMETERS]) {
    double a[ARPS_PARAMETERS][ARPS_PARAMETERS] = {{0}};
    for (int k = 0; k < ARPS_PARAMETERS; k++) {
        for (int l = 0; l < ARPS_PARAMETERS; l++) {
            const bool used = w->free[k] && w->free[l];
            // Scaled to a unit diagonal, so that the smallest pivot can be judged.
            a[k][l] = used ? w->normal[k][l] / sqrt(w->normal[k][k] * w->normal[l][l]) : k == l;
            inverse[k][l] = k == l;
        }
        a[k][k] += w->free[k] ? lambda : 0.0;
    }
    for (int k = 0; k < ARPS_PARAMETERS; k++) {
        const double pivot = a[k][k];
        if (!(pivot > 1e-14)) {
            return false;
        }
        for (int l = 0; l < ARPS_PARAMETERS; l++) {
            a[k][l] /= pivot;
            inverse[k][l] /= pivot;
        }
        for (int m = 0; m < ARPS_PARAMETERS; m++) {
            const double factor = m == k ? 0.0 : a[m][k];
            for (int l = 0; l < ARPS_PARAMETERS; l++) {
                a[m][l] -= factor * a[k][l];
                inverse[m][l] -= factor * inverse[k][l];
            }
        }
    }
    for (int k = 0; k < ARPS_PARAMETERS; k++) {
        for (int l = 0; l < ARPS_PARAMETERS; l++) {
            const bool used = w->free[k] && w->free[l];
            inverse[k][l] = used ? inverse[k][l] / sqrt(w->normal[k][k] * w->normal[l][l]) : 0.0;
        }
    }
    return true;
}

// The exponent waits at its bound while the step would leave it there.
static void choose_free(struct work *w, const double *parameter, enum arps_model model) {
    const bool low = parameter[2] <= 0.0 && w->gradient[2] <= 0.0;
    const bool high = parameter[2] >= ARPS_EXPONENT_MAX && w->gradient[2] >= 0.0;
    w->free[0] = true;
    w->free[1] = true;
    w->free[2] = model == ARPS_HYPERBOLIC && !low && !high;
}

// From parameters with their J'J and J'r, one accepted step; false when no step helps any more.
static bool step(struct work *w, double *parameter, double *lambda) {
    double inverse[ARPS_PARAMETERS][ARPS_PARAMETERS];
    for (; *lambda < 1e12; *lambda *= 10.0) {
        double next[ARPS_PARAMETERS];
        if (!invert(w, *lambda, inverse)) {
            continue;
        }
        for (int k = 0; k < ARPS_PARAMETERS; k++) {
            double move = 0.0;
            for (int l = 0; l < ARPS_PARAMETERS; l++) {
                move += inverse[k][l] * w->gradient[l];
            }
            next[k] = parameter[k] + (k < 2 ? fmin(fmax(move, -2.0), 2.0) : move);
        }
        next[2] = fmin(fmax(next[2], 0.0), ARPS_EXPONENT_MAX);
        const double sum = accumulate(w, next, false);
        if (sum < w->sum) {
            w->sum = sum;
            memcpy(parameter, next, sizeof next);
            *lambda = fmax(*lambda * 0.1, 1e-12);
            return true;
        }
    }
    return false;
}

// True when the minimum is reached: no step helps, or the sum hardly falls.
static bool minimise(struct work *w, enum arps_model model, double *parameter) {
    double lambda = 1e-3;
    w->sum = accumulate(w, parameter, true);
    for (int i = 0; i < ITERATIONS_MAX; i++) {
        const double before = w->sum;
        choose_free(w, parameter, model);
        if (!isfinite(before) || !step(w, parameter, &lambda)) {
            return isfinite(before);
        }
        accumulate(w, parameter, true);
        if (before - w->sum <= 1e-15 * before) {
            return true;
        }
    }
    return false;
}

// Straight line through ln(rate): where every fit starts from. False when it does not fall.
static bool straight_line(const struct work *w, double *start, double *decline) {
    const struct arps_record *r = w->record;
    double time = 0.0;
    double value = 0.0;
    for (size_t i = 0; i < r->count; i++) {
        time += r->years[i] / (double)r->count;
        value += log(r->rate[i] / w->scale) / (double)r->count;
    }
    double square = 0.0;
    double product = 0.0;
    for (size_t i = 0; i < r->count; i++) {
        const double t = r->years[i] - time;
        square += t * t;
        product += t * (log(r->rate[i] / w->scale) - value);
    }
    *decline = -product / square;
    *start = value + *decline * time;
    return *decline > 0.0;
}

static void describe(struct work *w, const double *parameter, struct arps_fit *out) {
    const double n = (double)w->record->count;
    const double k = (double)out->parameters;
    double inverse[ARPS_PARAMETERS][ARPS_PARAMETERS];
    accumulate(w, parameter, true);
    choose_free(w, parameter, out->model);
    out->at_bound = out->model == ARPS_HYPERBOLIC && !w->free[2];
    if (!invert(w, 0.0, inverse)) {
        out->status = ARPS_NOT_CONVERGED;
        return;
    }
    const double variance = w->sum / (n - k);
    for (int i = 0; i < ARPS_PARAMETERS; i++) {
        for (int j = 0; j < ARPS_PARAMETERS; j++) {
            out->covariance[i][j] = variance * inverse[i][j];
        }
    }
    out->curve = curve_of(w, parameter);
    out->scatter = sqrt(variance) * (w->residual == ARPS_RATE ? w->scale : 1.0);
    out->quantile = student_quantile(ARPS_CONFIDENCE, (long)w->record->count - (long)k);
    // The scatter is a parameter too. C. M. Hurvich, C.-L. Tsai, Biometrika 76 (1989) 297-307.
    const double p = k + 1.0;
    const double mean = fmax(w->sum / n, EXACT * EXACT);
    out->score = n * log(mean) + 2.0 * p + 2.0 * p * (p + 1.0) / (n - p - 1.0);
    double product = 0.0;
    double slope[ARPS_PARAMETERS];
    double last = residual_at(w, parameter, 0, slope);
    for (size_t i = 1; i < w->record->count; i++) {
        const double r = residual_at(w, parameter, i, slope);
        product += r * last;
        last = r;
    }
    out->correlation = w->sum / n > EXACT * EXACT ? product / w->sum : 0.0;
}

void arps_fit(const struct arps_record *record, enum arps_model model, enum arps_residual residual,
              struct arps_fit *out) {
    *out = (struct arps_fit){.status = ARPS_TOO_FEW, .model = model, .residual = residual};
    out->parameters = model == ARPS_HYPERBOLIC ? 3 : 2;
    // The corrected criterion needs more rates than parameters, scatter and mean.
    if (record->count < out->parameters + 3 ||
        record->years[record->count - 1] <= record->years[0]) {
        return;
    }
    struct work w = {.record = record, .residual = residual};
    for (size_t i = 0; i < record->count; i++) {
        w.scale = fmax(w.scale, record->rate[i]);
    }
    double start;
    double decline;
    if (!straight_line(&w, &start, &decline)) {
        out->status = ARPS_NOT_DECLINING;
        return;
    }
    // A hyperbolic law may have several minima: start from several exponents, keep the best.
    static const double exponents[] = {0.1, 0.5, 1.0, 1.8};
    const size_t starts = model == ARPS_HYPERBOLIC ? sizeof exponents / sizeof exponents[0] : 1;
    double best[ARPS_PARAMETERS];
    double least = HUGE_VAL;
    for (size_t i = 0; i < starts; i++) {
        const double b = model == ARPS_EXPONENTIAL ? 0.0
                         : model == ARPS_HARMONIC  ? 1.0
                                                   : exponents[i];
        double parameter[ARPS_PARAMETERS] = {start, log(decline), b};
        if (minimise(&w, model, parameter) && w.sum < least) {
            least = w.sum;
            memcpy(best, parameter, sizeof best);
        }
    }
    out->status = isfinite(least) ? ARPS_FITTED : ARPS_NOT_CONVERGED;
    if (out->status == ARPS_FITTED) {
        w.sum = least;
        describe(&w, best, out);
    }
}

size_t arps_fit_best(const struct arps_fit *fits, size_t count) {
    size_t best = count;
    for (size_t i = 0; i < count; i++) {
        if (fits[i].status == ARPS_FITTED && (best == count || fits[i].score < fits[best].score)) {
            best = i;
        }
    }
    return best;
}
