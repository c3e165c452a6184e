// SPDX-License-Identifier: MIT
// What the scatter of a record leaves uncertain: the band of the fitted curve, and where it crosses
// a rate.
#include "maths/arps_fit.h"

#include <math.h>

enum { BISECTIONS = 60 };

// Half width of the band of ln(rate).
static double band_width(const struct arps_fit *fit, double years) {
    const struct arps_slope s = arps_slope_at(&fit->curve, years);
    const double slope[ARPS_PARAMETERS] = {1.0, -s.by_nominal, -s.by_exponent};
    double variance = 0.0;
    for (int i = 0; i < ARPS_PARAMETERS; i++) {
        for (int j = 0; j < ARPS_PARAMETERS; j++) {
            variance += slope[i] * fit->covariance[i][j] * slope[j];
        }
    }
    return fit->quantile * sqrt(fmax(variance, 0.0));
}

void arps_fit_band(const struct arps_fit *fit, double years, double *low, double *high) {
    const double rate = arps_rate(&fit->curve, years);
    const double width = band_width(fit, years);
    *low = rate * exp(-width);
    *high = rate * exp(width);
}

// Whether a time belongs to the interval: the band at that time holds the rate.
static bool holds(const struct arps_fit *fit, double rate, double years) {
    const double distance = fabs(log(arps_rate(&fit->curve, years) / rate));
    return distance <= band_width(fit, years);
}

// End of the interval in the direction of `step`, from a time inside.
static double interval_end(const struct arps_fit *fit, double rate, double inside, double step,
                           double horizon) {
    double outside = inside + step;
    while (holds(fit, rate, outside)) {
        inside = outside;
        step *= 1.5;
        outside += step;
        if (fabs(outside) > horizon) {
            return step > 0.0 ? HUGE_VAL : -HUGE_VAL;
        }
    }
    for (int i = 0; i < BISECTIONS; i++) {
        const double middle = 0.5 * (inside + outside);
        *(holds(fit, rate, middle) ? &inside : &outside) = middle;
    }
    return inside;
}

void arps_fit_interval(const struct arps_fit *fit, double rate, double horizon, double *early,
                       double *late) {
    const double middle = arps_time(&fit->curve, rate);
    const double step = 1e-4;
    *early = isfinite(middle) ? interval_end(fit, rate, middle, -step, horizon) : middle;
    *late = isfinite(middle) ? interval_end(fit, rate, middle, step, horizon) : middle;
}
