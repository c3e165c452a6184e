// SPDX-License-Identifier: MIT
// Reducer before the valve body and expander behind it: what a body set between wider pipes passes
// less, and earlier chokes. IEC 60534-2-1, in SI.
#pragma once

struct fittings_parameters { // bores [m]; 0: not known, and then as wide as the body
    double body;             // of the body's ends, d
    double inlet;            // of the pipe before it, D1
    double outlet;           // of the pipe behind it, D2
};

// Loss coefficients over 2 a^2, a being the area of the body's bore [1/m4].
struct fittings {
    double loss;  // of both together, with what speed the stream gains and gives back
    double inlet; // of the reducer before the body alone, with the speed gained
};

// Without a body's bore, or with no pipe wider than it, both are zero.
struct fittings fittings_prepare(const struct fittings_parameters *parameters);

// Sum of the coefficients of both [-].
double fittings_loss_coefficient(const struct fittings_parameters *parameters);

// For a trim that opens A_v [m2] of w = A_v sqrt(rho dp) at its present travel:
// FP [-], by which it passes less.
double fittings_piping_factor(const struct fittings *fittings, double area);

// xTP [-] of a gas and FLP [-] of a liquid from xT and FL of the valve without fittings.
double fittings_choking_ratio(const struct fittings *fittings, double area, double choking_ratio);
double fittings_recovery(const struct fittings *fittings, double area, double recovery_factor);
