// SPDX-License-Identifier: MIT
// Small motions about a point of rest: growth rate and frequency of every mode. The bristle and the
// backlash are left out and friction enters as its viscous term only: a stuck bristle would give a
// zero eigenvalue and hide the oscillation that a kick sets free.
#pragma once

#include "solve/equilibrium.h"

struct linear_mode {
    double growth;        // real part of the eigenvalue [1/s]; positive grows
    double frequency;     // imaginary part / 2 pi [Hz]; 0: does not oscillate
    double damping_ratio; // -real/|eigenvalue| [-]
};

struct linear_modes {
    size_t count;
    struct linear_mode at[REGULATOR_STATES_MAX]; // by falling growth; a pair is listed once
};

// The regulator without bristle and backlash, as linearised.
void linearise_prepare(struct regulator *out, const struct regulator_parameters *parameters);
void linearise_prepare_with(struct regulator *out, const struct regulator_parameters *parameters,
                            const struct nozzle *nozzle); // as regulator_prepare_with

// Modes at an open point of rest of that regulator. Returns false when the eigenvalues fail.
bool linearise_modes(const struct regulator *regulator, const struct regulator_mode *mode,
                     double time, const double *state, struct linear_modes *out);

// Jacobian over the states that drive anything; row-major, [states_driving][states_driving];
// returns their number. Exact: the model knows its own slopes. No numbers for a state that is none.
int linearise_jacobian(const struct regulator *regulator, const struct regulator_mode *mode,
                       double time, const double *state,
                       double jacobian[REGULATOR_STATES_MAX * REGULATOR_STATES_MAX]);

// Modes of a matrix [n][n], row-major. Returns false when they fail.
bool linearise_eigenvalues(int n, const double *jacobian, struct linear_modes *out);

// Largest step of state `slot` that a slope over it should try.
double linearise_step(const struct regulator *regulator, const double *state, int slot);

// Size of growth [1/s] below which a mode that does not oscillate counts as zero: a share of 1e-8
// of the largest eigenvalue, which is what rounding leaves of one.
double linearise_zero(const struct linear_modes *modes);

// The least stable mode: of those that oscillate or grow, the one that grows fastest or dies
// slowest, which is the motion one sees and hears; NULL when nothing oscillates or grows.
const struct linear_mode *linearise_leading(const struct linear_modes *modes);

// The least damped of those, whose period sets the rhythm of a record: a slow mode that hardly
// swings sets none. NULL likewise.
const struct linear_mode *linearise_ringing(const struct linear_modes *modes);
