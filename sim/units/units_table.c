// SPDX-License-Identifier: MIT
// Every unit there is, as whole tokens. Conversion factors are exact by definition
// (international yard and pound; standard gravity) unless a row says otherwise.
#include "units/units.h"

#include <string.h>

#define INCH 0.0254
#define FOOT 0.3048
#define POUND 0.45359237
#define POUND_FORCE 4.4482216152605
#define PSI (POUND_FORCE / (INCH * INCH))
#define GALLON (231.0 * INCH * INCH * INCH)
#define BARREL (42.0 * GALLON)
#define CUBIC_FOOT (FOOT * FOOT * FOOT)
#define DAY 86400.0
// Conventional inch of water, at 4 degC: common practice, no source.
#define INCH_WATER 249.08891
// Conventional millimetre of mercury; the torr is a 760th of an atmosphere (NIST SP 811, B.8).
#define MILLIMETRE_MERCURY 133.322387415
#define TORR (101325.0 / 760.0)
#define STANDARD_GRAVITY 9.80665
#define GAS_R 8.31446261815324
// [mol/m3] at 101.325 kPa: 15 degC (Sm3, ISO 13443) and 0 degC (Nm3).
#define MOL_PER_SM3 (101325.0 / (GAS_R * 288.15))
#define MOL_PER_NM3 (101325.0 / (GAS_R * 273.15))
// International table British thermal unit [J].
#define BTU 1055.05585262

#define PLAIN(kind, token, factor, system)                                                         \
    { kind, token, factor, 0.0, system, BASIS_PLAIN }
#define US(kind, token, factor) PLAIN(kind, token, factor, UNITS_US)
#define METRIC(kind, token, factor) PLAIN(kind, token, factor, UNITS_METRIC)
#define EITHER(kind, token, factor) PLAIN(kind, token, factor, UNITS_AS_WRITTEN)
#define LEVEL(token, factor, system)                                                               \
    {UNIT_PRESSURE_LEVEL, token "g", factor, 0.0, system, BASIS_GAUGE},                            \
        {UNIT_PRESSURE_LEVEL, token "a", factor, 0.0, system, BASIS_PLAIN},                        \
        {UNIT_PRESSURE_LEVEL, token "(g)", factor, 0.0, system, BASIS_GAUGE}, {                    \
        UNIT_PRESSURE_LEVEL, token "(a)", factor, 0.0, system, BASIS_PLAIN                         \
    }
#define FLOW(token, factor, system, basis)                                                         \
    { UNIT_FLOW, token, factor, 0.0, system, basis }
#define FLOW_PER(token, amount, system, basis)                                                     \
    FLOW(token "/d", (amount) / DAY, system, basis),                                               \
        FLOW(token "/h", (amount) / 3600.0, system, basis),                                        \
        FLOW(token "/min", (amount) / 60.0, system, basis),                                        \
        FLOW(token "/s", amount, system, basis)

