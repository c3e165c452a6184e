// SPDX-License-Identifier: MIT
// The first step of resolving: which build it is, and the site at which units are counted.
#include "scenario/scenario_resolution.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

// Index of a choice; -1, and a report if nothing is wrong with it yet, when it is missing.
static int resolution_choice(const struct scenario_resolution *r, const char *path) {
    const struct field_value *value = resolution_value(r, path);
    if (value->wrong) {
        return -1;
    }
    if (value->provenance != PROVENANCE_NONE) {
        return value->whole;
    }
    const struct field *field = field_at(field_index_of(path));
    char words[128] = "";
    for (size_t i = 0; field->words[i]; i++) {
        const size_t used = strlen(words);
        snprintf(words + used, sizeof words - used, "%s%s", i ? ", " : "", field->words[i]);
    }
    resolution_error(r, path, "is missing; allowed %s", words);
    return -1;
}

unsigned resolution_build(const struct scenario_resolution *r) {
    const int duty = resolution_choice(r, "duty");
    const int actuation = resolution_choice(r, "actuation");
    const int phase = resolution_choice(r, "fluid.phase");
    if (duty < 0 || actuation < 0 || phase < 0) {
        return 0;
    }
    return (unsigned)((duty == DUTY_BACK_PRESSURE ? USE_BACK_PRESSURE : USE_REDUCING) |
                      (actuation == ACTUATION_PILOT ? USE_PILOT : USE_DIRECT) |
                      (phase == FLUID_GAS ? USE_GAS : USE_LIQUID));
}

// Plain SI number of a row before the site is known; NaN if there is none.
static double resolution_plain(const struct scenario_resolution *r, const char *path) {
    const struct field_value *value = resolution_value(r, path);
    if (value->provenance == PROVENANCE_NONE || value->wrong) {
        return (double)NAN;
    }
    double si;
    return units_to_si(&r->site, &value->quantity, &si) ? (double)NAN : si;
}

static double resolution_atmosphere(const struct scenario_resolution *r) {
    const struct field_value *atmosphere = resolution_value(r, "site.atmosphere");
    const struct field_value *altitude = resolution_value(r, "site.altitude");
    const double standard = 14.696 * 6894.757293168361;
    if (resolution_given(r, "site.atmosphere") && resolution_given(r, "site.altitude")) {
        resolution_error(r, "site.altitude", "give the atmosphere or the altitude, not both");
    }
    if (resolution_given(r, "site.atmosphere") && !atmosphere->wrong) {
        if (atmosphere->quantity.basis == BASIS_GAUGE) {
            resolution_error(r, "site.atmosphere", "found '%s'; allowed an absolute pressure",
                             atmosphere->text);
        } else {
            return atmosphere->quantity.value;
        }
    }
    // Beyond the range of the row the formula has no meaning; the row itself is reported later.
    if (resolution_given(r, "site.altitude") && !altitude->wrong) {
        return units_standard_atmosphere(fmin(fmax(altitude->quantity.value, -500.0), 11000.0));
    }
    return standard;
}

void resolution_site(struct scenario_resolution *r) {
    r->build = resolution_build(r);
    r->site = (struct unit_context){.molar_mass = (double)NAN, .density = (double)NAN};
    r->site.liquid = (r->build & USE_LIQUID) != 0;
    r->site.atmosphere = resolution_atmosphere(r);
    r->site.base_pressure = resolution_plain(r, "site.base_pressure");
    r->site.base_temperature = resolution_plain(r, "site.base_temperature");
    r->site.molar_mass = resolution_plain(r, "fluid.molar_mass");
    if (isnan(r->site.molar_mass)) {
        r->site.molar_mass = GAS_AIR_MOLAR_MASS * resolution_plain(r, "fluid.gravity");
    }
    r->site.density = resolution_plain(r, "fluid.density");
    // Said here, since without it no gas flow can be turned into SI either.
    if ((r->build & USE_GAS) && !resolution_given(r, "fluid.gravity") &&
        !resolution_given(r, "fluid.molar_mass")) {
        resolution_error(r, "fluid.gravity", "is missing; give this or fluid.molar_mass");
    }
}
