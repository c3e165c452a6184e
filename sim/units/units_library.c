// SPDX-License-Identifier: MIT
// The only place that talks to udunits2. It gets one spelled-out unit from the list below, never
// a user's text: left alone it reads `kPa(g)` as pressure times gram and `F` as a farad.
#include "units/units.h"

#include <string.h>
#include <udunits2.h>

struct library_unit {
    enum unit_kind kind;
    const char *token;
    const char *spelling; // for udunits2
    const char *si;       // what it is converted to
    enum unit_system system;
};

static const struct library_unit library_units[] = {
    {UNIT_LENGTH, "yd", "yard", "meter", UNITS_US},
    {UNIT_LENGTH, "mile", "mile", "meter", UNITS_US},
    {UNIT_MASS, "slug", "slug", "kilogram", UNITS_US},
    {UNIT_MASS, "grain", "grain", "kilogram", UNITS_US},
    {UNIT_FORCE, "kgf", "kilogram_force", "newton", UNITS_METRIC},
    {UNIT_FORCE, "dyn", "dyne", "newton", UNITS_METRIC},
    {UNIT_PRESSURE_DROP, "mmHg", "mm_Hg", "pascal", UNITS_METRIC},
    {UNIT_PRESSURE_DROP, "inHg", "inch_Hg", "pascal", UNITS_US},
    {UNIT_PRESSURE_DROP, "torr", "torr", "pascal", UNITS_METRIC},
    {UNIT_VISCOSITY, "P", "poise", "pascal second", UNITS_METRIC},
    {UNIT_TIME, "week", "week", "second", UNITS_AS_WRITTEN},
    {UNIT_ENERGY, "BTU", "Btu", "joule", UNITS_US},
    {UNIT_ENERGY, "kWh", "kilowatt hour", "joule", UNITS_METRIC},
};

static bool library_convert(const struct library_unit *row, double *factor) {
    ut_set_error_message_handler(ut_ignore);
    ut_system *system = ut_read_xml(NULL);
    if (!system) {
        return false;
    }
    ut_unit *from = ut_parse(system, row->spelling, UT_ASCII);
    ut_unit *to = ut_parse(system, row->si, UT_ASCII);
    cv_converter *converter = from && to ? ut_get_converter(from, to) : NULL;
    if (converter) {
        *factor = cv_convert_double(converter, 1.0);
    }
    const bool known = converter != NULL;
    cv_free(converter);
    ut_free(from);
    ut_free(to);
    ut_free_system(system);
    return known;
}

bool units_library_factor(enum unit_kind kind, const char *token, double *factor,
                          enum unit_system *system) {
    for (size_t i = 0; i < sizeof library_units / sizeof library_units[0]; i++) {
        const struct library_unit *row = &library_units[i];
        if (row->kind == kind && strcmp(row->token, token) == 0) {
            *system = row->system;
            return library_convert(row, factor);
        }
    }
    return false;
}
