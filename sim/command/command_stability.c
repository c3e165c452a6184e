// SPDX-License-Identifier: MIT
// `lowlift stability`: small motions of the trims of a scenario.
#include "show/stability_output.h"

#include <stddef.h>

#define POINTS_DEFAULT 100
#define POINTS_MAX 10000

static int carry_out(struct stability *s, const struct study_option *own) {
    int code = stability_open(s, s->request);
    if (code == EXIT_CODE_DONE) {
        stability_range(s);
        s->points = POINTS_DEFAULT;
        code = study_subject_range(&s->trim[0].own, s->request, own, 2, POINTS_MAX, &s->low,
                                   &s->high, &s->points);
    }
    if (code != EXIT_CODE_DONE) {
        return code;
    }
    if (!stability_find(s)) {
        fprintf(stderr, "lowlift stability: out of memory\n");
        return EXIT_CODE_SOLVER;
    }
    stability_output_print(stdout, s);
    return stability_output_write(s);
}

static int run(const struct command *command, int argc, char **argv) {
    struct study_option own[] = {{.name = "from="}, {.name = "to="}, {.name = "points="}};
    struct study_request request;
    static struct stability stability; // large for a stack
    int code = study_request_read(command, argc, argv, own, 3, &request);
    if (code == EXIT_CODE_DONE) {
        stability.request = &request;
        code = carry_out(&stability, own);
        stability_free(&stability);
    }
    study_request_free(&request);
    return code == -1 ? command_help(command) : command_finish(command, code);
}

const struct command command_stability = {
    .name = "stability",
    .summary = "small motions of each trim: damping, neutral flows, and what drives the swing",
    .run = run,
    .help =
        "Usage: lowlift stability [options] SCENARIO.yaml\n"
        "\n"
        "For every trim: the modes of small motions about its point of rest, with frequency,\n"
        "damping ratio and growth; the flows at which the regulator is neither steady nor\n"
        "unsteady, found to a thousandth of a percent, of which there may be none, one or "
        "several;\n"
        "and what drives the swing: its growth with one thing frozen at a time. A set pressure\n"
        "meant at flow is adjusted once, at the scenario's flow, and the screw is then left "
        "alone.\n"
        "\n"
        "Friction enters as its viscous part only and nothing touches the seat: see lowlift kick\n"
        "for what a disturbance does. Writes tables as CSV, a summary as JSON and a picture.\n"
        "\n"
        "Example: from which flow upward is each trim steady?\n"
        "  lowlift stability --to '10 MMscf/d' scenarios/decline.yaml\n"
        "\n"
        "Options:\n"
        "  --from FLOW         lowest flow; default: 5 % of the scenario's. A share such as 20 %\n"
        "                      is of the scenario's flow\n"
        "  --to FLOW           highest flow; default: the largest that any trim passes within 90 "
        "%\n"
        "                      of its travel and the vessel limit\n"
        "  --points N          flows in the table and the picture; default: "
        "100\n" STUDY_REQUEST_OPTIONS "\n" STUDY_EXIT_CODES_HELP,
};
