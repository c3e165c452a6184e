// SPDX-License-Identifier: MIT
// The laws of flow (flow.h, line.h, inflow.h) with their slopes over all that they depend on,
// derived by hand. tests/test_regulator_slopes.c holds them against differences.
#pragma once

#include "flow.h"
#include "line.h"

struct flow_slope {
    double flow; // [kg/s]
    double area; // over Cd x area or A_v [kg/(s m2)]
    double from_pressure, from_density, to_pressure, to_density;
    double choking; // trim: over the choking ratio (gas) or the choked drop (liquid)
};

// flow_signed_root and its slope.
double flow_slope_root(double drop, double laminar_drop, double *slope);

struct flow_slope flow_slope_nozzle(const struct nozzle *nozzle, double area, struct flow_side a,
                                    struct flow_side b, double laminar_drop);
struct flow_slope flow_slope_orifice_liquid(double area, double density, double drop,
                                            double laminar_drop);
struct flow_slope flow_slope_trim_gas(double area, double choking, struct flow_side a,
                                      struct flow_side b, double laminar_drop);
struct flow_slope flow_slope_trim_liquid(double area, double density, double drop,
                                         double choked_drop, double laminar_drop);

// line_flow.
struct flow_slope flow_slope_line(const struct line *line, const struct nozzle *nozzle,
                                  struct flow_side a, struct flow_side b);

// line_flow_rate in `flow` [kg/s2], its slope over the line's own flow in `area` [1/s].
struct flow_slope flow_slope_line_rate(const struct line *line, struct flow_side a,
                                       struct flow_side b, double flow);
