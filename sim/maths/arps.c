// SPDX-License-Identifier: MIT
#include "maths/arps.h"

#include <math.h>

// L, the fall of ln(rate) since the start.
static double fall(const struct arps *arps, double years) {
    const double reach = arps->nominal * years;
    if (arps->exponent == 0.0) {
        return reach;
    }
    const double x = arps->exponent * reach;
    return x > -1.0 ? log1p(x) / arps->exponent : -HUGE_VAL;
}

// Its inverse.
static double reach_of(double exponent, double fallen) {
    return exponent == 0.0 ? fallen : expm1(exponent * fallen) / exponent;
}

double arps_rate(const struct arps *arps, double years) {
    return arps->rate * exp(-fall(arps, years));
}

// The integral of q dt with t = t(L) is q0/D times the integral of exp(-(1 - b) L) dL.
double arps_cumulative(const struct arps *arps, double years) {
    const double fallen = fall(arps, years);
    const double rest = 1.0 - arps->exponent;
    const double sum = rest == 0.0 ? fallen : -expm1(-rest * fallen) / rest;
    return arps->rate / arps->nominal * sum;
}

double arps_time(const struct arps *arps, double rate) {
    if (rate <= 0.0) {
        return HUGE_VAL;
    }
    return reach_of(arps->exponent, log(arps->rate / rate)) / arps->nominal;
}

double arps_nominal(double effective, double exponent) {
    return reach_of(exponent, -log1p(-effective));
}

double arps_effective(double nominal, double exponent) {
    const struct arps unit = {.rate = 1.0, .nominal = nominal, .exponent = exponent};
    return -expm1(-fall(&unit, 1.0));
}

// (x/(1+x) - ln(1+x)) / x^2, which the plain form loses to rounding near 0.
static double curvature(double x) {
    if (fabs(x) > 0.02) {
        return (x / (1.0 + x) - log1p(x)) / (x * x);
    }
    // sum of (-1)^(n-1) x^(n-2) (n-1)/n over n = 2, 3, ...; ten terms leave less than 1e-16
    double sum = 0.0;
    for (int n = 11; n >= 2; n--) {
        sum = (n - 1.0) / n - x * sum;
    }
    return -sum;
}

struct arps_slope arps_slope_at(const struct arps *arps, double years) {
    const double reach = arps->nominal * years;
    const double x = arps->exponent * reach;
    return (struct arps_slope){.fall = fall(arps, years),
                               .by_nominal = reach / (1.0 + x),
                               .by_exponent = reach * reach * curvature(x)};
}
