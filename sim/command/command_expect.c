// SPDX-License-Identifier: MIT
// `lowlift expect`: run scenarios and check what they say about themselves.
#include "base/clean.h"
#include "command/all.h"
#include "library/inside.h"
#include "run/expect.h"
#include "shell/request.h"

#include <stdio.h>

static bool run(void *context, size_t trim, struct scenario_case *scenario,
                struct simulation *simulation) {
    struct lowlift_result *result = lowlift_run(context, trim);
    const bool fine = inside_take_run(result, scenario, simulation);
    lowlift_free(result);
    return fine;
}

static int check_opened(struct lowlift_scenario *opened, const char *path,
                        struct expect_tally *sum) {
    const struct scenario *scenario = inside_scenario(opened);
    const bool wrong = !scenario || lowlift_check(opened) > 0;
    const struct scenario *read = scenario ? scenario : inside_refused(opened);
    struct expect_tally tally = {0};
    int code = EXIT_CODE_DONE;
    if (wrong && read && expect_wants_refusal(read)) {
        tally = expect_refusal(stdout, read, lowlift_errors(opened));
    } else if (wrong) {
        fputs(lowlift_errors(opened), stderr);
        code = EXIT_CODE_SCENARIO;
    } else if (scenario_expect_count(scenario) == 0) {
        clean_say(stdout, "%s: expects nothing", path);
    } else {
        tally = expect_check(stdout, scenario, run, opened);
    }
    sum->met += tally.met;
    sum->missed += tally.missed;
    return code;
}

static int check_one(const char *path, struct expect_tally *sum) {
    struct lowlift_scenario *opened = lowlift_open(path);
    inside_keep_runs(opened);
    const int code = check_opened(opened, path, sum);
    lowlift_close(opened);
    return code;
}

static int expect(struct request *request) {
    struct expect_tally sum = {0};
    int code = EXIT_CODE_DONE;
    if (request->files == 0) {
        return command_usage(request->command, "no scenario file named");
    }
    for (int i = 0; i < request->files; i++) {
        const int one = check_one(request->file[i], &sum);
        code = code == EXIT_CODE_DONE ? one : code;
    }
    printf("%zu met, %zu missed\n", sum.met, sum.missed);
    return code == EXIT_CODE_DONE && sum.missed > 0 ? EXIT_CODE_EXPECT : code;
}

const struct command command_expect = {
    .name = "expect",
    .summary = "run scenarios and check the figures they promise",
    .arguments = "SCENARIO.yaml [SCENARIO.yaml ...]",
    .about = "Runs each scenario that has `expect` rows and compares: a verdict by its name, a "
             "figure within its tolerance, or, with quantity `refusal`, key words of the error "
             "with which the scenario must be refused.",
    .examples =
        "Example:\n"
        "  lowlift expect scenarios/oversized.yaml\n"
        "\n"
        "A row in a scenario:\n"
        "  expect:\n"
        "    - {trim: full, quantity: verdict, value: slamming, source: own run}\n"
        "    - {trim: full, quantity: frequency, value: 0.45 Hz, tolerance: 5 %, source: own "
        "run}\n",
    .exits = EXITS_SCENARIO | EXITS_EXPECT,
    .run = expect,
};
