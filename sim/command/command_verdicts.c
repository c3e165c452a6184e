// SPDX-License-Identifier: MIT
// `lowlift verdicts`: the one table of numbers that define the verdicts.
#include "command/all.h"
#include "judge/verdict.h"
#include "shell/request.h"

#include <stdio.h>

static int verdicts(struct request *request) {
    if (request->files > 0) {
        return command_usage(request->command, "found '%s'; allowed options only",
                             request->file[0]);
    }
    const struct verdict_limits limits = verdict_limits_default();
    verdict_limits_print(stdout, &limits);
    return EXIT_CODE_DONE;
}

const struct command command_verdicts = {
    .name = "verdicts",
    .summary = "print the verdicts in order of severity and the numbers that define them",
    .arguments = "",
    .about = "Prints every verdict in order of severity with what it means, and the table of "
             "numbers by which a run is judged, each with its reason.",
    .examples = "Example: how many seat contacts a minute are chatter?\n"
                "  lowlift verdicts | grep chatter\n",
    .run = verdicts,
};
