// SPDX-License-Identifier: MIT
// Values as typed behind `section.name=`, by the reader of pages; and whole scenarios as a page
// gets them (the first byte says which).
#include "fuzz.h"

#include "scenario/scenario_dump.h"
#include "yaml/yaml_value.h"

static void check_tree(const struct yaml_node *node, int depth) {
    fuzz_require(depth <= YAML_DEPTH_MAX + 2);
    fuzz_require(node->kind != YAML_SCALAR || node->text);
    for (const struct yaml_node *child = node->first; child; child = child->next) {
        fuzz_require(node->kind != YAML_MAPPING || child->key);
        check_tree(child, depth + 1);
    }
}

static void read_value(const char *text, size_t length) {
    struct diagnostics list = {0};
    struct arena arena = {0};
    const struct yaml_node *tree = yaml_value_read(&arena, "value", text, length, 0, &list);
    fuzz_require(tree || list.errors > 0);
    if (tree) {
        check_tree(tree, 0);
    }
    diagnostics_free(&list);
    arena_free(&arena);
}

static void read_dump(const char *text, size_t length) {
    struct diagnostics list = {0};
    struct scenario *scenario = scenario_load_dump(text, length, &list);
    fuzz_require(scenario || list.errors > 0);
    if (scenario) {
        const bool fine = scenario_check(scenario, &list);
        fuzz_require(fine || list.errors > 0);
    }
    diagnostics_free(&list);
    scenario_free(scenario);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    if (size == 0) {
        return 0;
    }
    char *text = fuzz_text(data + 1, size - 1);
    (data[0] == 'd' ? read_dump : read_value)(text, size - 1);
    free(text);
    return 0;
}
