// SPDX-License-Identifier: MIT
// Scenario files, with a change of one field as --set makes it. Text before a line of two percent
// signs is the file, text after it an assignment.
#include "fuzz.h"

#include "scenario/scenario.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    static const char mark[] = "\n%%\n";
    char *text = fuzz_text(data, size);
    char *assignment = strstr(text, mark);
    const size_t length = assignment ? (size_t)(assignment - text) : size;
    struct diagnostics list = {0};
    struct scenario *scenario = scenario_load_text("fuzz.yaml", text, length, &list);
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
