// SPDX-License-Identifier: MIT
// Files of weighted draws.
#include "fuzz_base.h"

#include "study/draws.h"

#include <math.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    static struct fuzz_file file;
    fuzz_file_fill(&file, data, size);
    struct diagnostics list = {0};
    struct draws draws;
    const bool fine = draws_read(file.path, fuzz_base(), &draws, &list);
    fuzz_require(fine || list.errors > 0);
    if (fine) {
        double sum = 0.0;
        for (size_t i = 0; i < draws.count; i++) {
            fuzz_require(draws.weight[i] >= 0.0 && draws.weight[i] <= 1.0 + 1e-6);
            sum += draws.weight[i];
        }
        fuzz_require(fabs(sum - 1.0) < 1e-3 && draws_effective(&draws) > 0.0);
        struct scenario *copy = scenario_copy(fuzz_base());
        fuzz_require(copy && draws_apply(&draws, draws.count - 1, copy, &list));
        scenario_free(copy);
    }
    draws_free(&draws);
    diagnostics_free(&list);
    return 0;
}
