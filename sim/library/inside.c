// SPDX-License-Identifier: MIT
#include "library/inside.h"

#include "library/lowlift_result.h"
#include "library/lowlift_scenario.h"

#include <stdlib.h>

struct scenario *inside_scenario(struct lowlift_scenario *handle) {
    return handle ? handle->scenario : NULL;
}

const struct scenario *inside_refused(const struct lowlift_scenario *handle) {
    return handle ? handle->refused : NULL;
}

void inside_keep_runs(struct lowlift_scenario *handle) {
    if (handle) {
        handle->keep_runs = true;
    }
}

bool inside_take_run(struct lowlift_result *result, struct scenario_case *scenario,
                     struct simulation *simulation) {
    if (!result || !result->run) {
        return false;
    }
    *scenario = result->run->scenario;
    *simulation = result->run->simulation;
    free(result->run);
    result->run = NULL;
    return true;
}
