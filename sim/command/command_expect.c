// SPDX-License-Identifier: MIT
// `lowlift expect`: run scenarios and check what they say about themselves.
#include "command/command.h"
#include "run/expect.h"

#include <string.h>

static int check_one(const char *path, struct expect_tally *sum) {
    struct diagnostics list = {0};
    struct scenario *scenario = scenario_load(path, &list);
    if (!scenario) {
        diagnostics_print(&list, stderr);
        diagnostics_free(&list);
        return EXIT_CODE_SCENARIO;
    }
    int code = EXIT_CODE_DONE;
    scenario_check(scenario, &list);
    struct expect_tally tally = {0};
    if (list.errors > 0 && expect_wants_refusal(scenario)) {
        tally = expect_refusal(stdout, scenario, &list);
    } else if (list.errors > 0) {
        diagnostics_print(&list, stderr);
        code = EXIT_CODE_SCENARIO;
    } else if (scenario_expect_count(scenario) == 0) {
        printf("%s: expects nothing\n", path);
    } else {
        tally = expect_check(stdout, scenario);
    }
    sum->met += tally.met;
    sum->missed += tally.missed;
    scenario_free(scenario);
    diagnostics_free(&list);
    return code;
}

static int expect(const struct command *command, int argc, char **argv) {
    if (argc < 2) {
        return command_usage(command, "no scenario file named");
    }
    struct expect_tally sum = {0};
    int code = EXIT_CODE_DONE;
    for (int i = 1; i < argc; i++) {
        if (strcmp(argv[i], "--help") == 0 || strcmp(argv[i], "-h") == 0) {
            return command_help(command);
        }
        if (argv[i][0] == '-') {
            return command_usage(command, "found '%s'; allowed --help", argv[i]);
        }
        int one = check_one(argv[i], &sum);
        code = code == EXIT_CODE_DONE ? one : code;
    }
    printf("%zu met, %zu missed\n", sum.met, sum.missed);
    if (code == EXIT_CODE_DONE && sum.missed > 0) {
        code = EXIT_CODE_EXPECT;
    }
    return command_finish(command, code);
}

const struct command command_expect = {
    .name = "expect",
    .summary = "run scenarios and check the figures they promise",
    .run = expect,
    .help =
        "Usage: lowlift expect SCENARIO.yaml [SCENARIO.yaml ...]\n"
        "\n"
        "Runs each scenario that has `expect` rows and compares: a verdict by its name, a\n"
        "figure within its tolerance, or, with quantity `refusal`, key words of the error\n"
        "with which the scenario must be refused.\n"
        "\n"
        "Example:\n"
        "  lowlift expect scenarios/decline.yaml\n"
        "\n"
        "A row in a scenario:\n"
        "  expect:\n"
        "    - {trim: full, quantity: verdict, value: slamming, source: own run}\n"
        "    - {trim: full, quantity: frequency, value: 0.45 Hz, tolerance: 5 %, source: own run}\n"
        "\n"
        "Exit codes: 0 all met, 2 bad usage, 3 bad scenario, 5 output failed, 7 a row is missed.\n",
};
