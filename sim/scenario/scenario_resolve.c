// SPDX-License-Identifier: MIT
// From what was said to the parameters of a model: the order of the steps, the build, the site.
#include "scenario/scenario_resolution.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

const struct field_value *resolution_value(const struct scenario_resolution *r, const char *path) {
    return scenario_value(r->scenario, r->trim, field_index_of(path));
}

bool resolution_given(const struct scenario_resolution *r, const char *path) {
    const enum provenance provenance = resolution_value(r, path)->provenance;
    return provenance == PROVENANCE_GIVEN || provenance == PROVENANCE_GUESS;
}

struct place resolution_place(const struct scenario_resolution *r, const char *path) {
    const struct scenario *scenario = r->scenario;
    const size_t index = field_index_of(path);
    const struct field_value *value = scenario_value(scenario, r->trim, index);
    if (value->place.line > 0)
        return value->place;
    const struct field_section *section;
    const char *name = field_at(index)->section;
    for (size_t i = 0; (section = field_section_at(i)) != NULL; ++i)
        if (strcmp(section->name, name) == 0 && scenario->section_places[i].line > 0)
            return scenario->section_places[i];
    if (r->trim && strcmp(name, "trim") == 0)
        return r->trim->place;
    return (struct place){scenario->name, 1, 1};
}

void resolution_error(const struct scenario_resolution *r, const char *path, const char *format,
                      ...) {
    char text[512];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    diagnostics_error(r->out, resolution_place(r, path), "%s: %s", path, text);
}

// Index of a choice; -1, and a report if nothing is wrong with it yet, when it is missing.
static int resolution_choice(const struct scenario_resolution *r, const char *path) {
    const struct field_value *value = resolution_value(r, path);
    if (value->wrong)
        return -1;
    if (value->provenance != PROVENANCE_NONE)
        return value->whole;
    const struct field *field = field_at(field_index_of(path));
    char words[128] = "";
    for (size_t i = 0; field->words[i]; ++i) {
        const size_t used = strlen(words);
        snprintf(words + used, sizeof words - used, "%s%s", i ? ", " : "", field->words[i]);
    }
    resolution_error(r, path, "is missing; allowed %s", words);
    return -1;
}

static unsigned resolution_build(const struct scenario_resolution *r) {
    const int duty = resolution_choice(r, "duty");
    const int actuation = resolution_choice(r, "actuation");
    const int phase = resolution_choice(r, "fluid.phase");
    if (duty < 0 || actuation < 0 || phase < 0)
        return 0;
    return (unsigned)((duty == DUTY_BACK_PRESSURE ? USE_BACK_PRESSURE : USE_REDUCING) |
                      (actuation == ACTUATION_PILOT ? USE_PILOT : USE_DIRECT) |
                      (phase == FLUID_GAS ? USE_GAS : USE_LIQUID));
}

// Plain SI number of a row before the site is known; NaN if there is none.
static double resolution_plain(const struct scenario_resolution *r, const char *path) {
    const struct field_value *value = resolution_value(r, path);
    if (value->provenance == PROVENANCE_NONE || value->wrong)
        return (double)NAN;
    double si;
    return units_to_si(&r->site, &value->quantity, &si) ? (double)NAN : si;
}

static double resolution_atmosphere(const struct scenario_resolution *r) {
    const struct field_value *atmosphere = resolution_value(r, "site.atmosphere");
    const struct field_value *altitude = resolution_value(r, "site.altitude");
    const double standard = 14.696 * 6894.757293168361;
    if (resolution_given(r, "site.atmosphere") && resolution_given(r, "site.altitude"))
        resolution_error(r, "site.altitude", "give the atmosphere or the altitude, not both");
    if (resolution_given(r, "site.atmosphere") && !atmosphere->wrong) {
        if (atmosphere->quantity.basis == BASIS_GAUGE)
            resolution_error(r, "site.atmosphere", "found '%s'; allowed an absolute pressure",
                             atmosphere->text);
        else
            return atmosphere->quantity.value;
    }
    // Beyond the range of the row the formula has no meaning; the row itself is reported later.
    if (resolution_given(r, "site.altitude") && !altitude->wrong)
        return units_standard_atmosphere(fmin(fmax(altitude->quantity.value, -500.0), 11000.0));
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
    if (isnan(r->site.molar_mass))
        r->site.molar_mass = GAS_AIR_MOLAR_MASS * resolution_plain(r, "fluid.gravity");
    r->site.density = resolution_plain(r, "fluid.density");
    // Said here, since without it no gas flow can be turned into SI either.
    if ((r->build & USE_GAS) && !resolution_given(r, "fluid.gravity") &&
        !resolution_given(r, "fluid.molar_mass"))
        resolution_error(r, "fluid.gravity", "is missing; give this or fluid.molar_mass");
}

// What a user wrote in decides, unless the scenario says otherwise.
static enum unit_system resolution_units(const struct scenario_resolution *r) {
    if (r->values.raw.output_units != UNITS_AS_WRITTEN)
        return (enum unit_system)r->values.raw.output_units;
    return r->scenario->written_us >= r->scenario->written_metric ? UNITS_US : UNITS_METRIC;
}

static enum compressibility_source resolution_z_source(const struct scenario_resolution *r) {
    return resolution_given(r, "fluid.compressibility") ? COMPRESSIBILITY_GIVEN
           : resolution_given(r, "fluid.gravity")       ? COMPRESSIBILITY_CORRELATION
                                                        : COMPRESSIBILITY_IDEAL;
}

static void resolution_fill(const struct scenario_resolution *r, struct scenario_case *out) {
    const struct scenario_values *values = &r->values;
    out->model = values->model;
    out->run = values->run;
    out->start = values->start;
    out->set_at_flow = values->raw.adjusted == 1;
    out->set_pressure = schedule_value(&values->model.set_point,
                                       schedule_piece(&values->model.set_point, 0.0), 0.0);
    out->pressure_limit = values->raw.pressure_limit;
    out->gravity = r->site.molar_mass / GAS_AIR_MOLAR_MASS;
    out->compressibility_from = resolution_z_source(r);
    out->units = resolution_units(r);
    out->envelope = values->envelope;
    out->decline = values->decline;
    out->site = r->site;
    out->site.molar_mass = values->model.gas.molar_mass;
}

bool scenario_resolve(const struct scenario *scenario, size_t trim, struct scenario_case *out,
                      struct diagnostics *list) {
    *out = (struct scenario_case){.title = scenario_title(scenario)};
    out->trim_name = scenario_trim_name(scenario, trim);
    struct diagnostics found = {0};
    struct scenario_resolution r = {.scenario = scenario, .memory = &out->memory, .out = &found};
    r.trim = scenario_trim_at(scenario, trim);
    resolution_site(&r);
    // Without a build nothing else can be judged. A wrong value has been reported when it was
    // read; rules and comparisons would only repeat it in other words.
    r.wrong = r.build == 0;
    if (!r.wrong)
        resolution_convert(&r);
    if (!r.wrong && found.errors == 0)
        resolution_derive(&r);
    if (!r.wrong && found.errors == 0)
        resolution_check(&r);
    if (!r.wrong && found.errors == 0)
        resolution_fill(&r, out);
    for (size_t i = 0; i < found.count; ++i)
        diagnostics_error(list, found.items[i].place, "%s", found.items[i].message);
    const bool fine = !r.wrong && found.errors == 0;
    diagnostics_free(&found);
    return fine;
}

void scenario_case_free(struct scenario_case *resolved) {
    arena_free(&resolved->memory);
}
