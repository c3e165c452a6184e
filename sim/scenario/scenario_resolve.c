// SPDX-License-Identifier: MIT
// From what was said to the parameters of a model: the order of the steps.
#include "scenario/scenario_resolution.h"

// What a user wrote in decides, unless the scenario says otherwise.
static enum unit_system resolution_units(const struct scenario_resolution *r) {
    if (r->values.raw.output_units != UNITS_AS_WRITTEN) {
        return (enum unit_system)r->values.raw.output_units;
    }
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
    out->readings = values->readings;
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
