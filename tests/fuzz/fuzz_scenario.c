// SPDX-License-Identifier: MIT
// Scenario files, with a change of one field as --set makes it. Text before a line of two percent
// signs is the file, text after it an assignment.
#include "fuzz.h"

#include "scenario/scenario_data.h"

// What scenario_load_text does, on a copy of an empty scenario: to fill in the defaults of the
// table takes longer than to read a text, and is the same for each.
static struct scenario *load(const char *text, size_t length, struct diagnostics *list) {
    static struct scenario *empty; // kept for the life of the program
    empty = empty ? empty : scenario_create("fuzz.yaml");
    struct scenario *scenario = scenario_copy(empty);
    fuzz_require(scenario);
    size_t sections = 0;
    while (field_section_at(sections)) {
        sections++;
    }
    scenario->section_places =
        arena_alloc(&scenario->memory, sections * sizeof *scenario->section_places);
    const struct yaml_node *root =
        yaml_tree_read(&scenario->memory, scenario->name, text, length, 0, list);
    if (root && scenario_read(scenario, root, list)) {
        return scenario;
    }
    scenario_free(scenario);
    return NULL;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    static const char mark[] = "\n%%\n";
    char *text = fuzz_text(data, size);
    if (fuzz_is_lossy(text)) {
        free(text);
        return 0;
    }
    char *assignment = strstr(text, mark);
    const size_t length = assignment ? (size_t)(assignment - text) : size;
    struct diagnostics list = {0};
    struct scenario *scenario = load(text, length, &list);
    fuzz_require(scenario || list.errors > 0);
    if (scenario && assignment) {
        scenario_override(scenario, assignment + sizeof mark - 1, &list);
    }
    if (scenario) {
        struct scenario_entry entry;
        const bool fine = scenario_check(scenario, &list);
        fuzz_require(fine || list.errors > 0); // a refusal always says why
        for (size_t i = 0; scenario_provenance(scenario, 0, i, &entry); i += 17) {
            fuzz_require(entry.text);
        }
    }
    diagnostics_sort(&list);
    diagnostics_free(&list);
    scenario_free(scenario);
    free(text);
    return 0;
}
