// SPDX-License-Identifier: MIT
// About a point of rest y0 of dy/dt = f(y) a small motion d = y - y0 obeys d' = J d, J_ic =
// df_i/dy_c, and is a sum of exp(s t) over the eigenvalues s of J: growth Re s, frequency Im s/(2
// pi), damping ratio -Re s/|s|. One Re s above zero, and the least push grows.
//
// The model knows the slopes of its rates (regulator_slopes).
#include "solve/linearise.h"

#include "solve/eigenvalues.h"

#include <math.h>
#include <stdlib.h>

// Real eigenvalues below this share of the largest are zeros of a temperature that nothing moves.
#define ZERO_SHARE 1e-8

void linearise_prepare(struct regulator *out, const struct regulator_parameters *parameters) {
    const struct nozzle none = {0};
    linearise_prepare_with(out, parameters, &none);
}

void linearise_prepare_with(struct regulator *out, const struct regulator_parameters *parameters,
                            const struct nozzle *nozzle) {
    struct regulator_parameters smooth = *parameters;
    smooth.actuator.friction.static_force = 0.0;
    smooth.actuator.friction.kinetic_force = 0.0;
    smooth.actuator.backlash = 0.0;
    smooth.pilot.friction.static_force = 0.0;
    smooth.pilot.friction.kinetic_force = 0.0;
    regulator_prepare_with(out, &smooth, nozzle);
}

double linearise_step(const struct regulator *r, const double *state, int slot) {
    // A state near nothing, as a plug near its seat, is moved by its own size. One far beyond its
    // scale is a volume of liquid that holds what a plug has swept: its pressure goes by the scale.
    double scale = r->layout.slot[slot].scale;
    return 1e-3 * fmin(fmax(fabs(state[slot]), 1e-2 * scale), scale);
}

int linearise_jacobian(const struct regulator *r, const struct regulator_mode *mode, double time,
                       const double *state,
                       double jacobian[REGULATOR_STATES_MAX * REGULATOR_STATES_MAX]) {
    double row[REGULATOR_STATES_MAX * REGULATOR_STATES_MAX];
    const int n = r->layout.mass_in;
    const bool fine = regulator_slopes(r, mode, time, state, row) == 0;
    for (int i = 0; i < n * n; i++) {
        jacobian[i] = fine ? row[i] : (double)NAN;
    }
    return n;
}

// By falling growth; of a tie the slower first, so that the order never hangs on the sort.
static int by_growth(const void *a, const void *b) {
    const struct linear_mode *x = a, *y = b;
    if (x->growth != y->growth) {
        return x->growth < y->growth ? 1 : -1;
    }
    return x->frequency < y->frequency ? -1 : x->frequency > y->frequency;
}

bool linearise_eigenvalues(int n, const double *jacobian, struct linear_modes *out) {
    double real[REGULATOR_STATES_MAX], imaginary[REGULATOR_STATES_MAX];
    double matrix[REGULATOR_STATES_MAX * REGULATOR_STATES_MAX];
    out->count = 0;
    for (int i = 0; i < n * n; i++) {
        if (!isfinite(jacobian[i])) {
            return false;
        }
        matrix[i] = jacobian[i];
    }
    if (!eigenvalues_find(n, matrix, real, imaginary)) {
        return false;
    }
    const double two_pi = 6.283185307179586;
    for (int i = 0; i < n; i++) {
        if (imaginary[i] < 0.0) {
            continue; // the other one of a pair
        }
        double size = hypot(real[i], imaginary[i]);
        out->at[out->count++] = (struct linear_mode){real[i], imaginary[i] / two_pi,
                                                     size > 0.0 ? -real[i] / size : 0.0};
    }
    qsort(out->at, out->count, sizeof out->at[0], by_growth);
    return true;
}

bool linearise_modes(const struct regulator *regulator, const struct regulator_mode *mode,
                     double time, const double *state, struct linear_modes *out) {
    double jacobian[REGULATOR_STATES_MAX * REGULATOR_STATES_MAX];
    int n = linearise_jacobian(regulator, mode, time, state, jacobian);
    return linearise_eigenvalues(n, jacobian, out);
}

double linearise_zero(const struct linear_modes *modes) {
    double largest = 0.0;
    for (size_t i = 0; i < modes->count; i++) {
        largest = fmax(largest, hypot(modes->at[i].growth,
                                      2.0 * 3.14159265358979323846 * modes->at[i].frequency));
    }
    return ZERO_SHARE * largest;
}

const struct linear_mode *linearise_ringing(const struct linear_modes *modes) {
    const double zero = linearise_zero(modes);
    const struct linear_mode *best = NULL;
    for (size_t i = 0; i < modes->count; i++) {
        const struct linear_mode *m = &modes->at[i];
        if ((m->frequency > 0.0 || m->growth > zero) &&
            (!best || m->damping_ratio < best->damping_ratio)) {
            best = m;
        }
    }
    return best;
}

const struct linear_mode *linearise_leading(const struct linear_modes *modes) {
    const double zero = linearise_zero(modes);
    const struct linear_mode *best = NULL;
    for (size_t i = 0; i < modes->count; i++) {
        const struct linear_mode *m = &modes->at[i];
        if ((m->frequency > 0.0 || m->growth > zero) && (!best || m->growth > best->growth)) {
            best = m;
        }
    }
    return best;
}
