// SPDX-License-Identifier: MIT
// Numbers with units, as a field hand writes them, to SI and back, the same in every locale. A unit
// is matched as a whole word against one table. Does not do arithmetic on units.
#pragma once

#include <stdbool.h>
#include <stddef.h>

enum unit_kind {
    UNIT_NONE,            // plain number
    UNIT_FRACTION,        // plain number or %
    UNIT_LENGTH,          // [m]
    UNIT_AREA,            // [m2]
    UNIT_VOLUME,          // [m3]
    UNIT_MASS,            // [kg]
    UNIT_TIME,            // [s]
    UNIT_TEMPERATURE,     // level, never a difference [K]
    UNIT_PRESSURE_LEVEL,  // must say gauge or absolute [Pa] absolute
    UNIT_PRESSURE_DROP,   // difference, or a modulus [Pa]
    UNIT_FORCE,           // [N]
    UNIT_STIFFNESS,       // [N/m]
    UNIT_DAMPING,         // [N s/m]
    UNIT_CONTACT_DAMPING, // of the Hunt-Crossley law [s/m]
    UNIT_VISCOSITY,       // dynamic [Pa s]
    UNIT_DENSITY,         // [kg/m3]
    UNIT_MOLAR_MASS,      // [kg/mol]
    UNIT_SPEED,           // [m/s]
    UNIT_FREQUENCY,       // [1/s]
    UNIT_COEFFICIENT,     // flow coefficient A_v of w = A_v sqrt(rho dp) [m2]
    UNIT_FLOW,            // [kg/s] once the stream is known
    UNIT_CONDUCTANCE,     // heat [W/K]
    UNIT_ENERGY,          // [J]
    UNIT_KIND_COUNT
};

enum unit_system { UNITS_AS_WRITTEN, UNITS_US, UNITS_METRIC, UNITS_SI };

// What a flow counts; everything but a mass needs to know the stream before it is kg/s.
enum unit_basis {
    BASIS_PLAIN,       // not a flow; or already SI
    BASIS_GAUGE,       // pressure level above the atmosphere [Pa]
    BASIS_BASE_VOLUME, // gas volume at the scenario's base conditions [m3/s]
    BASIS_MOLAR,       // [mol/s]; Sm3 (15 degC) and Nm3 (0 degC) at 101.325 kPa
    BASIS_MASS,        // [kg/s]
    BASIS_ACTUAL,      // liquid volume as it flows [m3/s]
};

struct unit {
    enum unit_kind kind;
    const char *token; // in the form units_parse reduces to
    double factor;     // value = factor * number + offset
    double offset;
    enum unit_system system; // UNITS_AS_WRITTEN: says nothing about its writer
    enum unit_basis basis;
};

struct quantity {
    enum unit_kind kind;
    enum unit_basis basis;
    enum unit_system system;
    double value;      // in the unit the basis says
    const char *token; // as written, a row's of the table; NULL: by a study, in SI
};

// What a value needs to become SI, and to come back.
struct unit_context {
    double atmosphere;       // of the site [Pa]
    double base_pressure;    // of scf [Pa]
    double base_temperature; // of scf [K]
    double molar_mass;       // of the gas [kg/mol]; NaN if unknown
    double density;          // of the liquid [kg/m3]; NaN if unknown
    bool liquid;
    const char *own[UNIT_KIND_COUNT]; // tokens in which its writer counts; NULL: not known
};

enum { UNIT_MESSAGE_SIZE = 256, UNIT_TOKEN_SIZE = 32 };

// Reads a whole text such as "2 7/8 in". Returns NULL and fills the quantity, or returns what is
// allowed instead (written into message, UNIT_MESSAGE_SIZE bytes), such as "psig or psia?".
const char *units_parse(const char *text, enum unit_kind kind, struct quantity *out, char *message);

// SI value of a quantity. Returns NULL, or what is missing or impossible (a constant text).
const char *units_to_si(const struct unit_context *context, const struct quantity *quantity,
                        double *si);

// A quantity that is SI already (absolute pressure, kg/s).
struct quantity units_quantity_si(enum unit_kind kind, double si);

// Number to print before the token for an SI value; NaN for a token of another kind.
double units_from_si(const struct unit_context *context, enum unit_kind kind, const char *token,
                     double si);

// The same for many numbers: the token looked up once.
struct units_scale {
    const struct unit *unit; // NULL: a token of another kind, whose numbers are NaN
    bool plain;              // an empty token: numbers stay as they are
    double atmosphere;       // taken away before, of a gauge pressure [Pa]
    double flow;             // by which a flow is divided before [kg/s]; else 1
};
struct units_scale units_scale_of(const struct unit_context *context, enum unit_kind kind,
                                  const char *token);
double units_scale_number(const struct units_scale *scale, double si);

// So many of them; NaN for what is not finite.
void units_scale_numbers(const struct units_scale *scale, const double *si, size_t count,
                         double *number);

// Unit in which a kind is reported. UNITS_AS_WRITTEN counts as metric. Never NULL; "" without unit.
const char *units_preferred(enum unit_kind kind, enum unit_system system, bool liquid);

// Unit in which results of a site are shown: its writer's own, or the preferred one.
const char *units_shown(const struct unit_context *context, enum unit_kind kind,
                        enum unit_system system);

// Token for results of somebody who wrote this one. Gas by the day is written in millions and read
// in thousands: MMscf/d becomes Mscf/d.
const char *units_read_as(const char *token);

// Row of differences in the unit of a level, such as bar for bar(g); NULL for a token NULL.
const struct unit *units_drop_of(const char *level);

// What a flow's token counts, such as "Mscf" of "Mscf/d", and in how many seconds.
double units_amount(const char *token, char amount[UNIT_TOKEN_SIZE]);

// What a kind is called and which units it may be written in, for messages and the reference.
const char *units_kind_name(enum unit_kind kind);
const char *units_allowed(enum unit_kind kind);

// Atmospheric pressure [Pa] at an altitude [m] up to 11 km, standard atmosphere.
// Source: ISO 2533:1975, gradient layer below the tropopause.
double units_standard_atmosphere(double altitude);

// Row of the table for a reduced token of a kind, or NULL.
const struct unit *units_find(enum unit_kind kind, const char *token);

// Rows of the table by index, NULL beyond the last; for hints and tests.
const struct unit *units_row(size_t index);
