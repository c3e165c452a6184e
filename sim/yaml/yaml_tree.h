// SPDX-License-Identifier: MIT
// A YAML 1.2 text as a plain tree in which every key and value knows its line and column. Only
// yaml_tree.c talks to libfyaml. Refuses what a scenario never needs: anchors, aliases, merges,
// tags, a second document, keys that are not plain words, repeated keys.
#pragma once

#include "base/arena.h"
#include "base/diagnostic.h"

#include <stdbool.h>
#include <stddef.h>

enum yaml_kind { YAML_SCALAR, YAML_SEQUENCE, YAML_MAPPING };

struct yaml_node {
    enum yaml_kind kind;
    struct place place;
    const char *text;        // scalar; never NULL
    bool quoted;             // scalar written in quotes
    bool refused;            // already reported: say no more about it
    const char *key;         // key under which a mapping holds this node, else NULL
    struct place key_place;  // of that key
    struct yaml_node *first; // first child of a sequence or mapping, in order of the text
    struct yaml_node *next;  // next child of the same parent
};

enum {
    YAML_SIZE_MAX = 1 << 20, // [bytes]
    YAML_DEPTH_MAX = 16,
    YAML_KEYS_MAX = 1000, // in one mapping
    YAML_NAME_MAX = 40,   // of a key that messages repeat [bytes]
};

// Tree of the text, or NULL when it cannot be read to its end or holds nothing (reported). Without
// memory it is NULL too, and the arena says so. Other errors are reported and leave a tree without
// the offending part. The tree lives in the arena; name is printed as the file's. First column
// counts from column_shift + 1 (for text given inside a command line).
struct yaml_node *yaml_tree_read(struct arena *arena, const char *name, const char *text,
                                 size_t length, int column_shift, struct diagnostics *out);

// Whether the text is UTF-8 without control characters; reports the first that is not.
bool yaml_text_check(const char *name, const char *text, size_t length, int column_shift,
                     struct diagnostics *out);

// Whether a key could have been meant as a name, so that a message may repeat it: letters (of any
// script), digits, '_', '-' and '.', and few of them.
bool yaml_text_name(const char *text);

// Whether a text looks like `key:value`, with the blank after the colon forgotten.
bool yaml_text_tight(const char *text);

// The line with such a colon at or just before a line (from 1) of a text, 0 if there is none;
// column is then that of its key. libfyaml notices one only where the next line begins.
int yaml_text_tight_line(const char *text, size_t length, int line, int *column);

// Child of a mapping with that key, or NULL.
struct yaml_node *yaml_tree_child(const struct yaml_node *mapping, const char *key);

// Number of children.
size_t yaml_tree_count(const struct yaml_node *node);
