// SPDX-License-Identifier: MIT
// `lowlift verdicts`: the one table of numbers that define the verdicts.
#include "command/command.h"
#include "judge/verdict.h"

#include <string.h>

static int verdicts(const struct command *command, int argc, char **argv) {
    for (int i = 1; i < argc; i++) {
        if (strcmp(argv[i], "--help") == 0 || strcmp(argv[i], "-h") == 0) {
            return command_help(command);
        }
        return command_usage(command, "found '%s'; allowed --help", argv[i]);
    }
    struct verdict_limits limits = verdict_limits_default();
    verdict_limits_print(stdout, &limits);
    return command_finish(command, EXIT_CODE_DONE);
}

const struct command command_verdicts = {
    .name = "verdicts",
    .summary = "print the verdicts in order of severity and the numbers that define them",
    .run = verdicts,
    .help = "Usage: lowlift verdicts\n"
            "\n"
            "Prints every verdict in order of severity with what it means, and the table of\n"
            "numbers by which a run is judged, each with its reason.\n"
            "\n"
            "Example: how many seat contacts a minute are chatter?\n"
            "  lowlift verdicts | grep chatter\n"
            "\n"
            "Exit codes: 0 done, 2 bad usage, 5 output failed.\n",
};
