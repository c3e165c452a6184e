// SPDX-License-Identifier: MIT
// Questions to a scenario about single fields.
#include "scenario/scenario_resolution.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

bool scenario_provenance(const struct scenario *scenario, size_t trim_index, size_t index,
                         struct scenario_entry *entry) {
    const struct field *field = field_at(index);
    if (!field) {
        return false;
    }
    struct diagnostics ignored = {0};
    struct scenario_resolution r = {.scenario = scenario, .out = &ignored};
    r.trim = scenario_trim_at(scenario, trim_index);
    r.build = resolution_build(&r);
    const struct field_value *value = scenario_value(scenario, r.trim, index);
    *entry = (struct scenario_entry){.section = field->section, .name = field->name};
    entry->text = value->text;
    entry->provenance = value->provenance;
    // A rule stands in for a value nobody gave.
    if (value->provenance == PROVENANCE_NONE && field_preset_is_rule(field)) {
        entry->provenance = PROVENANCE_DEFAULT;
    }
    entry->from_trim = value != &scenario->values[index];
    entry->applies = field_applies(field, r.build);
    entry->place = value->place;
    diagnostics_free(&ignored);
    return true;
}

// Value of a number row and the context to turn it into SI; NULL if the row holds none.
static const struct field_value *query_number(const struct scenario *scenario, size_t trim_index,
                                              const char *path, struct unit_context *site) {
    const size_t index = field_index_of(path);
    const struct field *field = field_at(index);
    if (!field || (field->type != FIELD_NUMBER && field->type != FIELD_SCHEDULE)) {
        return NULL;
    }
    struct diagnostics ignored = {0};
    struct scenario_resolution r = {.scenario = scenario, .out = &ignored};
    r.trim = scenario_trim_at(scenario, trim_index);
    resolution_site(&r);
    diagnostics_free(&ignored);
    *site = r.site;
    const struct field_value *value = scenario_value(scenario, r.trim, index);
    if (value->provenance == PROVENANCE_NONE || value->wrong) {
        return NULL;
    }
    return value;
}

double scenario_get_si(const struct scenario *scenario, size_t trim, const char *path) {
    struct unit_context site;
    const struct field_value *value = query_number(scenario, trim, path, &site);
    const struct quantity *quantity = value ? &value->quantity : NULL;
    if (value && value->schedule) {
        const struct schedule_input *input = value->schedule;
        quantity = input->shape == SHAPE_POINTS ? &input->value[0] : &input->base;
    }
    double si;
    return quantity && !units_to_si(&site, quantity, &si) ? si : (double)NAN;
}

const char *scenario_get_unit(const struct scenario *scenario, size_t trim, const char *path) {
    struct diagnostics ignored = {0};
    const struct scenario_resolution r = {
        .scenario = scenario, .trim = scenario_trim_at(scenario, trim), .out = &ignored};
    if (resolution_value(&r, "output.units")->whole != UNITS_AS_WRITTEN) {
        return NULL;
    }
    return resolution_token(&r, field_index_of(path));
}

double scenario_si(const struct scenario *scenario, size_t trim, const struct quantity *quantity) {
    struct diagnostics ignored = {0};
    struct scenario_resolution r = {.scenario = scenario, .out = &ignored};
    r.trim = scenario_trim_at(scenario, trim);
    resolution_site(&r);
    diagnostics_free(&ignored);
    double si;
    return units_to_si(&r.site, quantity, &si) ? (double)NAN : si;
}

bool scenario_get_range(const struct scenario *scenario, size_t trim, const char *path, double *low,
                        double *high) {
    struct unit_context site;
    const struct field_value *value = query_number(scenario, trim, path, &site);
    return value && value->ranged && !units_to_si(&site, &value->low, low) &&
           !units_to_si(&site, &value->high, high);
}

// SI value of a bound of the field table, NaN if there is none.
static double query_bound(const struct unit_context *site, enum unit_kind kind, const char *text) {
    struct quantity quantity;
    char message[UNIT_MESSAGE_SIZE];
    double si;
    const bool fine =
        text && !units_parse(text, kind, &quantity, message) && !units_to_si(site, &quantity, &si);
    return fine ? si : (double)NAN;
}

bool scenario_get_guess(const struct scenario *scenario, size_t trim, const char *path,
                        const double factor[2], double *low, double *high) {
    struct unit_context site;
    const struct field_value *value = query_number(scenario, trim, path, &site);
    if (!value || value->provenance != PROVENANCE_GUESS ||
        (value->schedule && value->schedule->shape != SHAPE_CONSTANT)) {
        return false;
    }
    const struct field *field = field_at(field_index_of(path));
    struct quantity less = value->schedule ? value->schedule->base : value->quantity;
    struct quantity more = less;
    less.value *= factor[0];
    more.value *= factor[1];
    if (field->kind == UNIT_TEMPERATURE || units_to_si(&site, &less, low) ||
        units_to_si(&site, &more, high)) {
        return false;
    }
    if (*low > *high) {
        const double negative = *low;
        *low = *high;
        *high = negative;
    }
    // fmax and fmin pass over a bound that is not there.
    *low = fmax(*low, query_bound(&site, field->kind, field->low));
    *high = fmin(*high, query_bound(&site, field->kind, field->high));
    return *low < *high;
}

bool scenario_trims_alike(const struct scenario *scenario, size_t a, size_t b) {
    const struct field_section *section = field_section_find("trim");
    const size_t first = field_section_first(section);
    for (size_t i = first; i < first + section->count; i++) {
        struct scenario_entry x = {0};
        struct scenario_entry y = {0};
        char path[96];
        scenario_provenance(scenario, a, i, &x);
        scenario_provenance(scenario, b, i, &y);
        snprintf(path, sizeof path, "trim.%s", x.name);
        const bool text = x.text && y.text ? strcmp(x.text, y.text) == 0 : x.text == y.text;
        // The same size may be written in two ways.
        if (!text && scenario_get_si(scenario, a, path) != scenario_get_si(scenario, b, path)) {
            return false;
        }
    }
    return true;
}
