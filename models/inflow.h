// SPDX-License-Identifier: MIT
// What the well gives and what the user takes, where either depends on pressure.
#pragma once

// Inflow [kg/s] on a straight productivity line through the scheduled rate at the reference
// pressure and zero at the well's shut-in pressure; never negative (a check valve is assumed).
// well_pressure 0 means the rate does not depend on pressure.
double inflow_productivity(double rate, double pressure, double reference, double well_pressure);

// Demand [kg/s] of a user that takes the scheduled rate whatever the pressure, as long as there is
// pressure: it fades to nothing over the last 5 % of the way from the reference to the outlet
// pressure, which must be lower (our own blend, no source), since nobody draws flow out of an
// emptied volume. The outlet pressure is the lowest that the user can draw from: the atmosphere for
// one who lets gas out, nothing for a machine that sucks.
double inflow_constant_demand(double rate, double pressure, double reference, double outlet);

struct nozzle;

// Demand [kg/s] through a fixed opening that passes the scheduled rate at the reference pressure:
// rate x p psi(outlet/p) / (p_ref psi(outlet/p_ref)). Isentropic nozzle, constant temperature.
double inflow_orifice_demand(const struct nozzle *nozzle, double rate, double pressure,
                             double reference, double outlet, double laminar_drop);

// The same for a liquid: rate x sqrt((p - outlet)/(p_ref - outlet)).
double inflow_orifice_demand_liquid(double rate, double pressure, double reference, double outlet,
                                    double laminar_drop);
