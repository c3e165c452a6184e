// SPDX-License-Identifier: MIT
#include "flow_slope.h"

#include <math.h>

// With s = d^2 + l^2:  g = d s^(-1/4),  g' = s^(-1/4) (1 - d^2/(2 s)).
double flow_slope_root(double drop, double laminar_drop, double *slope) {
    double square = drop * drop + laminar_drop * laminar_drop;
    double root = sqrt(sqrt(square));
    *slope = (1.0 - 0.5 * drop * drop / square) / root;
    return drop / root;
}

// Adds what comes by the side upstream and the side downstream.
static void by_sides(struct flow_slope *s, bool forward, const double up[2], const double down[2]) {
    s->from_pressure += forward ? up[0] : down[0];
    s->from_density += forward ? up[1] : down[1];
    s->to_pressure += forward ? down[0] : up[0];
    s->to_density += forward ? down[1] : up[1];
}

struct flow_slope flow_slope_nozzle(const struct nozzle *nozzle, double area, struct flow_side a,
                                    struct flow_side b, double laminar_drop) {
    double drop = a.pressure - b.pressure;
    bool forward = drop >= 0.0;
    struct flow_side up = forward ? a : b;
    double ratio = 1.0 - fabs(drop) / up.pressure;
    struct flow_slope s = {0};
    const double still[2] = {0.0, 0.0};
    if (ratio < nozzle->critical_ratio) {
        double each = sqrt(up.pressure * up.density * nozzle->choked_square);
        s.area = forward ? each : -each;
        s.flow = area * s.area;
        const double own[2] = {0.5 * s.flow / up.pressure, 0.5 * s.flow / up.density};
        by_sides(&s, forward, own, still);
        return s;
    }
    double bend, quotient = nozzle_quotient_slope(nozzle, ratio, &bend);
    double root_slope, root = flow_slope_root(drop, laminar_drop, &root_slope);
    double dense = sqrt(up.density * quotient);
    s.area = dense * root;
    s.flow = area * s.area;
    s.from_pressure = area * dense * root_slope;
    s.to_pressure = -s.from_pressure;
    // The ratio is p_down/p_up.
    double by_ratio = 0.5 * s.flow * bend / quotient / up.pressure;
    const double own[2] = {-ratio * by_ratio, 0.5 * s.flow / up.density};
    const double other[2] = {by_ratio, 0.0};
    by_sides(&s, forward, own, other);
    return s;
}

struct flow_slope flow_slope_orifice_liquid(double area, double density, double drop,
                                            double laminar_drop) {
    double slope, root = flow_slope_root(drop, laminar_drop, &slope), dense = sqrt(2.0 * density);
    struct flow_slope s = {.flow = area * dense * root, .area = dense * root};
    s.from_pressure = area * dense * slope;
    s.to_pressure = -s.from_pressure;
    return s;
}

struct flow_slope flow_slope_trim_gas(double area, double choking, struct flow_side a,
                                      struct flow_side b, double laminar_drop) {
    double drop = a.pressure - b.pressure;
    bool forward = drop >= 0.0;
    struct flow_side up = forward ? a : b;
    double ratio = fabs(drop) / up.pressure;
    struct flow_slope s = {0};
    const double still[2] = {0.0, 0.0};
    if (ratio >= choking) {
        double each = (2.0 / 3.0) * sqrt(choking * up.pressure * up.density);
        s.area = forward ? each : -each;
        s.flow = area * s.area;
        s.choking = 0.5 * s.flow / choking;
        const double own[2] = {0.5 * s.flow / up.pressure, 0.5 * s.flow / up.density};
        by_sides(&s, forward, own, still);
        return s;
    }
    double expansion = 1.0 - ratio / (3.0 * choking), dense = sqrt(up.density);
    double root_slope, root = flow_slope_root(drop, laminar_drop, &root_slope);
    s.area = expansion * dense * root;
    s.flow = area * s.area;
    s.choking = area * dense * root * ratio / (3.0 * choking * choking);
    s.from_pressure = area * expansion * dense * root_slope;
    s.to_pressure = -s.from_pressure;
    // The ratio is 1 - p_down/p_up.
    double by_ratio = -area * dense * root / (3.0 * choking) / up.pressure;
    const double own[2] = {(1.0 - ratio) * by_ratio, 0.5 * s.flow / up.density};
    const double other[2] = {-by_ratio, 0.0};
    by_sides(&s, forward, own, other);
    return s;
}

struct flow_slope flow_slope_trim_liquid(double area, double density, double drop,
                                         double choked_drop, double laminar_drop) {
    double limited = fmin(fmax(drop, -choked_drop), choked_drop), dense = sqrt(density);
    double slope, root = flow_slope_root(limited, laminar_drop, &slope);
    struct flow_slope s = {.flow = area * dense * root, .area = dense * root};
    double by_drop = area * dense * slope;
    if (limited == drop) {
        s.from_pressure = by_drop;
        s.to_pressure = -by_drop;
    } else {
        s.choking = drop > 0.0 ? by_drop : -by_drop;
    }
    return s;
}

