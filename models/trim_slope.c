// SPDX-License-Identifier: MIT
// Slopes of the trim's laws, derived by hand.
#include "flow.h"
#include "trim.h"

#include <math.h>

// The cubic of trim_table_value in u, over the span.
double trim_table_slope(const struct trim_table *table, double position) {
    size_t n = table->count, i = 0;
    if (n == 0 || position <= table->position[0] || position >= table->position[n - 1]) {
        return 0.0;
    }
    while (position > table->position[i + 1]) {
        i++;
    }
    double span = table->position[i + 1] - table->position[i];
    double u = (position - table->position[i]) / span, v = 1.0 - u;
    double rise = table->value[i + 1] - table->value[i];
    double a = table->slope[i] * span - rise, b = rise - table->slope[i + 1] * span;
    return (rise + (v - u) * (v * a + u * b) + u * v * (b - a)) / span;
}

// s/sqrt(1 + s^2) rises by (1 + s^2)^(-3/2).
static double curtain_share_slope(const struct trim *trim, double travel) {
    double per_travel = 4.0 / trim->parameters.port_diameter, s = per_travel * travel;
    double square = 1.0 + s * s;
    return per_travel / (square * sqrt(square) * trim->curtain_rated);
}

static double equal_percentage_slope(const struct trim *trim, double h) {
    double joint = trim->parameters.shutoff_travel / trim->parameters.rated_travel;
    if (h >= joint) {
        return trim->log_rangeability * exp(trim->log_rangeability * (h - 1.0));
    }
    double value = exp(trim->log_rangeability * (joint - 1.0));
    double bend = trim->log_rangeability * joint, u = h / joint;
    return value * ((2.0 - bend) + 2.0 * (bend - 1.0) * u) / joint;
}

double trim_opening_slope(const struct trim *trim, double travel) {
    const struct trim_parameters *p = &trim->parameters;
    if (travel <= 0.0) {
        return 0.0;
    }
    double h = travel / p->rated_travel, slope = 1.0; // over h; linear and slot
    switch (p->characteristic) {
    case TRIM_CURTAIN:
        slope = curtain_share_slope(trim, travel) * p->rated_travel;
        break;
    case TRIM_EQUAL_PERCENTAGE:
        slope = equal_percentage_slope(trim, h);
        break;
    case TRIM_QUICK_OPENING:
        slope = h < 1.0 ? 2.0 * (1.0 - h) : 0.0;
        break;
    case TRIM_TABLE:
        slope = trim_table_slope(&p->flow_table, h);
        break;
    case TRIM_LINEAR:
    case TRIM_SLOT:
        break;
    }
    return (1.0 - p->seat_leak) * slope / p->rated_travel;
}

// q/sqrt(1 - q^2) rises by (1 - q^2)^(-3/2).
double trim_curtain_slope(const struct trim *trim, double opening) {
    double q = opening * trim->curtain_rated, rest = 1.0 - q * q;
    if (rest <= 1e-6) { // as trim_curtain_ratio
        return trim->curtain_rated * 1e3;
    }
    return trim->curtain_rated / (rest * sqrt(rest));
}

// psi^2 above, (1 - r) Q, and its slope.
static double nozzle_square_slope(const struct nozzle *n, double ratio, double *slope) {
    if (ratio <= n->critical_ratio) {
        *slope = 0.0;
        return n->choked_square;
    }
    double bend, quotient = nozzle_quotient_slope(n, ratio, &bend);
    *slope = (1.0 - ratio) * bend - quotient;
    return (1.0 - ratio) * quotient;
}

// The balance s^2 C(m) = m^2 P(r/m) of trim.c holds along ds and dr, hence
//     dm/ds = -2 s C/F,   dm/dr = m P'/F,   F = s^2 C' - 2 m P + r P',
// and the share is (1 - m)/(1 - r).
double trim_drop_share_slopes(const struct nozzle *n, double curtain, double ratio, bool port_first,
                              double slope[2]) {
    double push = trim_drop_share_gas(n, curtain, ratio, port_first), d = 1.0 - ratio;
    if (d < 1e-9) {
        slope[0] = -2.0 * curtain * push * push;
        slope[1] = 0.0;
        return push;
    }
    double s = port_first ? 1.0 / curtain : curtain;
    double share = port_first ? 1.0 - push : push, m = 1.0 - share * d;
    double curtain_bend, port_bend;
    double first = nozzle_square_slope(n, m, &curtain_bend);
    double second = nozzle_square_slope(n, ratio / m, &port_bend);
    double whole = s * s * curtain_bend - 2.0 * m * second + ratio * port_bend;
    double by_curtain = 2.0 * s * first / (whole * d);
    double by_ratio = (share - m * port_bend / whole) / d;
    slope[0] = port_first ? by_curtain * s * s : by_curtain;
    slope[1] = port_first ? -by_ratio : by_ratio;
    return push;
}
