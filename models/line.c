// SPDX-License-Identifier: MIT
#include "line.h"

#include <math.h>

// An orifice loses rho V^2/(2 Cd^2) by inertia and creep x Q by slow flow (flow_creep). We add the
// two, as handbooks add A/Re and a constant to one loss coefficient (I. E. Idelchik, Handbook of
// Hydraulic Resistance: the form, not its figures) and viscometry adds the kinetic energy to
// Poiseuille's drop (Hagenbach). Standards of flow metering (ISO 5167) do not cover low Reynolds
// numbers. With Re = V d/nu and V = Q/A the loss coefficient is 1/Cd^2 + B/Re, so that
//
//     Cd(Re) = Cd/sqrt(1 + B Cd^2/Re),     B = 12 pi + 64 L/d
//
// is Cd far above Re = B Cd^2, where both losses are equal, and sqrt(Re/B) far below: there flow is
// proportional to the drop. Cd 0.8: Re 24 for a hole in a thin wall, 2500 for 60 bores.
double line_flow(const struct line *line, const struct nozzle *nozzle, struct flow_side a,
                 struct flow_side b) {
    double drop = a.pressure - b.pressure;
    if (line->laminar) {
        double mean = line->gas ? a.pressure + b.pressure : 1.0;
        return line->conductance * mean * drop;
    }
    double density = drop >= 0.0 ? a.density : b.density;
    double square = line->gas ? flow_nozzle_square(nozzle, line->flow_area, a, b)
                              : 2.0 * density * line->flow_area * line->flow_area;
    // The slow part takes the mean density, which does not jump when the flow turns round.
    return flow_two_regime(drop, square, 0.5 * (a.density + b.density) / line->creep);
}

double line_flow_rate(const struct line *line, struct flow_side a, struct flow_side b,
                      double flow) {
    double loss;
    if (line->laminar) {
        double mean = line->gas ? a.pressure + b.pressure : 1.0;
        loss = flow / (line->conductance * mean);
    } else { // incompressible orifice: the drop along a sense line is a small part of the pressure
        double density = flow >= 0.0 ? a.density : b.density;
        loss = flow * fabs(flow) / (2.0 * density * line->flow_area * line->flow_area) +
               line->creep * flow / (0.5 * (a.density + b.density));
    }
    return (a.pressure - b.pressure - loss) / line->inertance;
}
