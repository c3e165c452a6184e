// SPDX-License-Identifier: MIT
// Properties of a liquid stream, and the surge that stopping it suddenly makes.
#pragma once

struct liquid_properties {
    double density;           // [kg/m3]
    double bulk_modulus;      // effective, with the walls' give [Pa]
    double vapour_pressure;   // [Pa] absolute
    double critical_pressure; // thermodynamic critical pressure [Pa] absolute
    double viscosity;         // dynamic viscosity [Pa s]
};

// Critical pressure ratio factor FF [-] = 0.96 - 0.28 sqrt(pv/pc). Source: IEC 60534-2-1.
double liquid_critical_ratio_factor(const struct liquid_properties *liquid);

// Surge [Pa] when a stream of the given velocity [m/s] stops at once: rho a v.
// Source: N. Joukowsky (1898).
double liquid_surge_pressure(double density, double wave_speed, double velocity);
