// SPDX-License-Identifier: MIT
// One value as it is typed behind `section.name=`: YAML 1.2 on one line. Plain and quoted scalars,
// [lists], {mappings} and a single `key: value`; what YAML has beyond these is refused. For where
// libfyaml is not to be had; tests/test_yaml_value.c holds it against libfyaml, tree and message.
#pragma once

#include "yaml/yaml_tree.h"

// yaml_tree_read for such a text.
struct yaml_node *yaml_value_read(struct arena *arena, const char *name, const char *text,
                                  size_t length, int column_shift, struct diagnostics *out);
