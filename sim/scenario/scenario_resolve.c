// SPDX-License-Identifier: MIT
// From what was said to the parameters of a model: the order of the steps.
#include "scenario/scenario_resolution.h"

#include <string.h>

// What a user wrote in decides, unless the scenario says otherwise.
static enum unit_system resolution_units(const struct scenario_resolution *r) {
    if (r->values.raw.output_units != UNITS_AS_WRITTEN) {
        return (enum unit_system)r->values.raw.output_units;
    }
    return r->scenario->written_us >= r->scenario->written_metric ? UNITS_US : UNITS_METRIC;
}

// The unit that all values of a kind are written in; NULL where they differ. Those of the site say
// what a unit counts, not how results are to be read.
static const char *resolution_own(const struct scenario_resolution *r, enum unit_kind kind) {
    const char *own = NULL;
    for (struct field_walk row = {0}; field_next(&row);) {
        const struct field *field = row.field;
        const char *token = field->kind == kind && strcmp(field->section, "site") != 0 &&
                                    field_applies(field, r->build)
                                ? resolution_token(r, row.index)
                                : NULL;
        if (token && own && strcmp(token, own) != 0) {
            return NULL;
        }
        own = token ? token : own;
    }
    return own;
}

// Kinds of which people count in a unit of their own, whatever else they write: scf/min for a
// heater, in3 for a pot, bar for the pressure, whose differences then are bar as well.
static void resolution_own_units(const struct scenario_resolution *r, struct unit_context *site) {
    static const enum unit_kind kinds[] = {UNIT_FLOW, UNIT_VOLUME, UNIT_PRESSURE_LEVEL};
    if (r->values.raw.output_units != UNITS_AS_WRITTEN) {
        return;
    }
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        site->own[kinds[i]] = resolution_own(r, kinds[i]);
    }
    const struct unit *drop = units_drop_of(site->own[UNIT_PRESSURE_LEVEL]);
    site->own[UNIT_PRESSURE_DROP] = drop ? drop->token : NULL;
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
    out->readings = values->readings;
    out->site = r->site;
    out->site.molar_mass = values->model.gas.molar_mass;
    resolution_own_units(r, &out->site);
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
    if (!r.wrong) {
        resolution_convert(&r);
    }
    if (!r.wrong && found.errors == 0 && !out->memory.failed) {
        resolution_derive(&r);
    }
    if (!r.wrong && found.errors == 0) {
        resolution_check(&r);
    }
    if (!r.wrong && found.errors == 0 && !out->memory.failed) {
        resolution_fill(&r, out);
    }
    for (size_t i = 0; i < found.count; i++) {
        diagnostics_error(list, found.items[i].place, "%s", found.items[i].message);
    }
    if (scenario->memory.failed || out->memory.failed || found.no_memory) {
        diagnostics_no_memory(list);
        r.wrong = true;
    }
    const bool fine = !r.wrong && found.errors == 0;
    diagnostics_free(&found);
    return fine;
}

void scenario_case_free(struct scenario_case *resolved) {
    arena_free(&resolved->memory);
}
