// SPDX-License-Identifier: MIT
#include "scenario/scenario_data.h"

#include "base/nearest.h"

#include <stdlib.h>
#include <string.h>

struct scenario *scenario_create(const char *name) {
    struct scenario *scenario = calloc(1, sizeof *scenario);
    if (!scenario) {
        fputs("out of memory\n", stderr);
        abort();
    }
    struct arena *memory = &scenario->memory;
    scenario->name = arena_copy(memory, name, strlen(name));
    const char *slash = strrchr(name, '/');
    scenario->folder = arena_copy(memory, name, slash ? (size_t)(slash - name) + 1 : 0);
    scenario->values = arena_alloc(memory, field_count() * sizeof *scenario->values);
    size_t sections = 0;
    while (field_section_at(sections) != NULL)
        ++sections;
    scenario->section_places = arena_alloc(memory, sections * sizeof *scenario->section_places);
    const struct field_section *section = field_section_find("trim");
    scenario->trim_first = field_section_first(section);
    scenario->trim_rows = section->count;
    scenario_defaults(scenario);
    return scenario;
}

void scenario_free(struct scenario *scenario) {
    if (!scenario)
        return;
    arena_free(&scenario->memory);
    free(scenario);
}

struct scenario *scenario_load_text(const char *name, const char *text, size_t length,
                                    struct diagnostics *out) {
    struct scenario *scenario = scenario_create(name);
    const struct yaml_node *root =
        yaml_tree_read(&scenario->memory, scenario->name, text, length, 0, out);
    if (!root) {
        scenario_free(scenario);
        return NULL;
    }
    if (!scenario_read(scenario, root, out)) {
        scenario_free(scenario);
        return NULL;
    }
    return scenario;
}

struct scenario *scenario_load(const char *path, struct diagnostics *out) {
    size_t length = 0;
    char *text = scenario_read_file(path, YAML_SIZE_MAX, &length, (struct place){path, 0, 0}, out);
    if (!text)
        return NULL;
    struct scenario *scenario = scenario_load_text(path, text, length, out);
    free(text);
    return scenario;
}

struct scenario *scenario_open(const char *path, const char *const *overrides, size_t count,
                               struct diagnostics *out) {
    const size_t before = out->errors;
    struct scenario *scenario = scenario_load(path, out);
    for (size_t i = 0; scenario && i < count; ++i)
        scenario_override(scenario, overrides[i], out);
    if (scenario)
        scenario_check(scenario, out);
    if (out->errors == before) {
        scenario_warn(scenario, out);
        return scenario;
    }
    scenario_free(scenario);
    return NULL;
}

bool scenario_check(const struct scenario *scenario, struct diagnostics *out) {
    bool fine = true;
    for (size_t trim = 0; trim < scenario_trim_count(scenario); ++trim) {
        struct scenario_case resolved;
        fine = scenario_resolve(scenario, trim, &resolved, out) && fine;
        scenario_case_free(&resolved);
    }
    return fine;
}

const struct scenario_trim *scenario_trim_at(const struct scenario *scenario, size_t index) {
    const struct scenario_trim *trim = scenario->trims;
    while (trim && index-- > 0)
        trim = trim->next;
    return trim;
}

size_t scenario_trim_count(const struct scenario *scenario) {
    size_t count = 0;
    for (const struct scenario_trim *trim = scenario->trims; trim; trim = trim->next)
        ++count;
    return count ? count : 1;
}

const char *scenario_trim_name(const struct scenario *scenario, size_t index) {
    const struct scenario_trim *trim = scenario_trim_at(scenario, index);
    return trim ? trim->name : "trim";
}

size_t scenario_trim_find(const struct scenario *scenario, const char *name,
                          struct diagnostics *out) {
    const size_t count = scenario_trim_count(scenario);
    struct nearest search = nearest_start(name);
    for (size_t i = 0; i < count; ++i) {
        if (strcmp(scenario_trim_name(scenario, i), name) == 0)
            return i;
        nearest_offer(&search, scenario_trim_name(scenario, i));
    }
    if (!out)
        return count;
    const struct place place = {scenario->name, 0, 0};
    if (search.best)
        diagnostics_error(out, place, "no trim '%s'; did you mean %s?", name, search.best);
    else
        diagnostics_error(out, place, "no trim '%s'; it has %s%s", name,
                          scenario_trim_name(scenario, 0), count > 1 ? " and others" : "");
    return count;
}

const char *scenario_name(const struct scenario *scenario) {
    return scenario->name;
}

const char *scenario_title(const struct scenario *scenario) {
    return scenario->values[field_index("", "title")].text;
}

const char *scenario_teaches(const struct scenario *scenario) {
    return scenario->values[field_index("", "teaches")].text;
}

size_t scenario_expect_count(const struct scenario *scenario) {
    return scenario->expect_count;
}

const struct scenario_expect *scenario_expect_at(const struct scenario *scenario, size_t index) {
    return index < scenario->expect_count ? &scenario->expects[index] : NULL;
}

const struct field_value *scenario_value(const struct scenario *scenario,
                                         const struct scenario_trim *trim, size_t index) {
    if (trim && index >= scenario->trim_first &&
        index < scenario->trim_first + scenario->trim_rows) {
        const struct field_value *own = &trim->values[index - scenario->trim_first];
        if (own->provenance != PROVENANCE_NONE)
            return own;
    }
    return &scenario->values[index];
}
