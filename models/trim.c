// SPDX-License-Identifier: MIT
#include "trim.h"

#include "either.h"
#include "flow.h"

#include <math.h>

#define PI 3.141592653589793

void trim_table_prepare(struct trim_table *table) {
    size_t n = table->count;
    double secant[TRIM_TABLE_MAX];
    for (size_t i = 0; i + 1 < n; i++) {
        secant[i] =
            (table->value[i + 1] - table->value[i]) / (table->position[i + 1] - table->position[i]);
    }
    for (size_t i = 0; i < n; i++) {
        if (i == 0 || i + 1 == n) {
            table->slope[i] = n < 2 ? 0.0 : secant[i == 0 ? 0 : n - 2];
        } else if (secant[i - 1] * secant[i] <= 0.0) {
            table->slope[i] = 0.0;
        } else {
            table->slope[i] = 2.0 * secant[i - 1] * secant[i] / (secant[i - 1] + secant[i]);
        }
    }
}

double trim_table_value(const struct trim_table *table, double position) {
    size_t n = table->count;
    if (n == 0) {
        return 0.0;
    }
    if (position <= table->position[0]) {
        return table->value[0];
    }
    if (position >= table->position[n - 1]) {
        return table->value[n - 1];
    }
    size_t i = 0;
    while (position > table->position[i + 1]) {
        i++;
    }
    double span = table->position[i + 1] - table->position[i];
    double u = (position - table->position[i]) / span;
    double rise = table->value[i + 1] - table->value[i];
    double a = table->slope[i] * span - rise, b = rise - table->slope[i + 1] * span;
    return table->value[i] + u * rise + u * (1.0 - u) * ((1.0 - u) * a + u * b);
}

static double curtain_share(double s) {
    return s / sqrt(1.0 + s * s);
}

struct trim trim_prepare(const struct trim_parameters *parameters) {
    struct trim t = {.parameters = *parameters};
    const struct trim_parameters *p = &t.parameters;
    double d = p->port_diameter;
    t.port_area = 0.25 * PI * d * d;
    t.curtain_rated = d > 0.0 ? curtain_share(4.0 * p->rated_travel / d) : 1.0;
    t.log_rangeability = p->rangeability > 1.0 ? log(p->rangeability) : 0.0;
    trim_table_prepare(&t.parameters.flow_table);
    trim_table_prepare(&t.parameters.force_table);
    double geometric = p->characteristic == TRIM_SLOT ? p->slot_width * p->rated_travel
                                                      : t.port_area * t.curtain_rated;
    double area = p->rated_area;
    if (area <= 0.0) { // w = Cd A sqrt(2 rho dp) against w = A_v sqrt(rho dp)
        area = p->discharge_coefficient * geometric * sqrt(2.0);
    }
    t.rated_area = area * p->piping_factor;
    t.nozzle_area = p->discharge_coefficient * geometric * p->piping_factor;
    return t;
}

// R^(h-1), and below the shut-off travel a parabola from zero that meets it in value and slope,
// because R^-1 never shuts.
static double equal_percentage(const struct trim *trim, double h) {
    double joint = trim->parameters.shutoff_travel / trim->parameters.rated_travel;
    if (h >= joint) {
        return exp(trim->log_rangeability * (h - 1.0));
    }
    double value = exp(trim->log_rangeability * (joint - 1.0));
    double bend = trim->log_rangeability * joint;
    double u = h / joint;
    return value * u * ((2.0 - bend) + (bend - 1.0) * u);
}

double trim_opening(const struct trim *trim, double travel) {
    const struct trim_parameters *p = &trim->parameters;
    double leak = p->seat_leak;
    if (travel <= 0.0) {
        return leak;
    }
    double h = travel / p->rated_travel;
    double open = h; // linear and slot
    switch (p->characteristic) {
    case TRIM_CURTAIN:
        open = curtain_share(4.0 * travel / p->port_diameter) / trim->curtain_rated;
        break;
    case TRIM_EQUAL_PERCENTAGE:
        open = equal_percentage(trim, h);
        break;
    case TRIM_QUICK_OPENING: // a flat disc: the gain falls in proportion to the travel left
        open = h < 1.0 ? h * (2.0 - h) : 1.0;
        break;
    case TRIM_TABLE:
        open = trim_table_value(&p->flow_table, h);
        break;
    case TRIM_LINEAR:
    case TRIM_SLOT:
        break;
    }
    return leak + (1.0 - leak) * open;
}

