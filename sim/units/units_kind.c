// SPDX-License-Identifier: MIT
// What each kind of quantity is called, may be written in, and is reported in.
#include "units/units.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

struct unit_kind_row {
    const char *name;
    const char *allowed;
    const char *us;
    const char *metric;
    const char *si;
};

static const struct unit_kind_row kinds[UNIT_KIND_COUNT] = {
    [UNIT_NONE] = {"plain number", "a number without a unit", "", "", ""},
    [UNIT_FRACTION] = {"fraction", "a number without a unit, or %", "%", "%", ""},
    [UNIT_LENGTH] = {"length", "in, ft, mil, um, mm, cm, m", "in", "mm", "m"},
    [UNIT_AREA] = {"area", "in2, ft2, mm2, cm2, m2", "in2", "cm2", "m2"},
    [UNIT_VOLUME] = {"volume", "in3, ft3, gal, bbl, cm3, mL, L, m3", "ft3", "m3", "m3"},
    [UNIT_MASS] = {"mass", "lb, oz, g, kg, t", "lb", "kg", "kg"},
    [UNIT_TIME] = {"time", "us, ms, s, min, h, d, yr", "s", "s", "s"},
    [UNIT_TEMPERATURE] = {"temperature", "degF, degC, K, degR", "degF", "degC", "K"},
    [UNIT_PRESSURE_LEVEL] =
        {"pressure, gauge or absolute",
         "psig, psia, inH2O(g), kPa(g), kPa(a), bar(g), bar(a), MPa(g), MPa(a), Pa(a)", "psig",
         "kPa(g)", "Pa(a)"},
    [UNIT_PRESSURE_DROP] = {"pressure difference", "psi, inH2O, Pa, kPa, mbar, bar, MPa, GPa",
                            "psi", "kPa", "Pa"},
    [UNIT_FORCE] = {"force", "lbf, N, kN", "lbf", "N", "N"},
    [UNIT_STIFFNESS] = {"stiffness", "lbf/in, lbf/ft, N/m, N/mm, kN/m", "lbf/in", "N/mm", "N/m"},
    [UNIT_DAMPING] = {"damping", "lbf s/in, lbf s/ft, N s/m", "lbf s/in", "N s/m", "N s/m"},
    [UNIT_CONTACT_DAMPING] = {"contact damping", "s/in, s/ft, s/m", "s/in", "s/m", "s/m"},
    [UNIT_VISCOSITY] = {"viscosity", "cP, Pa s, mPa s", "cP", "cP", "Pa s"},
    [UNIT_DENSITY] = {"density", "lb/ft3, lb/gal, kg/m3, g/cm3", "lb/ft3", "kg/m3", "kg/m3"},
    [UNIT_MOLAR_MASS] = {"molar mass", "g/mol, lb/lbmol, kg/kmol", "g/mol", "g/mol", "kg/mol"},
    [UNIT_SPEED] = {"speed", "in/s, ft/s, mm/s, m/s", "in/s", "mm/s", "m/s"},
    [UNIT_FREQUENCY] = {"frequency", "Hz, 1/s, 1/min", "Hz", "Hz", "Hz"},
    [UNIT_COEFFICIENT] = {"flow coefficient", "Cv, Kv, m2", "Cv", "Kv", "m2"},
    [UNIT_FLOW] = {"flow",
                   "MMscf/d, Mscf/d, scf/h, Sm3/h, Nm3/h, kg/h, lb/h; of a liquid also bbl/d, "
                   "gpm, L/min, m3/h",
                   "Mscf/d", "Sm3/h", "kg/s"},
    [UNIT_CONDUCTANCE] = {"heat conductance", "W/K, BTU/h/degF", "BTU/h/degF", "W/K", "W/K"},
    [UNIT_ENERGY] = {"energy", "ft lbf, J", "ft lbf", "J", "J"},
};

const char *units_kind_name(enum unit_kind kind) {
    return kinds[kind].name;
}

const char *units_allowed(enum unit_kind kind) {
    return kinds[kind].allowed;
}

const char *units_preferred(enum unit_kind kind, enum unit_system system, bool liquid) {
    if (system == UNITS_SI) {
        return kinds[kind].si;
    }
    if (kind == UNIT_FLOW && liquid) {
        return system == UNITS_US ? "gpm" : "m3/h";
    }
    return system == UNITS_US ? kinds[kind].us : kinds[kind].metric;
}

const char *units_shown(const struct unit_context *context, enum unit_kind kind,
                        enum unit_system system) {
    const char *own = context->own[kind];
    return own ? own : units_preferred(kind, system, context->liquid);
}

const char *units_read_as(const char *token) {
    const size_t length = strlen(token);
    return strncmp(token, "MM", 2) == 0 && token[length - 1] == 'd' ? token + 1 : token;
}

const struct unit *units_drop_of(const char *level) {
    if (!level) {
        return NULL;
    }
    // What is left without "(g)", "(a)", "g" or "a".
    const size_t length = strlen(level);
    const size_t left = length - (level[length - 1] == ')' ? 3 : 1);
    char drop[UNIT_TOKEN_SIZE];
    snprintf(drop, sizeof drop, "%.*s", (int)left, level);
    return units_find(UNIT_PRESSURE_DROP, drop);
}

double units_amount(const char *token, char amount[UNIT_TOKEN_SIZE]) {
    const char *slash = strchr(token, '/');
    const size_t length = strlen(token);
    snprintf(amount, UNIT_TOKEN_SIZE, "%.*s", (int)(slash ? (size_t)(slash - token) : length - 1),
             token);
    // Written in one word: gallons and barrels are shortened, too.
    if (!slash && strcmp(amount, "gp") == 0) {
        snprintf(amount, UNIT_TOKEN_SIZE, "gal");
    } else if (!slash && strcmp(amount, "bp") == 0) {
        snprintf(amount, UNIT_TOKEN_SIZE, "bbl");
    }
    switch (slash ? slash[1] : token[length - 1]) {
    case 'd':
        return 86400.0;
    case 'h':
        return 3600.0;
    case 'm':
        return 60.0;
    default:
        return 1.0;
    }
}

double units_standard_atmosphere(double altitude) {
    // p0 (1 - L h/T0)^(g/(R_air L)) with T0 288.15 K, L 6.5 K/km; exponent 5.255880.
    return 101325.0 * pow(1.0 - 0.0065 * altitude / 288.15, 5.255880);
}
