// SPDX-License-Identifier: MIT
// Least squares of a decline to a record of rates, with what the scatter leaves uncertain. Which of
// several laws fits best is told by the corrected Akaike criterion. Knows no files and no dates.
//
// The scatter is taken as independent from one rate to the next. Where it is not (allocated
// volumes, seasons), intervals are too narrow: `correlation` tells.
#pragma once

#include "maths/arps.h"

#include <stdbool.h>
#include <stddef.h>

enum arps_model { ARPS_EXPONENTIAL, ARPS_HYPERBOLIC, ARPS_HARMONIC, ARPS_MODEL_COUNT };

// What is squared: ln(rate), each rate counting by its percentage; or the rate itself, in which the
// high rates count most.
enum arps_residual { ARPS_LOG_RATE, ARPS_RATE };

enum { ARPS_PARAMETERS = 3 }; // ln q0, ln D, b

#define ARPS_EXPONENT_MAX 2.0
#define ARPS_CONFIDENCE 0.95

struct arps_record {
    size_t count;
    const double *years; // [count] ascending
    const double *rate;  // [count] positive
};

enum arps_fit_status {
    ARPS_FITTED,
    ARPS_TOO_FEW,       // rates for the number of parameters, or all at one time
    ARPS_NOT_DECLINING, // the rates do not fall over the record
    ARPS_NOT_CONVERGED,
};

struct arps_fit {
    enum arps_fit_status status; // the rest holds only when fitted
    enum arps_model model;
    enum arps_residual residual;
    struct arps curve; // at year 0 of the record
    bool at_bound;     // the exponent wants to leave 0 to ARPS_EXPONENT_MAX
    size_t parameters; // fitted: 2 or 3
    double covariance[ARPS_PARAMETERS][ARPS_PARAMETERS]; // of ln q0, ln D, b
    double scatter;     // standard deviation of the residuals [ln rate, or rate]
    double score;       // corrected Akaike criterion: lower is better, only differences count
    double correlation; // of each residual with the next
    double quantile;    // of Student's distribution that gives ARPS_CONFIDENCE
};

// "exponential", "hyperbolic", "harmonic".
const char *arps_model_name(enum arps_model model);

// Fit one law. Method: K. Levenberg (1944), D. W. Marquardt (1963).
void arps_fit(const struct arps_record *record, enum arps_model model, enum arps_residual residual,
              struct arps_fit *out);

// Index of the fitted law with the lowest score, or `count` if none was fitted.
size_t arps_fit_best(const struct arps_fit *fits, size_t count);

// Bounds of the fitted curve (its mean, not of single rates) at a time [yr].
void arps_fit_band(const struct arps_fit *fit, double years, double *low, double *high);

// Times [yr] between which the fitted curve falls to a rate: where the band crosses it. `late` is
// infinite when the lower confidence stays open up to `horizon` years, and `early` is -infinite
// likewise down to -horizon. For a straight line this is Fieller's exact interval (1954).
void arps_fit_interval(const struct arps_fit *fit, double rate, double horizon, double *early,
                       double *late);
