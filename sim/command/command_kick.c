// SPDX-License-Identifier: MIT
// `lowlift kick`: settled or kicked, and hysteresis, over a range of flows.
#include "show/kick_output.h"
#include "solve/integrate.h"

#include <math.h>
#include <stddef.h>

#define POINTS_DEFAULT 14
#define POINTS_MAX 1000

enum { OPTION_LARGEST = 3, OPTION_COUNT };

static int take_largest(struct kick *kick, const struct study_option *option) {
    const struct study_subject *own = &kick->trim[0].own;
    if (!option->value) {
        return EXIT_CODE_DONE;
    }
    int code =
        study_request_quantity(kick->request, option, UNIT_PRESSURE_DROP, &own->resolved.site,
                               own->steadiness.set_gauge, &kick->largest);
    // A kick down must leave the vessel some pressure.
    if (code == EXIT_CODE_DONE &&
        !(kick->largest > 0.0 && kick->largest < 0.9 * own->resolved.set_pressure)) {
        code = command_usage(kick->request->command,
                             "--largest: found '%s'; allowed more than 0 and less than 90 %% of "
                             "the absolute set pressure",
                             option->value);
    }
    return code;
}

static int carry_out(struct kick *kick, const struct study_option *own) {
    int code = kick_open(kick, kick->request);
    if (code == EXIT_CODE_DONE) {
        kick->points = POINTS_DEFAULT;
        code = study_subject_range(&kick->trim[0].own, kick->request, own, 2, POINTS_MAX,
                                   &kick->low, &kick->high, &kick->points);
    }
    if (code == EXIT_CODE_DONE) {
        code = take_largest(kick, &own[OPTION_LARGEST]);
    }
    if (code != EXIT_CODE_DONE) {
        return code;
    }
    if (!kick_find(kick)) {
        fprintf(stderr, "lowlift kick: out of memory\n");
        return EXIT_CODE_SOLVER;
    }
    if (integrate_interrupted()) {
        fprintf(stderr, "lowlift kick: stopped by a signal; nothing was written\n");
        return EXIT_CODE_SIGNAL;
    }
    kick_output_print(stdout, kick);
    return kick_output_write(kick);
}

static int run(const struct command *command, int argc, char **argv) {
    struct study_option own[OPTION_COUNT] = {
        {.name = "from="}, {.name = "to="}, {.name = "points="}, {.name = "largest="}};
    struct study_request request;
    static struct kick kick; // large for a stack
    int code = study_request_read(command, argc, argv, own, OPTION_COUNT, &request);
    if (code == EXIT_CODE_DONE) {
        kick.request = &request;
        code = carry_out(&kick, own);
        kick_free(&kick);
    }
    study_request_free(&request);
    return code == -1 ? command_help(command) : command_finish(command, code);
}

const struct command command_kick = {
    .name = "kick",
    .summary = "steady left alone, or only until disturbed: the smallest kick that hunts",
    .run = run,
    .help =
        "Usage: lowlift kick [options] SCENARIO.yaml\n"
        "\n"
        "For every trim and a range of flows: does it stay steady if left alone, which is the\n"
        "smallest kick of the controlled pressure, up or down, that does not die out, and what\n"
        "does a restart after shut-in do? Friction and the seat are in force. The flow is also\n"
        "raised and lowered again step by step with the motion carried over: where the two ways\n"
        "differ, it depends on where it comes from whether the regulator hunts.\n"
        "\n"
        "Writes tables as CSV, a summary as JSON and a picture.\n"
        "\n"
        "Example: where does the full port hunt only after a disturbance?\n"
        "  lowlift kick --trim full --from '2.8 MMscf/d' --to '3.5 MMscf/d' --points 4 \\\n"
        "      scenarios/decline.yaml\n"
        "\n"
        "Options:\n"
        "  --from FLOW         lowest flow; default: 20 % of the scenario's. A share such as 20 %\n"
        "                      is of the scenario's flow\n"
        "  --to FLOW           highest flow; default: 150 % of the scenario's\n"
        "  --points N          flows between them; default: 14\n"
        "  --largest PRESSURE  largest kick tried; default: 20 % of the set pressure, "
        "gauge\n" STUDY_REQUEST_OPTIONS "\n" STUDY_EXIT_CODES_HELP,
};
