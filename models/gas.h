// SPDX-License-Identifier: MIT
// Properties of a gas stream: one molar mass, one compressibility factor and one isentropic
// exponent per stream, so that throttling neither heats nor cools the ideal part of the model.
// Does not flash, does not mix: water and condensate are left out.
#pragma once

// Universal gas constant [J/(mol K)], CODATA 2018 exact value.
#define GAS_CONSTANT 8.31446261815324
// Molar mass of dry air [kg/mol], ISO 2533 (the unit of gas gravity).
#define GAS_AIR_MOLAR_MASS 0.0289647

struct gas_properties {
    double molar_mass;      // [kg/mol]
    double exponent;        // ideal-gas (or isentropic) exponent k [-], never the real cp/cv
    double compressibility; // Z [-]
    double viscosity;       // dynamic viscosity [Pa s], used by laminar lines only
};

struct gas_pseudocritical {
    double pressure;    // [Pa]
    double temperature; // [K]
};

// Pseudocritical point of a sweet natural gas from its gravity (air = 1).
// Source: R. P. Sutton, SPE 14265 (1985), the quadratic fits in gravity. Valid 0.57..1.68.
struct gas_pseudocritical gas_pseudocritical_sutton(double gravity);

// Compressibility factor from pseudo-reduced pressure and temperature.
// Source: P. M. Dranchuk and J. H. Abou-Kassem, J. Can. Pet. Tech. 14 (1975).
// Valid for 0.2 <= p_r < 30 and 1.0 < T_r <= 3.0; tends to 1 as p_r goes to 0.
// Returns NaN if the density iteration does not converge.
double gas_compressibility_dranchuk(double reduced_pressure, double reduced_temperature);

// Z of a natural gas of the given gravity [-] at absolute pressure [Pa] and temperature [K].
double gas_compressibility_gravity(double gravity, double pressure, double temperature);

// Dynamic viscosity [Pa s] of a natural gas of molar mass [kg/mol] and density [kg/m3] at [K].
// Source: A. L. Lee, M. H. Gonzalez, B. E. Eakin, J. Pet. Tech. 18 (1966).
double gas_viscosity_lee(double molar_mass, double density, double temperature);

// Density [kg/m3] at absolute pressure [Pa] and temperature [K].
double gas_density(const struct gas_properties *gas, double pressure, double temperature);

// Thermal conductivity of a dilute gas [W/(m K)], mu (c_v + 9/4 R/M); within a tenth of measured
// ones. Source: A. Eucken, Phys. Z. 14 (1913) 324 (value from memory).
double gas_conductivity(const struct gas_properties *gas);

// Heat capacity of the constant-Z, constant-k gas at constant volume [J/(kg K)]: Z R / (M (k - 1)).
double gas_heat_capacity_volume(const struct gas_properties *gas);
