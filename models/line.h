// SPDX-License-Identifier: MIT
// The passage that carries pressure to the diaphragm: orifice or laminar tube, with or without
// the inertia of what flows in it.
#pragma once

#include "flow.h"

#include <stdbool.h>

struct line {
    bool laminar;
    bool gas;
    double flow_area;   // Cd x area of the orifice [m2]
    double creep;       // orifice: drop over volume flow of creeping flow, flow.h [Pa s/m3]
    double conductance; // laminar: c_g [kg/(s Pa^2)] or c_l [kg/(s Pa)], see flow.h
    double inertance;   // length/area of the bore [1/m]; used when the flow is a state
};

// Mass flow [kg/s] from a to b without inertia.
double line_flow(const struct line *line, const struct nozzle *nozzle, struct flow_side a,
                 struct flow_side b);

// Rate of change [kg/s2] of the mass flow of a line with inertia:
// (A/L)(p_a - p_b - loss(w)); momentum of the slug of fluid in the bore (rigid column).
double line_flow_rate(const struct line *line, struct flow_side a, struct flow_side b, double flow);
