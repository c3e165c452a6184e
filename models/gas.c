// SPDX-License-Identifier: MIT
#include "gas.h"

#include <math.h>

struct gas_pseudocritical gas_pseudocritical_sutton(double gravity) {
    // Sutton's fits in psia and degrees Rankine, brought to SI.
    double pressure_psia = 756.8 - 131.07 * gravity - 3.6 * gravity * gravity;
    double temperature_rankine = 169.2 + 349.5 * gravity - 74.0 * gravity * gravity;
    return (struct gas_pseudocritical){.pressure = pressure_psia * 6894.757293168361,
                                       .temperature = temperature_rankine / 1.8};
}

// Z of Dranchuk and Abou-Kassem as an explicit function of reduced density, and its slope.
static double dranchuk_z(double density, double tr, double *slope) {
    static const double a[12] = {0.0,    0.3265,  -1.0700, -0.5339, 0.01569, -0.05165,
                                 0.5475, -0.7361, 0.1844,  0.1056,  0.6134,  0.7210};
    double r = density, r2 = r * r;
    double c1 = a[1] + a[2] / tr + a[3] / pow(tr, 3) + a[4] / pow(tr, 4) + a[5] / pow(tr, 5);
    double c2 = a[6] + a[7] / tr + a[8] / (tr * tr);
    double c3 = a[9] * (a[7] / tr + a[8] / (tr * tr));
    double c4 = a[10] / pow(tr, 3);
    double damp = exp(-a[11] * r2);
    double tail = c4 * r2 * (1.0 + a[11] * r2) * damp;
    double tail_slope = c4 * damp * 2.0 * r * (1.0 + a[11] * r2 - a[11] * a[11] * r2 * r2);
    *slope = c1 + 2.0 * c2 * r - 5.0 * c3 * r2 * r2 + tail_slope;
    return 1.0 + c1 * r + c2 * r2 - c3 * r2 * r2 * r + tail;
}

double gas_compressibility_dranchuk(double reduced_pressure, double reduced_temperature) {
    // Reduced density r = 0.27 p_r / (Z T_r); Newton on r Z(r) T_r / 0.27 = p_r from the ideal gas.
    double scale = 0.27 / reduced_temperature;
    double r = scale * reduced_pressure;
    for (int i = 0; i < 60; i++) {
        double slope;
        double z = dranchuk_z(r, reduced_temperature, &slope);
        double miss = r * z - scale * reduced_pressure;
        double step = miss / (z + r * slope);
        r -= step;
        if (fabs(step) <= 1e-14 * (1.0 + fabs(r))) {
            return dranchuk_z(r, reduced_temperature, &slope);
        }
    }
    return (double)NAN;
}

double gas_compressibility_gravity(double gravity, double pressure, double temperature) {
    struct gas_pseudocritical pc = gas_pseudocritical_sutton(gravity);
    return gas_compressibility_dranchuk(pressure / pc.pressure, temperature / pc.temperature);
}

double gas_viscosity_lee(double molar_mass, double density, double temperature) {
    // The correlation's own units: g/mol, g/cm3, degrees Rankine, and 1e-4 cP out.
    double m = molar_mass * 1e3, rho = density * 1e-3, t = temperature * 1.8;
    double k = (9.4 + 0.02 * m) * pow(t, 1.5) / (209.0 + 19.0 * m + t);
    double x = 3.5 + 986.0 / t + 0.01 * m;
    double y = 2.4 - 0.2 * x;
    return 1e-7 * k * exp(x * pow(rho, y));
}

double gas_density(const struct gas_properties *gas, double pressure, double temperature) {
    return pressure * gas->molar_mass / (gas->compressibility * GAS_CONSTANT * temperature);
}

double gas_conductivity(const struct gas_properties *gas) {
    return gas->viscosity * (gas_heat_capacity_volume(gas) + 2.25 * GAS_CONSTANT / gas->molar_mass);
}

double gas_heat_capacity_volume(const struct gas_properties *gas) {
    return gas->compressibility * GAS_CONSTANT / (gas->molar_mass * (gas->exponent - 1.0));
}
