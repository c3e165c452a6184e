// SPDX-License-Identifier: MIT
// `lowlift run`: one trim of one scenario.
#include "command/command.h"
#include "show/report.h"
#include "show/run_output.h"

#include <stdlib.h>
#include <string.h>

static int carry_out(struct run_set *set) {
    int code = run_set_open(set);
    if (code != EXIT_CODE_DONE) {
        return code;
    }
    const struct run_request *q = set->request;
    code = run_set_simulate(set);
    const struct simulation *s = &set->run[0];
    if (code == EXIT_CODE_SCENARIO || s->count == 0) {
        return code;
    }
    if (q->shared.quiet) {
        printf("%s\n", verdict_name(s->judged.verdict));
    } else {
        report_run(stdout, &set->scenario[0], s);
    }
    char stem[256];
    run_output_stem(scenario_name(q->target[0].scenario), stem, sizeof stem);
    size_t used = strlen(stem);
    snprintf(stem + used, sizeof stem - used, ".%s", set->scenario[0].trim_name);
    int output = run_output_write(set, stem);
    if (output != EXIT_CODE_DONE) {
        return output;
    }
    run_set_more(set);
    return run_set_worst(set, code);
}

static int run(const struct command *command, int argc, char **argv) {
    struct run_request request;
    int code = run_request_read(command, argc, argv, false, &request);
    if (code == EXIT_CODE_DONE && request.target_count > 1) {
        code = command_usage(command, "one scenario and one trim at a time; see lowlift compare");
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

const struct command command_run = {
    .name = "run",
    .summary = "simulate one trim of a scenario and judge it",
    .run = run,
    .help =
        "Usage: lowlift run [options] SCENARIO.yaml\n"
        "\n"
        "Simulates one trim of a scenario (the first, or the one named with --trim) and prints\n"
        "the verdict and the figures. Writes the trace as CSV, a summary as JSON and a picture:\n"
        "controlled pressure, plug travel, chamber pressure and flow over time.\n"
        "\n"
        "Example: what does the full port do if the packing drags with 8 lbf?\n"
        "  lowlift run --trim full --set 'friction.kinetic=8 lbf' scenarios/decline.yaml\n"
        "\n"
        "Options:\n" RUN_REQUEST_OPTIONS "\n"
        "The verdicts and their numbers: lowlift verdicts. All fields: lowlift fields.\n"
        "\n" EXIT_CODES_HELP,
};
