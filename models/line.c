// SPDX-License-Identifier: MIT
#include "line.h"

#include <math.h>

double line_flow(const struct line *line, const struct nozzle *nozzle, struct flow_side a,
                 struct flow_side b) {
    double drop = a.pressure - b.pressure;
    if (line->laminar) {
        double mean = line->gas ? a.pressure + b.pressure : 1.0;
        return line->conductance * mean * drop;
    }
    if (line->gas) {
        return flow_nozzle(nozzle, line->flow_area, a, b, line->laminar_drop);
    }
    return flow_orifice_liquid(line->flow_area, drop >= 0.0 ? a.density : b.density, drop,
                               line->laminar_drop);
}

double line_flow_rate(const struct line *line, struct flow_side a, struct flow_side b,
                      double flow) {
    double loss;
    if (line->laminar) {
        double mean = line->gas ? a.pressure + b.pressure : 1.0;
        loss = flow / (line->conductance * mean);
    } else { // incompressible orifice: the drop along a sense line is a small part of the pressure
        double density = flow >= 0.0 ? a.density : b.density;
        loss = flow * fabs(flow) / (2.0 * density * line->flow_area * line->flow_area);
    }
    return (a.pressure - b.pressure - loss) / line->inertance;
}
