// SPDX-License-Identifier: MIT
// Changes to a loaded scenario: assignments from the command line and numbers set by a study.
#include "scenario/scenario_data.h"

#include "base/nearest.h"

#include <math.h>
#include <string.h>

static const char *const override_name = "<command line>";

// Where an assignment goes: one row of the common part or of one trim.
struct override_target {
    struct scenario_trim *trim; // NULL: the common part
    size_t row;
};

static struct scenario_trim *override_trim(const struct scenario *scenario, const char *name,
                                           size_t length) {
    for (struct scenario_trim *trim = scenario->trims; trim; trim = trim->next) {
        if (strlen(trim->name) == length && strncmp(trim->name, name, length) == 0) {
            return trim;
        }
    }
    return NULL;
}

// Finds "section.name", "name" or "trims.NAME.name".
static bool override_find(const struct scenario *scenario, const char *path,
                          struct override_target *target) {
    target->trim = NULL;
    if (strncmp(path, "trims.", 6) == 0) {
        const char *name = path + 6;
        const char *dot = strchr(name, '.');
        target->trim = dot ? override_trim(scenario, name, (size_t)(dot - name)) : NULL;
        if (!target->trim) {
            return false;
        }
        target->row = field_index("trim", dot + 1);
    } else {
        target->row = field_index_of(path);
    }
    return target->row < field_count();
}

static struct field_value *override_value(struct scenario *scenario,
                                          const struct override_target *target) {
    return target->trim ? &target->trim->values[target->row - scenario->trim_first]
                        : &scenario->values[target->row];
}

// What is said for all trims replaces what single trims said.
static void override_store(struct scenario *scenario, const struct override_target *target,
                           const struct field_value *value) {
    *override_value(scenario, target) = *value;
    const bool shared = !target->trim && target->row >= scenario->trim_first &&
                        target->row < scenario->trim_first + scenario->trim_rows;
    for (struct scenario_trim *trim = scenario->trims; shared && trim; trim = trim->next) {
        trim->values[target->row - scenario->trim_first] = (struct field_value){.text = ""};
    }
}

static void override_unknown(struct scenario *scenario, const char *path, struct diagnostics *out) {
    struct arena *memory = &scenario->memory;
    struct nearest search = nearest_start(path);
    for (size_t i = 0; i < field_count(); i++) {
        nearest_offer(&search, scenario_label(memory, field_at(i)));
    }
    for (const struct scenario_trim *trim = scenario->trims; trim; trim = trim->next) {
        for (size_t i = 0; i < scenario->trim_rows; i++) {
            nearest_offer(&search, arena_format(memory, "trims.%s.%s", trim->name,
                                                field_at(scenario->trim_first + i)->name));
        }
    }
    const struct place place = {override_name, 1, 1};
    const char *shown = scenario_shown(memory, path);
    if (search.best) {
        diagnostics_error(out, place, "no field '%s'; did you mean %s?", shown, search.best);
    } else {
        diagnostics_error(out, place, "no field '%s'", shown);
    }
}

// Reads an assignment and finds where it goes; false when there is nothing to store.
static bool override_read(struct scenario *scenario, const char *assignment,
                          struct override_target *target, struct field_value *value,
                          struct diagnostics *out) {
    const char *equals = strchr(assignment, '=');
    if (!equals) {
        diagnostics_error(out, (struct place){override_name, 1, 1},
                          "found '%s'; allowed section.name=value",
                          scenario_shown(&scenario->memory, assignment));
        return false;
    }
    const char *path = arena_copy(&scenario->memory, assignment, (size_t)(equals - assignment));
    if (!override_find(scenario, path, target)) {
        override_unknown(scenario, path, out);
        return false;
    }
    const char *text = equals + 1;
    const int shift = (int)(text - assignment);
    // An empty value reads as an empty scalar at its place, as in a file.
    struct yaml_node nothing = {.text = "", .place = {override_name, 1, shift + 1}};
    const struct yaml_node *node =
        text[strspn(text, " \t")] == '\0'
            ? &nothing
            : yaml_tree_read(&scenario->memory, override_name, text, strlen(text), shift, out);
    if (!node) {
        return false;
    }
    scenario_read_value(scenario, field_at(target->row), node, value, out);
    return true;
}

