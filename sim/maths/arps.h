// SPDX-License-Identifier: MIT
// Decline of a well's rate by the law of Arps, and its inverse. Pure numbers: rates in any unit,
// time in years of 365.25 days from a start that the caller knows. Dates are sim/base/calendar.h,
// fitting is sim/maths/arps_fit.h.
//
// J. J. Arps, "Analysis of Decline Curves", Trans. AIME 160 (1945) 228-247:
//   q(t) = q0 / (1 + b D t)^(1/b)
// with b = 0 exponential, q0 exp(-D t), and b = 1 harmonic. Everything here is written with
//   L(t) = ln(q0/q) = ln(1 + b D t)/b,
// which is smooth in b down to 0.
#pragma once

struct arps {
    double rate;     // q0, at the start [any unit of rate]
    double nominal;  // D, relative decline at the start [1/yr], positive
    double exponent; // b, from 0 [-]
};

// Rate at a time [yr]. Before the start the law is carried on backwards; infinite where a
// hyperbolic one has no value any more.
double arps_rate(const struct arps *arps, double years);

// Amount produced from the start to a time [rate x yr].
double arps_cumulative(const struct arps *arps, double years);

// Time at which the rate falls to a value [yr]; negative before the start, infinite for a rate of
// nothing, which the law never reaches.
double arps_time(const struct arps *arps, double rate);

// Nominal decline of an effective one, and back. An effective decline is the share by which the
// rate is lower one year after the start (0 up to but not 1): for b > 0 what the trade calls the
// secant decline.
double arps_nominal(double effective, double exponent);
double arps_effective(double nominal, double exponent);

// L at a time, and its derivatives to ln D and to b, for fitting.
struct arps_slope {
    double fall;       // L
    double by_nominal; // dL / d ln D
    double by_exponent;
};
struct arps_slope arps_slope_at(const struct arps *arps, double years);