double trim_curtain_ratio(const struct trim *trim, double opening) {
    double q = opening * trim->curtain_rated;
    double rest = 1.0 - q * q;
    return q / sqrt(either_larger(rest, 1e-6)); // a trim beyond its port's area counts as s = 1000
}

double trim_drop_share_liquid(double curtain_ratio) {
    return 1.0 / (1.0 + curtain_ratio * curtain_ratio);
}

// psi^2 divided by (1 - r): Q above the critical ratio, the choked constant below it.
static double flow_square(const struct nozzle *n, double ratio, double gap, double *slope) {
    if (ratio <= n->critical_ratio) {
        *slope = 0.0;
        return n->choked_square;
    }
    double q_slope, q = nozzle_quotient_slope(n, ratio, &q_slope);
    *slope = gap * q_slope - q;
    return gap * q;
}

// First guess of the share from the ellipse that nearly is the nozzle function: psi^2 is then a
// quadratic in the ratio, and so is the balance of the two flows (derivation: our own algebra).
static double share_guess(const struct nozzle *n, double s, double r) {
    double rc = n->critical_ratio, a = 1.0 - rc, d = 1.0 - r, s2 = s * s;
    double e = 1.0 - 2.0 * rc + r, f = d * (1.0 - 2.0 * rc);
    double qa = f + s2 * d, qb = e + f + 2.0 * a * s2;
    double share = 2.0 * e / (qb + sqrt(either_larger(qb * qb - 4.0 * qa * e, 0.0)));
    double middle = 1.0 - share * d;
    if (r < rc * middle) { // port choked
        double h = a * (a + s2);
        share = a * a / (h + sqrt(either_larger(h * h - (a * a + s2) * a * a, 0.0))) / d;
        middle = 1.0 - share * d;
    }
    if (middle < rc) { // curtain choked
        middle = r < rc * s ? s : either_larger(r, 0.5 * (r + sqrt(r * r + 4.0 * s2 * a * a)));
        share = (1.0 - middle) / d;
    }
    return either_smaller(either_larger(share, 0.0), 1.0);
}

// Share of the drop taken by the first of two openings in series, s being its area over that of the
// second, 1 - ratio > 0.
static double first_share(const struct nozzle *n, double s, double ratio) {
    double d = 1.0 - ratio;
    double share = share_guess(n, s, ratio), s2 = s * s;
    // Newton on ln of both sides of s^2 psi^2(m) = m^2 psi^2(r/m), m = 1 - share d. Two passes
    // bring the guess (1 %) to rounding; a fixed count keeps the call a smooth function.
    for (int i = 0; i < 3; i++) {
        double m = 1.0 - share * d, curtain_slope, port_slope;
        double curtain = flow_square(n, m, share * d, &curtain_slope);
        double port_ratio = ratio / m;
        double port = flow_square(n, port_ratio, d * (1.0 - share) / m, &port_slope);
        double miss = s2 * curtain - m * m * port;
        double slope = s2 * curtain_slope - 2.0 * m * port + ratio * port_slope;
        if (slope == 0.0) {
            break;
        }
        share = either_smaller(either_larger(share + miss / (slope * d), 0.0), 1.0);
    }
    return share;
}

//   over the plug                        from under it
//     p1 -> curtain s A -> p_m -> port A -> p2      p1 -> port A -> p_m -> curtain s A -> p2
//     the plug feels p1 - p_m                       the plug feels p_m - p2
//
// Equal flow at one stagnation temperature, m = p_m/p1, r = p2/p1 (psi: nozzle function):
//     s psi(m) = m psi(r/m)                         psi(m) = s m psi(r/m)
// The second is the first with 1/s in the place of s: what the port takes then, the curtain leaves.
// A choked curtain at the end keeps the pressure under the plug up, so the plug feels more.
double trim_drop_share_gas(const struct nozzle *n, double s, double ratio, bool port_first) {
    if (1.0 - ratio < 1e-9) { // no drop to share; the incompressible limit
        return trim_drop_share_liquid(s);
    }
    return port_first ? 1.0 - first_share(n, 1.0 / s, ratio) : first_share(n, s, ratio);
}
