// SPDX-License-Identifier: MIT
#include "inflow.h"

#include "either.h"
#include "flow.h"

#include <math.h>

double inflow_productivity(double rate, double pressure, double reference, double well_pressure) {
    if (well_pressure <= 0.0) {
        return rate;
    }
    return rate * either_larger(0.0, (well_pressure - pressure) / (well_pressure - reference));
}

double inflow_constant_demand(double rate, double pressure, double reference, double outlet) {
    double u = (pressure - outlet) / (0.05 * (reference - outlet));
    if (u >= 1.0) {
        return rate;
    }
    return u <= 0.0 ? 0.0 : rate * u * u * (3.0 - 2.0 * u);
}

double inflow_orifice_demand(const struct nozzle *nozzle, double rate, double pressure,
                             double reference, double outlet, double laminar_drop) {
    // At one temperature density is proportional to pressure, so its constant cancels.
    struct flow_side beyond = {outlet, outlet};
    double now =
        flow_nozzle(nozzle, 1.0, (struct flow_side){pressure, pressure}, beyond, laminar_drop);
    double rated =
        flow_nozzle(nozzle, 1.0, (struct flow_side){reference, reference}, beyond, laminar_drop);
    return rate * now / rated;
}

double inflow_orifice_demand_liquid(double rate, double pressure, double reference, double outlet,
                                    double laminar_drop) {
    return rate * flow_signed_root(pressure - outlet, laminar_drop) /
           flow_signed_root(reference - outlet, laminar_drop);
}
