// SPDX-License-Identifier: MIT
#include "flow.h"

#include "either.h"
#include "gas.h"

#include <math.h>

#define PI 3.141592653589793

static double nozzle_exact_quotient(double k, double r) {
    double gap = 1.0 - r;
    if (gap < 1e-6) { // series about r = 1; the plain form loses its digits there
        return 2.0 - 3.0 * gap / k;
    }
    // r^(2/k) - r^((k+1)/k) = r^(2/k) (1 - r^((k-1)/k)), written with expm1 to keep digits.
    double drop = -expm1((k - 1.0) / k * log(r));
    return 2.0 * k / (k - 1.0) * pow(r, 2.0 / k) * drop / gap;
}

struct nozzle nozzle_prepare(double exponent) {
    double k = exponent;
    double critical = pow(2.0 / (k + 1.0), k / (k - 1.0));
    struct nozzle n = {
        .exponent = k,
        .critical_ratio = critical,
        .middle = 0.5 * (1.0 + critical),
        .inverse_half = 2.0 / (1.0 - critical),
    };
    // Interpolation in Chebyshev points, then the Chebyshev sum is expanded into powers of
    // u in [-1, 1]: thirteen terms are well conditioned there.
    double cheb[NOZZLE_TERMS], angle[NOZZLE_TERMS], quotient[NOZZLE_TERMS];
    for (int i = 0; i < NOZZLE_TERMS; i++) {
        angle[i] = PI * (i + 0.5) / NOZZLE_TERMS;
        quotient[i] = nozzle_exact_quotient(k, n.middle + cos(angle[i]) / n.inverse_half);
    }
    for (int j = 0; j < NOZZLE_TERMS; j++) {
        double sum = 0.0;
        for (int i = 0; i < NOZZLE_TERMS; i++) {
            sum += quotient[i] * cos(j * angle[i]);
        }
        cheb[j] = (j == 0 ? 1.0 : 2.0) / NOZZLE_TERMS * sum;
    }
    double previous[NOZZLE_TERMS] = {1.0}, current[NOZZLE_TERMS] = {0.0, 1.0};
    n.coefficient[0] = cheb[0];
    for (int j = 1; j < NOZZLE_TERMS; j++) {
        double next[NOZZLE_TERMS] = {0.0};
        for (int i = 0; i < NOZZLE_TERMS; i++) {
            n.coefficient[i] += cheb[j] * current[i];
            next[i] = (i > 0 ? 2.0 * current[i - 1] : 0.0) - previous[i];
        }
        for (int i = 0; i < NOZZLE_TERMS; i++) {
            previous[i] = current[i];
            current[i] = next[i];
        }
    }
    n.choked_square = (1.0 - critical) * nozzle_quotient(&n, critical);
    return n;
}

double nozzle_quotient(const struct nozzle *nozzle, double ratio) {
    const double *c = nozzle->coefficient;
    double u = (ratio - nozzle->middle) * nozzle->inverse_half;
    // Even and odd powers side by side: two short chains instead of one long one.
    double u2 = u * u;
    double even = c[12], odd = c[11];
#pragma GCC unroll 5
    for (int i = 10; i >= 2; i -= 2) {
        even = even * u2 + c[i];
        odd = odd * u2 + c[i - 1];
    }
    return even * u2 + c[0] + odd * u;
}

double nozzle_quotient_slope(const struct nozzle *nozzle, double ratio, double *slope) {
    const double *c = nozzle->coefficient;
    double u = (ratio - nozzle->middle) * nozzle->inverse_half;
    double value = c[NOZZLE_TERMS - 1], derivative = 0.0;
#pragma GCC unroll 12
    for (int i = NOZZLE_TERMS - 2; i >= 0; i--) {
        derivative = derivative * u + value;
        value = value * u + c[i];
    }
    *slope = derivative * nozzle->inverse_half;
    return value;
}

double flow_signed_root(double drop, double laminar_drop) {
    return drop / sqrt(sqrt(drop * drop + laminar_drop * laminar_drop));
}

double flow_nozzle(const struct nozzle *nozzle, double area, struct flow_side a, struct flow_side b,
                   double laminar_drop) {
    double drop = a.pressure - b.pressure;
    struct flow_side up = drop >= 0.0 ? a : b;
    double ratio = 1.0 - fabs(drop) / up.pressure;
    if (ratio < nozzle->critical_ratio) {
        double flow = area * sqrt(up.pressure * up.density * nozzle->choked_square);
        return drop >= 0.0 ? flow : -flow;
    }
    return area * sqrt(up.density * nozzle_quotient(nozzle, ratio)) *
           flow_signed_root(drop, laminar_drop);
}

double flow_nozzle_square(const struct nozzle *nozzle, double area, struct flow_side a,
                          struct flow_side b) {
    double drop = fabs(a.pressure - b.pressure);
    struct flow_side up = a.pressure >= b.pressure ? a : b;
    double ratio = 1.0 - drop / up.pressure;
    double per_drop = ratio < nozzle->critical_ratio ? up.pressure * nozzle->choked_square / drop
                                                     : nozzle_quotient(nozzle, ratio);
    return area * area * up.density * per_drop;
}

double flow_creep(double diameter, double length, double viscosity) {
    double ends = 24.0, tube = 128.0 / PI * length / diameter;
    return viscosity * (ends + tube) / (diameter * diameter * diameter);
}

double flow_two_regime(double drop, double square, double linear) {
    // The root of w^2/square + w/linear - drop in the form that loses no digits at either end.
    double slow = 1.0 / linear;
    double root = slow + sqrt(slow * slow + 4.0 * fabs(drop) / square);
    return root > 0.0 ? 2.0 * drop / root : 0.0;
}

double flow_orifice_liquid(double area, double density, double drop, double laminar_drop) {
    return area * sqrt(2.0 * density) * flow_signed_root(drop, laminar_drop);
}

double flow_trim_gas(double area, double choking, struct flow_side a, struct flow_side b,
                     double laminar_drop) {
    double drop = a.pressure - b.pressure;
    struct flow_side up = drop >= 0.0 ? a : b;
    double ratio = fabs(drop) / up.pressure;
    if (ratio >= choking) { // Y = 2/3
        double flow = area * (2.0 / 3.0) * sqrt(choking * up.pressure * up.density);
        return drop >= 0.0 ? flow : -flow;
    }
    double expansion = 1.0 - ratio / (3.0 * choking);
    return area * expansion * sqrt(up.density) * flow_signed_root(drop, laminar_drop);
}

double flow_trim_liquid(double area, double density, double drop, double choked_drop,
                        double laminar_drop) {
    double limited = either_smaller(either_larger(drop, -choked_drop), choked_drop);
    return area * sqrt(density) * flow_signed_root(limited, laminar_drop);
}

double flow_laminar_gas_conductance(double bore, double length, double viscosity, double molar_mass,
                                    double z_temperature) {
    double d2 = bore * bore;
    return PI * d2 * d2 * molar_mass / (256.0 * viscosity * length * GAS_CONSTANT * z_temperature);
}

double flow_laminar_liquid_conductance(double bore, double length, double viscosity,
                                       double density) {
    double d2 = bore * bore;
    return PI * d2 * d2 * density / (128.0 * viscosity * length);
}
