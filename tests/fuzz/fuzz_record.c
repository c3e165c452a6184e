// SPDX-License-Identifier: MIT
// Records of flow and pressure over time, or over dates, as a scenario names them: the first byte
// says which field asks for it.
#include "fuzz_base.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    static const char *const ask[] = {"inflow.rate={record: %s}",
                                      "downstream.pressure={record: %s}",
                                      "set.pressure={record: %s}", "decline.record=%s"};
    static struct fuzz_file file;
    if (size == 0) {
        return 0;
    }
    fuzz_file_fill(&file, data + 1, size - 1);
    char assignment[100];
    snprintf(assignment, sizeof assignment, ask[data[0] % (sizeof ask / sizeof ask[0])], file.path);
    struct diagnostics list = {0};
    struct scenario *scenario = scenario_copy(fuzz_base());
    fuzz_require(scenario);
    const bool taken = scenario_override(scenario, assignment, &list);
    fuzz_require(taken || list.errors > 0);
    struct scenario_case resolved; // of one trim: the other differs in a port
    const bool fine = scenario_resolve(scenario, 0, &resolved, &list);
    fuzz_require(fine || list.errors > 0);
    scenario_case_free(&resolved);
    diagnostics_free(&list);
    scenario_free(scenario);
    return 0;
}
