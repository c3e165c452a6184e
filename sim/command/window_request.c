// SPDX-License-Identifier: MIT
#include "command/window_request.h"

#include "steady/trim_window.h"

#include <math.h>
#include <stdio.h>

int window_request_kick(const struct study_request *request, const char *text,
                        const struct scenario_case *scenario, double *kick) {
    const struct study_option option = {"kick=", text};
    *kick = trim_window_kick(scenario);
    if (!text) {
        return EXIT_CODE_DONE;
    }
    const int code = study_request_quantity(request, &option, UNIT_PRESSURE_DROP, &scenario->site,
                                            (double)NAN, kick);
    if (code == EXIT_CODE_DONE && !(*kick > 0.0)) {
        return command_usage(request->command, "--kick: found '%s'; allowed more than nothing",
                             text);
    }
    return code;
}

int window_request_outcome(const struct study_request *request, enum study_status status,
                           const char *message) {
    int code = EXIT_CODE_SOLVER;
    switch (status) {
    case STUDY_DONE:
        return EXIT_CODE_DONE;
    case STUDY_INTERRUPTED:
        code = EXIT_CODE_SIGNAL;
        break;
    case STUDY_BAD_SCENARIO:
        code = EXIT_CODE_SCENARIO;
        break;
    case STUDY_BAD_CHECKPOINT:
    case STUDY_OUTPUT_FAILED:
        code = EXIT_CODE_OUTPUT;
        break;
    case STUDY_NO_MEMORY:
        break;
    }
    fprintf(stderr, "lowlift %s: %s\n", request->command->name, message);
    return code;
}
