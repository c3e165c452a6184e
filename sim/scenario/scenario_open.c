// SPDX-License-Identifier: MIT
// From a file to a scenario that is known to be right: read, override, check.
#include "scenario/scenario_data.h"

#include <stdlib.h>
#include <string.h>

static bool read_bound(const struct field *field, const char *text, struct quantity *out) {
    char message[UNIT_MESSAGE_SIZE];
    return text && !units_parse(text, field->kind, out, message);
}

static const struct field_bounds *read_bounds(struct arena *memory) {
    struct field_bounds *bounds = arena_alloc(memory, field_count() * sizeof *bounds);
    for (size_t i = 0; bounds && i < field_count(); i++) {
        const struct field *field = field_at(i);
        bounds[i].has_low = read_bound(field, field->low, &bounds[i].low);
        bounds[i].has_high = read_bound(field, field->high, &bounds[i].high);
    }
    return bounds;
}

struct scenario *scenario_create(const char *name) {
    struct scenario *scenario = calloc(1, sizeof *scenario);
    if (!scenario) {
        return NULL;
    }
    struct arena *memory = &scenario->memory;
    scenario->name = arena_copy(memory, name, strlen(name));
    const char *slash = strrchr(name, '/');
    scenario->folder = arena_copy(memory, name, slash ? (size_t)(slash - name) + 1 : 0);
    scenario->values = arena_alloc(memory, field_count() * sizeof *scenario->values);
    scenario->bounds = read_bounds(memory);
    size_t sections = 0;
    while (field_section_at(sections)) {
        sections++;
    }
    scenario->section_places = arena_alloc(memory, sections * sizeof *scenario->section_places);
    const struct field_section *section = field_section_find("trim");
    scenario->trim_first = field_section_first(section);
    scenario->trim_rows = section->count;
    if (!memory->failed) {
        scenario_defaults(scenario);
    }
    return scenario;
}

struct scenario *scenario_load_text(const char *name, const char *text, size_t length,
                                    struct diagnostics *out) {
    struct scenario *scenario = scenario_create(name);
    bool fine = scenario && !scenario->memory.failed;
    const size_t count = out->count, errors = out->errors;
    const struct yaml_node *root =
        fine ? yaml_tree_read(&scenario->memory, scenario->name, text, length, 0, out) : NULL;
    if (root && !out->no_memory && scenario_is_strange(scenario, root)) {
        diagnostics_forget(out, count, errors); // which would name what another file holds
    }
    fine = root && scenario_read(scenario, root, out);
    if (!scenario || scenario->memory.failed) {
        diagnostics_no_memory(out);
        fine = false;
    }
    if (fine) {
        return scenario;
    }
    scenario_free(scenario);
    return NULL;
}

struct scenario *scenario_load(const char *path, struct diagnostics *out) {
    size_t length = 0;
    char *text = scenario_read_file(path, YAML_SIZE_MAX, &length, (struct place){path, 0, 0}, out);
    if (!text) {
        return NULL;
    }
    struct scenario *scenario = scenario_load_text(path, text, length, out);
    free(text);
    return scenario;
}

struct scenario *scenario_open(const char *path, const char *const *overrides, size_t count,
                               struct diagnostics *out) {
    const size_t before = out->errors;
    struct scenario *scenario = scenario_load(path, out);
    for (size_t i = 0; scenario && i < count; i++) {
        scenario_override(scenario, overrides[i], out);
    }
    if (scenario) {
        scenario_check(scenario, out);
    }
    if (out->errors == before) {
        scenario_warn(scenario, out);
        return scenario;
    }
    scenario_free(scenario);
    return NULL;
}

bool scenario_check(const struct scenario *scenario, struct diagnostics *out) {
    bool fine = true;
    for (size_t trim = 0; trim < scenario_trim_count(scenario); trim++) {
        struct scenario_case resolved;
        fine = scenario_resolve(scenario, trim, &resolved, out) && fine;
        scenario_case_free(&resolved);
    }
    return fine;
}