// w^2/|drop| of a nozzle and its slopes, as flow_nozzle_square.
static struct flow_slope nozzle_square_slopes(const struct nozzle *nozzle, double area,
                                              struct flow_side a, struct flow_side b) {
    double drop = fabs(a.pressure - b.pressure);
    bool forward = a.pressure >= b.pressure;
    struct flow_side up = forward ? a : b;
    double ratio = 1.0 - drop / up.pressure, whole = area * area * up.density;
    struct flow_slope s = {0};
    double own[2], other[2] = {0.0, 0.0};
    if (ratio < nozzle->critical_ratio) {
        s.flow = whole * up.pressure * nozzle->choked_square / drop;
        own[0] = s.flow / up.pressure - s.flow / drop;
        other[0] = s.flow / drop;
    } else {
        double bend;
        s.flow = whole * nozzle_quotient_slope(nozzle, ratio, &bend);
        own[0] = -ratio * whole * bend / up.pressure;
        other[0] = whole * bend / up.pressure;
    }
    own[1] = s.flow / up.density;
    by_sides(&s, forward, own, other);
    return s;
}

// The flow w that solves w |w|/S + w/L = drop moves by (d drop + w |w|/S^2 dS + w/L^2 dL) over
// 2 |w|/S + 1/L.
static struct flow_slope orifice_line_slopes(const struct line *line, const struct nozzle *nozzle,
                                             struct flow_side a, struct flow_side b) {
    double drop = a.pressure - b.pressure;
    struct flow_slope square = {.flow = 2.0 * (drop >= 0.0 ? a : b).density * line->flow_area *
                                        line->flow_area};
    if (line->gas) {
        square = nozzle_square_slopes(nozzle, line->flow_area, a, b);
    }
    double linear = 0.5 * (a.density + b.density) / line->creep;
    struct flow_slope s = {.flow = flow_two_regime(drop, square.flow, linear)};
    double resistance = 2.0 * fabs(s.flow) / square.flow + 1.0 / linear;
    if (!(resistance > 0.0)) {
        return s;
    }
    double by_drop = 1.0 / resistance;
    double by_square = s.flow * fabs(s.flow) / (square.flow * square.flow) * by_drop;
    double by_density = 0.0; // of the mean; a liquid's is the same everywhere
    if (line->gas && line->creep > 0.0) {
        by_density = s.flow / (linear * linear) * by_drop * 0.5 / line->creep;
    }
    s.from_pressure = by_drop + by_square * square.from_pressure;
    s.to_pressure = -by_drop + by_square * square.to_pressure;
    s.from_density = by_density + by_square * square.from_density;
    s.to_density = by_density + by_square * square.to_density;
    return s;
}

struct flow_slope flow_slope_line(const struct line *line, const struct nozzle *nozzle,
                                  struct flow_side a, struct flow_side b) {
    if (!line->laminar) {
        return orifice_line_slopes(line, nozzle, a, b);
    }
    double c = line->conductance;
    struct flow_slope s = {.flow = line_flow(line, nozzle, a, b), .from_pressure = c};
    s.from_pressure = line->gas ? 2.0 * c * a.pressure : c;
    s.to_pressure = line->gas ? -2.0 * c * b.pressure : -c;
    return s;
}

struct flow_slope flow_slope_line_rate(const struct line *line, struct flow_side a,
                                       struct flow_side b, double flow) {
    double inverse = 1.0 / line->inertance;
    struct flow_slope s = {.flow = line_flow_rate(line, a, b, flow),
                           .from_pressure = inverse,
                           .to_pressure = -inverse};
    if (line->laminar) {
        double mean = line->gas ? a.pressure + b.pressure : 1.0;
        double resistance = 1.0 / (line->conductance * mean);
        s.area = -resistance * inverse;
        double by_mean = line->gas ? flow * resistance / mean * inverse : 0.0;
        s.from_pressure += by_mean;
        s.to_pressure += by_mean;
        return s;
    }
    bool forward = flow >= 0.0;
    double density = forward ? a.density : b.density, mean = 0.5 * (a.density + b.density);
    double area = line->flow_area * line->flow_area;
    s.area = -(fabs(flow) / (density * area) + line->creep / mean) * inverse;
    double by_up = flow * fabs(flow) / (2.0 * density * density * area) * inverse;
    double by_mean = 0.5 * line->creep * flow / (mean * mean) * inverse;
    s.from_density = by_mean + (forward ? by_up : 0.0);
    s.to_density = by_mean + (forward ? 0.0 : by_up);
    return s;
}
