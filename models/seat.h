// SPDX-License-Identifier: MIT
// The flat land of a seat: pressure in the gap between land and plug, for both flow directions.
// Radial flow between parallel discs with inertia and friction. Does not know how much flows.
#pragma once

#include <stdbool.h>

// What one direction of flow makes of the land, prepared once. A share is the mean over the land's
// area of (p - p_exit)/(p_entry - p_exit), were that part of the drop alone.
struct seat_direction {
    double slow_share;    // laminar friction [-]
    double fast_share;    // turbulent friction [-]
    double inertia_share; // changing speed; negative where the gap is a diffuser [-]
    double fast_gap;      // gap at which turbulent friction equals the velocity head [m]
    double slow_drag;     // laminar drop = slow_drag x speed at the exit / gap^2 [Pa s m]
};

struct seat {
    double inner_area; // inside the land: the port [m2]
    double land_area;  // [m2]; 0: no land
    struct seat_direction inward, outward;
};

// What stands before and behind the gap.
struct seat_flow {
    double entry, exit;    // pressures [Pa], entry >= exit
    double density;        // at the entry [kg/m3]
    double critical_ratio; // of the gas [-]; 0: a liquid
    bool inward;           // over the plug into the port; else from the port outward
};

// Port diameter and width of the land [m], dynamic viscosity [Pa s].
struct seat seat_prepare(double port_diameter, double land, double viscosity);

// Mean pressure over the land [Pa] at a gap [m]; a gap below zero counts as shut. Smooth in all
// its arguments; equal to the exit pressure when there is no drop.
double seat_land_pressure(const struct seat *seat, double gap, const struct seat_flow *flow);

// The same, and its slopes over gap, entry, exit and density.
double seat_land_slopes(const struct seat *seat, double gap, const struct seat_flow *flow,
                        double slope[4]);