// In the order of the kinds.
static const struct unit units[] = {
    EITHER(UNIT_FRACTION, "%", 0.01),

    METRIC(UNIT_LENGTH, "m", 1.0),
    METRIC(UNIT_LENGTH, "cm", 1e-2),
    METRIC(UNIT_LENGTH, "mm", 1e-3),
    METRIC(UNIT_LENGTH, "um", 1e-6),
    METRIC(UNIT_LENGTH, "km", 1e3),
    US(UNIT_LENGTH, "in", INCH),
    US(UNIT_LENGTH, "inch", INCH),
    US(UNIT_LENGTH, "\"", INCH),
    US(UNIT_LENGTH, "ft", FOOT),
    US(UNIT_LENGTH, "mil", 1e-3 * INCH),
    US(UNIT_LENGTH, "yd", 3.0 * FOOT),
    US(UNIT_LENGTH, "mile", 5280.0 * FOOT),

    METRIC(UNIT_AREA, "m2", 1.0),
    METRIC(UNIT_AREA, "cm2", 1e-4),
    METRIC(UNIT_AREA, "mm2", 1e-6),
    US(UNIT_AREA, "in2", INCH *INCH),
    US(UNIT_AREA, "ft2", FOOT *FOOT),

    METRIC(UNIT_VOLUME, "m3", 1.0),
    METRIC(UNIT_VOLUME, "cm3", 1e-6),
    METRIC(UNIT_VOLUME, "mm3", 1e-9),
    METRIC(UNIT_VOLUME, "mL", 1e-6),
    METRIC(UNIT_VOLUME, "L", 1e-3),
    US(UNIT_VOLUME, "in3", INCH *INCH *INCH),
    US(UNIT_VOLUME, "cu in", INCH *INCH *INCH),
    US(UNIT_VOLUME, "ft3", CUBIC_FOOT),
    US(UNIT_VOLUME, "cu ft", CUBIC_FOOT),
    US(UNIT_VOLUME, "cuft", CUBIC_FOOT),
    US(UNIT_VOLUME, "cf", CUBIC_FOOT),
    US(UNIT_VOLUME, "gal", GALLON),
    US(UNIT_VOLUME, "bbl", BARREL),

    METRIC(UNIT_MASS, "kg", 1.0),
    METRIC(UNIT_MASS, "g", 1e-3),
    METRIC(UNIT_MASS, "t", 1e3),
    US(UNIT_MASS, "lb", POUND),
    US(UNIT_MASS, "lbm", POUND),
    US(UNIT_MASS, "oz", POUND / 16.0),
    US(UNIT_MASS, "grain", POUND / 7000.0),
    US(UNIT_MASS, "slug", POUND_FORCE / FOOT),

    EITHER(UNIT_TIME, "s", 1.0),
    EITHER(UNIT_TIME, "ms", 1e-3),
    EITHER(UNIT_TIME, "us", 1e-6),
    EITHER(UNIT_TIME, "min", 60.0),
    EITHER(UNIT_TIME, "h", 3600.0),
    EITHER(UNIT_TIME, "d", DAY),
    EITHER(UNIT_TIME, "week", 7.0 * DAY),
    EITHER(UNIT_TIME, "yr", 365.25 * DAY),

    {UNIT_TEMPERATURE, "K", 1.0, 0.0, UNITS_METRIC, BASIS_PLAIN},
    {UNIT_TEMPERATURE, "degC", 1.0, 273.15, UNITS_METRIC, BASIS_PLAIN},
    {UNIT_TEMPERATURE, "degF", 5.0 / 9.0, 459.67 * 5.0 / 9.0, UNITS_US, BASIS_PLAIN},
    {UNIT_TEMPERATURE, "degR", 5.0 / 9.0, 0.0, UNITS_US, BASIS_PLAIN},

    LEVEL("psi", PSI, UNITS_US),
    LEVEL("ksi", 1e3 * PSI, UNITS_US),
    LEVEL("inH2O", INCH_WATER, UNITS_US),
    LEVEL("Pa", 1.0, UNITS_METRIC),
    LEVEL("kPa", 1e3, UNITS_METRIC),
    LEVEL("MPa", 1e6, UNITS_METRIC),
    LEVEL("bar", 1e5, UNITS_METRIC),
    LEVEL("mbar", 1e2, UNITS_METRIC),

    US(UNIT_PRESSURE_DROP, "psi", PSI),
    US(UNIT_PRESSURE_DROP, "ksi", 1e3 * PSI),
    US(UNIT_PRESSURE_DROP, "inH2O", INCH_WATER),
    US(UNIT_PRESSURE_DROP, "inHg", 25.4 * MILLIMETRE_MERCURY),
    METRIC(UNIT_PRESSURE_DROP, "mmHg", MILLIMETRE_MERCURY),
    METRIC(UNIT_PRESSURE_DROP, "torr", TORR),
    METRIC(UNIT_PRESSURE_DROP, "Pa", 1.0),
    METRIC(UNIT_PRESSURE_DROP, "kPa", 1e3),
    METRIC(UNIT_PRESSURE_DROP, "MPa", 1e6),
    METRIC(UNIT_PRESSURE_DROP, "GPa", 1e9),
    METRIC(UNIT_PRESSURE_DROP, "bar", 1e5),
    METRIC(UNIT_PRESSURE_DROP, "mbar", 1e2),

    METRIC(UNIT_FORCE, "N", 1.0),
    METRIC(UNIT_FORCE, "kN", 1e3),
    METRIC(UNIT_FORCE, "kgf", STANDARD_GRAVITY),
    METRIC(UNIT_FORCE, "dyn", 1e-5),
    US(UNIT_FORCE, "lbf", POUND_FORCE),

    METRIC(UNIT_STIFFNESS, "N/m", 1.0),
    METRIC(UNIT_STIFFNESS, "kN/m", 1e3),
    METRIC(UNIT_STIFFNESS, "N/cm", 1e2),
    METRIC(UNIT_STIFFNESS, "N/mm", 1e3),
    METRIC(UNIT_STIFFNESS, "kN/mm", 1e6),
    US(UNIT_STIFFNESS, "lbf/in", POUND_FORCE / INCH),
    US(UNIT_STIFFNESS, "lbf/ft", POUND_FORCE / FOOT),

    METRIC(UNIT_DAMPING, "N s/m", 1.0),
    METRIC(UNIT_DAMPING, "N s/mm", 1e3),
    METRIC(UNIT_DAMPING, "kg/s", 1.0),
    US(UNIT_DAMPING, "lbf s/in", POUND_FORCE / INCH),
    US(UNIT_DAMPING, "lbf s/ft", POUND_FORCE / FOOT),

    METRIC(UNIT_CONTACT_DAMPING, "s/m", 1.0),
    METRIC(UNIT_CONTACT_DAMPING, "s/mm", 1e3),
    US(UNIT_CONTACT_DAMPING, "s/in", 1.0 / INCH),
    US(UNIT_CONTACT_DAMPING, "s/ft", 1.0 / FOOT),

    METRIC(UNIT_VISCOSITY, "Pa s", 1.0),
    METRIC(UNIT_VISCOSITY, "mPa s", 1e-3),
    METRIC(UNIT_VISCOSITY, "uPa s", 1e-6),
    EITHER(UNIT_VISCOSITY, "cP", 1e-3),
    METRIC(UNIT_VISCOSITY, "P", 0.1),

    METRIC(UNIT_DENSITY, "kg/m3", 1.0),
    METRIC(UNIT_DENSITY, "g/cm3", 1e3),
    METRIC(UNIT_DENSITY, "kg/L", 1e3),
    US(UNIT_DENSITY, "lb/ft3", POUND / CUBIC_FOOT),
    US(UNIT_DENSITY, "lb/gal", POUND / GALLON),

    EITHER(UNIT_MOLAR_MASS, "g/mol", 1e-3),
    EITHER(UNIT_MOLAR_MASS, "kg/kmol", 1e-3),
    EITHER(UNIT_MOLAR_MASS, "kg/mol", 1.0),
    US(UNIT_MOLAR_MASS, "lb/lbmol", 1e-3),

    METRIC(UNIT_SPEED, "m/s", 1.0),
    METRIC(UNIT_SPEED, "cm/s", 1e-2),
    METRIC(UNIT_SPEED, "mm/s", 1e-3),
    METRIC(UNIT_SPEED, "um/s", 1e-6),
    US(UNIT_SPEED, "in/s", INCH),
    US(UNIT_SPEED, "ft/s", FOOT),

    EITHER(UNIT_FREQUENCY, "Hz", 1.0),
    EITHER(UNIT_FREQUENCY, "1/s", 1.0),
    EITHER(UNIT_FREQUENCY, "1/min", 1.0 / 60.0),
    EITHER(UNIT_FREQUENCY, "/min", 1.0 / 60.0),
    EITHER(UNIT_FREQUENCY, "1/h", 1.0 / 3600.0),
    EITHER(UNIT_FREQUENCY, "1/d", 1.0 / DAY),

    METRIC(UNIT_COEFFICIENT, "Kv", 1.0 / 36000.0),
    US(UNIT_COEFFICIENT, "Cv", 1.0 / 36000.0 / 1.1560992),
    METRIC(UNIT_COEFFICIENT, "m2", 1.0),
    METRIC(UNIT_COEFFICIENT, "mm2", 1e-6),

    FLOW_PER("scf", CUBIC_FOOT, UNITS_US, BASIS_BASE_VOLUME),
    FLOW_PER("Mscf", 1e3 * CUBIC_FOOT, UNITS_US, BASIS_BASE_VOLUME),
    FLOW_PER("MMscf", 1e6 * CUBIC_FOOT, UNITS_US, BASIS_BASE_VOLUME),
    FLOW_PER("Mcf", 1e3 * CUBIC_FOOT, UNITS_US, BASIS_BASE_VOLUME),
    FLOW_PER("MMcf", 1e6 * CUBIC_FOOT, UNITS_US, BASIS_BASE_VOLUME),
    FLOW("scfd", CUBIC_FOOT / DAY, UNITS_US, BASIS_BASE_VOLUME),
    FLOW("scfh", CUBIC_FOOT / 3600.0, UNITS_US, BASIS_BASE_VOLUME),
    FLOW("scfm", CUBIC_FOOT / 60.0, UNITS_US, BASIS_BASE_VOLUME),
    FLOW("Mscfd", 1e3 * CUBIC_FOOT / DAY, UNITS_US, BASIS_BASE_VOLUME),
    FLOW("MMscfd", 1e6 * CUBIC_FOOT / DAY, UNITS_US, BASIS_BASE_VOLUME),
    FLOW("Mcfd", 1e3 * CUBIC_FOOT / DAY, UNITS_US, BASIS_BASE_VOLUME),
    FLOW("MMcfd", 1e6 * CUBIC_FOOT / DAY, UNITS_US, BASIS_BASE_VOLUME),
    FLOW_PER("Sm3", MOL_PER_SM3, UNITS_METRIC, BASIS_MOLAR),
    FLOW_PER("Nm3", MOL_PER_NM3, UNITS_METRIC, BASIS_MOLAR),
    FLOW("e3m3/d", 1e3 * MOL_PER_SM3 / DAY, UNITS_METRIC, BASIS_MOLAR),
    FLOW("mol/s", 1.0, UNITS_METRIC, BASIS_MOLAR),
    FLOW("kmol/h", 1e3 / 3600.0, UNITS_METRIC, BASIS_MOLAR),
    FLOW_PER("kg", 1.0, UNITS_METRIC, BASIS_MASS),
    FLOW_PER("g", 1e-3, UNITS_METRIC, BASIS_MASS),
    FLOW_PER("t", 1e3, UNITS_METRIC, BASIS_MASS),
    FLOW_PER("lb", POUND, UNITS_US, BASIS_MASS),
    FLOW_PER("m3", 1.0, UNITS_METRIC, BASIS_ACTUAL),
    FLOW_PER("L", 1e-3, UNITS_METRIC, BASIS_ACTUAL),
    FLOW_PER("ft3", CUBIC_FOOT, UNITS_US, BASIS_ACTUAL),
    FLOW_PER("gal", GALLON, UNITS_US, BASIS_ACTUAL),
    FLOW_PER("bbl", BARREL, UNITS_US, BASIS_ACTUAL),
    FLOW("gpm", GALLON / 60.0, UNITS_US, BASIS_ACTUAL),
    FLOW("bpd", BARREL / DAY, UNITS_US, BASIS_ACTUAL),

    METRIC(UNIT_CONDUCTANCE, "W/K", 1.0),
    METRIC(UNIT_CONDUCTANCE, "kW/K", 1e3),
    US(UNIT_CONDUCTANCE, "BTU/h/degF", BTU / 3600.0 * 9.0 / 5.0),

    METRIC(UNIT_ENERGY, "J", 1.0),
    METRIC(UNIT_ENERGY, "mJ", 1e-3),
    METRIC(UNIT_ENERGY, "kJ", 1e3),
    METRIC(UNIT_ENERGY, "N m", 1.0),
    METRIC(UNIT_ENERGY, "kWh", 3.6e6),
    US(UNIT_ENERGY, "BTU", BTU),
    US(UNIT_ENERGY, "ft lbf", FOOT *POUND_FORCE),
    US(UNIT_ENERGY, "in lbf", INCH *POUND_FORCE),
};

const struct unit *units_row(size_t index) {
    return index < sizeof units / sizeof units[0] ? &units[index] : NULL;
}

const struct unit *units_find(enum unit_kind kind, const char *token) {
    const size_t count = sizeof units / sizeof units[0];
    size_t first = 0, end = count; // rows are in the order of kinds: a trace asks for each number
    while (first < end) {
        const size_t middle = (first + end) / 2;
        if (units[middle].kind < kind) {
            first = middle + 1;
        } else {
            end = middle;
        }
    }
    for (size_t i = first; i < count && units[i].kind == kind; i++) {
        const char *own = units[i].token;
        if (own == token || (own[0] == token[0] && strcmp(own, token) == 0)) {
            return &units[i];
        }
    }
    return NULL;
}
