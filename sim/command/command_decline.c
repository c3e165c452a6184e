// SPDX-License-Identifier: MIT
// `lowlift decline`: until when each trim stays in its window as the flow declines.
#include "show/report.h"
#include "study/decline_study.h"

#include <stdlib.h>

static int carry_out(const struct study_request *request, const struct study_option *own) {
    struct decline_study *study = malloc(sizeof *study);
    if (!study) {
        return EXIT_CODE_SOLVER;
    }
    int code = decline_study_open(request, own[0].value, own[1].value, study);
    if (code == EXIT_CODE_DONE) {
        decline_study_print(study);
        code = decline_study_write(request, study);
    }
    if (code == EXIT_CODE_DONE && !request->shared.quiet) {
        report_cautions(stdout);
    }
    decline_study_close(study);
    free(study);
    return code;
}

static int decline(const struct command *command, int argc, char **argv) {
    struct study_option own[] = {{"until=", NULL}, {"kick=", NULL}};
    struct study_request request;
    int code = study_request_read(command, argc, argv, own, sizeof own / sizeof own[0], &request);
    if (code == EXIT_CODE_DONE) {
        code = carry_out(&request, own);
    }
    study_request_free(&request);
    return code == -1 ? command_help(command) : command_finish(command, code);
}

const struct command command_decline = {
    .name = "decline",
    .summary = "on which date each trim leaves its window as the flow declines",
    .run = decline,
    .help =
        "Usage: lowlift decline [options] SCENARIO.yaml\n"
        "\n"
        "The flow of a well falls; each trim serves a window of flows, from the lowest at which "
        "it\n"
        "is steady up to the largest it passes. Prints on which date the flow leaves the window "
        "of\n"
        "each trim, writes tables and a summary, and draws rate against date with the windows as\n"
        "bands and the crossings marked.\n"
        "\n"
        "The decline is what the scenario's `decline` section states (exponential, hyperbolic or\n"
        "harmonic), or is fitted to a record of dates and rates named there; dates then come with\n"
        "their 95 % interval. A trim counts as steady when a kick of the pressure dies out.\n"
        "\n"
        "Example:\n"
        "  lowlift decline scenarios/envelope.yaml\n"
        "Example: a scenario without a decline, stated here\n"
        "  lowlift decline --set decline.kind=exponential --set decline.start=2026-01-01 \\\n"
        "      --set 'decline.rate_start=0.15 MMscf/d' --set 'decline.annual=20 %' \\\n"
        "      --set decline.basis=effective scenarios/decline.yaml\n"
        "\n"
        "Options:\n"
        "  --until DATE        look up to this date, YYYY-MM-DD; default: 30 years ahead\n"
        "  --kick SIZE         kick of the pressure that must die out, such as '3 psi'; default:\n"
        "                      start.kick_pressure, or 2 % of the set "
        "pressure\n" STUDY_REQUEST_OPTIONS "\n"
        "Fields of the section: lowlift fields decline\n"
        "\n" STUDY_EXIT_CODES_HELP,
};
