// SPDX-License-Identifier: MIT
// A volume of gas or liquid: from what it holds to its pressure.
#pragma once

#include "flow.h"

// Gas with mass m [kg] and internal energy U [J] in V [m3]: p = (k-1) U/V, specific enthalpy k U/m.
static inline struct flow_side volume_gas(double mass, double energy, double volume,
                                          double exponent) {
    double inverse = 1.0 / volume;
    return (struct flow_side){.pressure = (exponent - 1.0) * energy * inverse,
                              .density = mass * inverse};
}

// Gas at a fixed temperature: p = rho (Z R T/M).
static inline struct flow_side volume_gas_isothermal(double mass, double volume,
                                                     double pressure_per_density) {
    double density = mass / volume;
    return (struct flow_side){.pressure = pressure_per_density * density, .density = density};
}

// Liquid: the state is the excess volume e [m3] held above the volume at the reference pressure,
// less what the walls have made room for: p = p_ref + e K/V. Kept as an excess, the balance stays
// linear (exact under integration) and no digits are lost to the large bulk modulus.
static inline double volume_liquid_pressure(double excess, double reference, double compliance) {
    return reference + excess / compliance;
}

// Liquid under a gas cap of V_g [m3] at the reference pressure (isothermal, the cap's give far
// above the liquid's own): p = p_ref V_g/(V_g - e).
static inline double volume_gas_cap_pressure(double excess, double reference, double cap) {
    return reference * cap / (cap - excess);
}
