// SPDX-License-Identifier: MIT
// `lowlift compare`: several trims, or several scenarios, in one table and one picture.
#include "command/command.h"
#include "show/report.h"
#include "show/run_output.h"

#include <stdlib.h>
#include <string.h>

static void print_table(const struct run_set *set) {
    const struct scenario_case *scenario[RUN_REQUEST_MAX];
    const struct simulation *run[RUN_REQUEST_MAX];
    const char *label[RUN_REQUEST_MAX];
    for (size_t i = 0; i < set->count; i++) {
        label[i] = set->label[i];
        scenario[i] = &set->scenario[i];
        run[i] = &set->run[i];
    }
    if (!set->request->shared.quiet) {
        report_comparison(stdout, set->count, label, scenario, run);
        return;
    }
    for (size_t i = 0; i < set->count; i++) {
        printf("%s: %s\n", set->label[i], verdict_name(set->run[i].judged.verdict));
    }
}

static bool all_recorded(const struct run_set *set) {
    for (size_t i = 0; i < set->count; i++) {
        if (set->run[i].count == 0) {
            return false;
        }
    }
    return true;
}

static int carry_out(struct run_set *set) {
    int code = run_set_open(set);
    if (code != EXIT_CODE_DONE) {
        return code;
    }
    code = run_set_simulate(set);
    if (code == EXIT_CODE_SCENARIO || !all_recorded(set)) {
        return code;
    }
    print_table(set);
    char stem[256];
    run_output_stem(scenario_name(set->request->target[0].scenario), stem, sizeof stem);
    size_t used = strlen(stem);
    snprintf(stem + used, sizeof stem - used, ".compare");
    int output = run_output_write(set, stem);
    if (output != EXIT_CODE_DONE) {
        return output;
    }
    run_set_more(set);
    return run_set_worst(set, code);
}

static int compare(const struct command *command, int argc, char **argv) {
    struct run_request request;
    int code = run_request_read(command, argc, argv, true, &request);
    if (code == EXIT_CODE_DONE && request.target_count < 2) {
        code = command_usage(command, "found one trim only; name a scenario with several under "
                                      "`trims`, or several scenarios");
    }
    if (code == EXIT_CODE_DONE) {
        struct run_set *set = calloc(1, sizeof *set);
        if (set) {
            set->command = command;
            set->request = &request;
            code = carry_out(set);
            run_set_close(set);
            free(set);
        } else {
            code = EXIT_CODE_SOLVER;
        }
    }
    run_request_free(&request);
    return code == -1 ? command_help(command) : command_finish(command, code);
}

const struct command command_compare = {
    .name = "compare",
    .summary = "simulate several trims or scenarios side by side",
    .run = compare,
    .help =
        "Usage: lowlift compare [options] SCENARIO.yaml [SCENARIO.yaml ...]\n"
        "\n"
        "Simulates every trim of each scenario (or those named with --trim) and prints one\n"
        "table, a column each. Draws one picture: controlled pressure, plug travel, chamber\n"
        "pressure and flow over time on the same axes, seat contacts marked, and travel against\n"
        "pressure, where a limit cycle shows as a loop.\n"
        "\n"
        "Example: full against reduced port, as png to send to a customer\n"
        "  lowlift compare --plot png scenarios/decline.yaml\n"
        "\n"
        "Options:\n" RUN_REQUEST_OPTIONS "\n"
        "The verdicts and their numbers: lowlift verdicts. All fields: lowlift fields.\n"
        "\n" EXIT_CODES_HELP,
};
