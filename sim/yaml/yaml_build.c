// SPDX-License-Identifier: MIT
#include "yaml/yaml_build.h"

#include <string.h>

static struct yaml_level *yaml_level(struct yaml_build *build) {
    return build->depth ? &build->levels[build->depth - 1] : NULL;
}

bool yaml_build_at_key(const struct yaml_build *build) {
    const struct yaml_level *level = build->depth ? &build->levels[build->depth - 1] : NULL;
    return level && level->node->kind == YAML_MAPPING && !level->key;
}

// Puts a value under its parent and takes the waiting key.
static void yaml_attach(struct yaml_build *build, struct yaml_node *node) {
    struct yaml_level *level = yaml_level(build);
    if (!level) {
        if (!build->root) {
            build->root = node;
        }
        return;
    }
    bool keep = true;
    if (level->node->kind == YAML_MAPPING) {
        node->key = level->key;
        node->key_place = level->key_place;
        if (node->place.line == 0) {
            node->place = level->key_place;
        }
        keep = !level->key_refused;
        level->key = NULL;
        level->key_refused = false;
    }
    if (!keep) {
        return;
    }
    if (level->last) {
        level->last->next = node;
    } else {
        level->node->first = node;
    }
    level->last = node;
}

static const char *yaml_named(const char *key) {
    return yaml_text_name(key) ? key : "?";
}

// The keys that lead to one, with dots between: vessel.volume. What is no name is not repeated: the
// text may be of something else than a scenario.
static const char *yaml_path(const struct yaml_build *build, const char *text) {
    const char *path = "";
    for (size_t i = 0; i < build->depth; ++i) {
        const char *key = build->levels[i].node->key;
        if (key) {
            path = arena_format(build->arena, "%s%s.", path, yaml_named(key));
        }
    }
    return arena_format(build->arena, "%s%s", path, yaml_named(text));
}

void yaml_build_key(struct yaml_build *build, const char *text, struct place place) {
    struct yaml_level *level = yaml_level(build);
    level->key = text;
    level->key_place = place;
    if (++level->keys > YAML_KEYS_MAX) {
        // Repeated keys are looked for one by one, so a hostile text must end somewhere.
        diagnostics_error(build->out, place, "more than %d keys in one mapping", YAML_KEYS_MAX);
        level->key_refused = true;
        return;
    }
    const struct yaml_node *other = yaml_tree_child(level->node, text);
    if (strcmp(text, "<<") == 0) {
        diagnostics_error(build->out, place, "merge keys '<<' are not used in scenarios");
        level->key_refused = true;
    } else if (text[0] == '\0') {
        diagnostics_error(build->out, place, "a key is missing before ':'");
        level->key_refused = true;
    } else if (other) {
        diagnostics_error(build->out, place, "%s: given twice; first in line %d",
                          yaml_path(build, text), other->key_place.line);
        level->key_refused = true;
    }
}

void yaml_build_refused_key(struct yaml_build *build, const char *text, struct place place) {
    yaml_build_key(build, text, place);
    yaml_level(build)->key_refused = true;
}

void yaml_build_scalar(struct yaml_build *build, const char *text, struct place place,
                       bool quoted) {
    struct yaml_node *node = arena_alloc(build->arena, sizeof *node);
    if (!node) {
        return;
    }
    node->kind = YAML_SCALAR;
    node->text = text;
    node->place = place;
    node->quoted = quoted;
    yaml_attach(build, node);
}

void yaml_build_refused(struct yaml_build *build, struct place place) {
    struct yaml_node *node = arena_alloc(build->arena, sizeof *node);
    if (!node) {
        return;
    }
    node->text = "";
    node->place = place;
    node->refused = true;
    yaml_attach(build, node);
}

bool yaml_build_open(struct yaml_build *build, enum yaml_kind kind, struct place place) {
    if (yaml_build_at_key(build)) {
        diagnostics_error(build->out, place, "a key must be a plain word");
        return false;
    }
    if (build->depth == YAML_DEPTH_MAX) {
        diagnostics_error(build->out, place, "nested deeper than %d levels", YAML_DEPTH_MAX);
        return false;
    }
    struct yaml_node *node = arena_alloc(build->arena, sizeof *node);
    if (!node) {
        return false;
    }
    node->kind = kind;
    node->text = "";
    node->place = place;
    yaml_attach(build, node);
    build->levels[build->depth++] = (struct yaml_level){.node = node};
    return true;
}

void yaml_build_close(struct yaml_build *build) {
    --build->depth;
}

struct yaml_node *yaml_tree_child(const struct yaml_node *mapping, const char *key) {
    for (struct yaml_node *child = mapping->first; child; child = child->next) {
        if (child->key && strcmp(child->key, key) == 0) {
            return child;
        }
    }
    return NULL;
}

size_t yaml_tree_count(const struct yaml_node *node) {
    size_t count = 0;
    for (const struct yaml_node *child = node->first; child; child = child->next) {
        ++count;
    }
    return count;
}
