// SPDX-License-Identifier: MIT
// What every reader of a scenario's parts says: the names of fields, what was found as far as a
// line can bear it, which word was probably meant, and a number with its unit.
#include "scenario/scenario_data.h"

#include "base/clean.h"
#include "base/nearest.h"

#include <string.h>

const char *scenario_label(struct arena *arena, const struct field *field) {
    if (!field->section[0]) {
        return field->name;
    }
    const size_t section = strlen(field->section);
    const size_t name = strlen(field->name);
    char *label = arena_alloc(arena, section + name + 2);
    if (!label) {
        return "";
    }
    memcpy(label, field->section, section);
    label[section] = '.';
    memcpy(label + section + 1, field->name, name);
    return label;
}

const char *scenario_shown(struct arena *arena, const char *text) {
    enum { SHOWN_MAX = 60 };
    if (strlen(text) <= SHOWN_MAX) {
        return text;
    }
    return arena_format(arena, "%.*s...", clean_whole(text, SHOWN_MAX), text);
}

void scenario_unknown(const char *owner, const struct yaml_node *child, const char *const *words,
                      struct diagnostics *out) {
    struct arena memory = {0};
    const char *allowed = "";
    struct nearest search = nearest_start(child->key);
    for (size_t i = 0; words[i]; i++) {
        nearest_offer(&search, words[i]);
        allowed = arena_format(&memory, "%s%s%s", allowed, i ? ", " : "", words[i]);
    }
    const char *shown = scenario_shown(&memory, child->key);
    if (search.best) {
        diagnostics_error(out, child->key_place, "%s: found '%s'; allowed %s; did you mean %s?",
                          owner, shown, allowed, search.best);
    } else {
        diagnostics_error(out, child->key_place, "%s: found '%s'; allowed %s", owner, shown,
                          allowed);
    }
    arena_free(&memory);
}

bool scenario_read_quantity(struct scenario *scenario, const char *label, enum unit_kind kind,
                            const struct yaml_node *node, struct quantity *out,
                            struct diagnostics *list) {
    if (node->refused) {
        return false;
    }
    if (node->kind != YAML_SCALAR || node->text[0] == '\0') {
        diagnostics_error(list, node->place, "%s: found %s; allowed a %s: %s", label,
                          node->kind == YAML_SCALAR ? "nothing" : "a list or mapping",
                          units_kind_name(kind), units_allowed(kind));
        return false;
    }
    char message[UNIT_MESSAGE_SIZE];
    const char *error = units_parse(node->text, kind, out, message);
    if (error) {
        diagnostics_error(list, node->place, "%s: found '%s'; %s", label,
                          scenario_shown(&scenario->memory, node->text), error);
        return false;
    }
    scenario->written_us += out->system == UNITS_US;
    scenario->written_metric += out->system == UNITS_METRIC;
    return true;
}