// A wrong value is kept where whatever it was to say shall not be called missing as well.
static bool override_apply(struct scenario *scenario, const char *assignment, bool keep_wrong,
                           struct diagnostics *out) {
    const size_t before = out->errors;
    const size_t written[] = {scenario->written_us, scenario->written_metric};
    struct override_target target;
    struct field_value value;
    scenario->memory.failed = false;
    const bool read = override_read(scenario, assignment, &target, &value, out);
    if (scenario->memory.failed) {
        diagnostics_no_memory(out);
    }
    const bool fine = out->errors == before;
    if (read && (fine || keep_wrong)) {
        override_store(scenario, &target, &value);
    }
    if (!fine && !keep_wrong) {
        scenario->memory.failed = false; // nothing of it is in use
        scenario->written_us = written[0];
        scenario->written_metric = written[1];
    }
    return fine;
}

bool scenario_override(struct scenario *scenario, const char *assignment, struct diagnostics *out) {
    return override_apply(scenario, assignment, true, out);
}

bool scenario_change(struct scenario *scenario, const char *assignment, struct diagnostics *out) {
    return override_apply(scenario, assignment, false, out);
}

bool scenario_set_quantity(struct scenario *scenario, const char *path,
                           const struct quantity *quantity) {
    struct override_target target;
    if (!override_find(scenario, path, &target) || !isfinite(quantity->value)) {
        return false;
    }
    const struct field *field = field_at(target.row);
    if (field->type != FIELD_NUMBER && field->type != FIELD_SCHEDULE) {
        return false;
    }
    struct field_value value = *override_value(scenario, &target);
    value.provenance = PROVENANCE_GIVEN;
    value.wrong = false;
    value.ranged = false; // a study may leave it
    value.text = "(set by a study)";
    // Results stay in the unit that the value was written in.
    const struct quantity *before = value.schedule && value.schedule->shape != SHAPE_POINTS
                                        ? &value.schedule->base
                                        : &value.quantity;
    const char *token = before->kind == field->kind ? before->token : NULL;
    value.quantity = *quantity;
    value.quantity.token = token;
    if (field->type == FIELD_SCHEDULE) {
        struct schedule_input *input = arena_alloc(&scenario->memory, sizeof *input);
        if (!input) {
            return false;
        }
        input->base = value.quantity;
        value.schedule = input;
    }
    override_store(scenario, &target, &value);
    return true;
}

bool scenario_set_si(struct scenario *scenario, const char *path, double si) {
    struct override_target target;
    if (!override_find(scenario, path, &target)) {
        return false;
    }
    const struct quantity quantity = units_quantity_si(field_at(target.row)->kind, si);
    return scenario_set_quantity(scenario, path, &quantity);
}

size_t scenario_find(const struct scenario *scenario, const char *path, size_t *trim) {
    struct override_target target;
    *trim = 0;
    if (!override_find(scenario, path, &target)) {
        return field_count();
    }
    const struct scenario_trim *own = scenario->trims;
    while (target.trim && own != target.trim) {
        own = own->next;
        (*trim)++;
    }
    *trim = target.trim ? *trim : scenario_trim_count(scenario);
    return target.row;
}

bool scenario_is_changed(const struct scenario *scenario) {
    const size_t trims = scenario_trim_count(scenario);
    for (size_t i = 0; i < field_count(); i++) {
        const char *section = field_at(i)->section;
        if (strcmp(section, "run") == 0 || strcmp(section, "output") == 0) {
            continue;
        }
        for (size_t t = 0; t < trims; t++) {
            struct scenario_entry entry;
            if (scenario_provenance(scenario, t, i, &entry) && entry.place.file &&
                strcmp(entry.place.file, override_name) == 0) {
                return true;
            }
        }
    }
    return false;
}
