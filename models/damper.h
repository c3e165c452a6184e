// SPDX-License-Identifier: MIT
// Damper of the moving assembly: a linear one, and oil pushed through a transfer hole, whose
// inertia can exceed the plug's own mass many times.
#pragma once

struct oil_damper_parameters {
    double displaced_area; // area that displaces oil A_h [m2]; 0 means no oil damper
    double hole_diameter;  // d [m]
    double hole_length;    // L [m]
    double oil_density;    // [kg/m3]
    double oil_viscosity;  // [Pa s]
    double discharge;      // discharge coefficient of the hole's entrance [-]
    double level;          // oil level above the lower edge of the hole [m]; >= d is full
};

// Share 0..1 of the full damper that the oil level leaves: a ramp over the hole's height.
double damper_fill(const struct oil_damper_parameters *oil);

// Force [N] opposing positive plug speed [m/s]: A_h (32 mu L u/d^2 + rho u|u|/(2 Cd^2)) times the
// fill, u = v A_h/(pi d^2/4). Laminar tube loss plus entrance loss; common hydraulics.
double damper_oil_force(const struct oil_damper_parameters *oil, double speed);

// Mass [kg] that the oil in the hole adds to the plug: rho L A_h^2/a_hole times the fill.
double damper_oil_mass(const struct oil_damper_parameters *oil);

// Slope of that force over the speed [N s/m].
double damper_oil_slope(const struct oil_damper_parameters *oil, double speed);
