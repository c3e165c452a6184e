// SPDX-License-Identifier: MIT
// Names that no scenario has. A user who misspelt one must see it; but what is named as a scenario
// may be any file that the program can read and somebody else looks at what it says, so that no
// more of such a file is repeated than a misspelling takes.
#include "scenario/scenario_data.h"

#include "base/nearest.h"

#include <string.h>

enum { NAMED_MAX = 10 };

const char *scenario_tight(const char *text) {
    return yaml_text_tight(text) ? "; put a space after the colon" : "";
}

const char *scenario_quoted(struct arena *arena, const char *key, bool meant) {
    return meant || yaml_text_name(key) ? arena_format(arena, "'%s'", scenario_shown(arena, key))
                                        : "of that name";
}

static bool is_section(const struct yaml_node *node) {
    static const char *const lists[] = {"trims", "expect", "observed"};
    bool known = field_index("", node->key) < field_count() || field_section_find(node->key);
    for (size_t i = 0; i < sizeof lists / sizeof lists[0]; i++) {
        known = known || strcmp(node->key, lists[i]) == 0;
    }
    return known && node->key[0] != '\0';
}

bool scenario_is_strange(const struct scenario *scenario, const struct yaml_node *root) {
    const char *dot = strrchr(scenario->name, '.');
    bool strange = root->kind == YAML_MAPPING && root->first;
    strange = strange && (!dot || (strcmp(dot, ".yaml") != 0 && strcmp(dot, ".yml") != 0));
    for (const struct yaml_node *child = root->first; child && strange; child = child->next) {
        strange = !is_section(child);
    }
    return strange;
}

// What was probably meant by a key that is no section; NULL: nothing like it.
static const char *nearest_section(struct scenario *scenario, const char *key) {
    struct nearest search = nearest_start(key);
    nearest_offer(&search, "trims");
    nearest_offer(&search, "expect");
    nearest_offer(&search, "observed");
    const struct field_section *section;
    for (size_t i = 0; (section = field_section_at(i)); i++) {
        if (section->name[0]) {
            nearest_offer(&search, section->name);
        }
        for (size_t j = 0; !section->name[0] && j < section->count; j++) {
            nearest_offer(&search, section->rows[j].name);
        }
    }
    // A field that lost its section.
    for (size_t i = 0; !search.best && i < field_count(); i++) {
        if (strcmp(field_at(i)->name, key) == 0) {
            search.best = scenario_label(&scenario->memory, field_at(i));
        }
    }
    return search.best;
}

const struct field_section *scenario_unknown_section(struct scenario *scenario,
                                                     const struct yaml_node *node,
                                                     struct diagnostics *out) {
    const char *hint = nearest_section(scenario, node->key);
    const bool meant = hint && !yaml_text_tight(node->key);
    const char *quoted = scenario_quoted(&scenario->memory, node->key, meant);
    if (meant) {
        diagnostics_error(out, node->key_place, "no section %s; did you mean %s?", quoted, hint);
    } else if (scenario->strange_names++ < NAMED_MAX) {
        diagnostics_error(out, node->key_place, "no section %s%s", quoted,
                          scenario_tight(node->key));
    } else if (scenario->strange_names == NAMED_MAX + 1) {
        diagnostics_error(out, node->key_place, "more names from here on that are no section");
    }
    return hint && node->kind == YAML_MAPPING ? field_section_find(hint) : NULL;
}
