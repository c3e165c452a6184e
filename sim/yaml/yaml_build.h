// SPDX-License-Identifier: MIT
// A tree of keys and values as it grows, whoever reads the text: libfyaml, the reader of a dump, or
// that of one value. Refuses what every tree must be free of: repeated keys, merge keys, too many
// keys or levels. Knows no text but that of keys and values.
#pragma once

#include "yaml/yaml_tree.h"

struct yaml_level {
    struct yaml_node *node;
    struct yaml_node *last; // its newest child
    const char *key;        // key waiting for its value
    struct place key_place;
    bool key_refused;
    size_t keys;
};

// Begins as {.arena = ..., .out = ...}; all keys and values live as long as the arena.
struct yaml_build {
    struct arena *arena;
    struct diagnostics *out;
    struct yaml_node *root;
    struct yaml_level levels[YAML_DEPTH_MAX];
    size_t depth;
};

// A mapping takes its children in pairs: whether a key comes next.
bool yaml_build_at_key(const struct yaml_build *build);

// A key, where one comes next. What it must not be is reported, and its value then left out.
void yaml_build_key(struct yaml_build *build, const char *text, struct place place);

// A key that was reported already.
void yaml_build_refused_key(struct yaml_build *build, const char *text, struct place place);

// Without memory the arena has failed, and nothing is added.
// A scalar as a value, where no key comes next. An unknown place (line 0) becomes its key's.
void yaml_build_scalar(struct yaml_build *build, const char *text, struct place place, bool quoted);

// A value that was reported already.
void yaml_build_refused(struct yaml_build *build, struct place place);

// Opens a sequence or mapping; false, and reported, when it stands as a key or too deep.
bool yaml_build_open(struct yaml_build *build, enum yaml_kind kind, struct place place);
void yaml_build_close(struct yaml_build *build);
