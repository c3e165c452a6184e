// SPDX-License-Identifier: MIT
// `lowlift trims`: which trim to take for an envelope of flows and pressures.
#include "show/report.h"
#include "study/trim_study.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum option_index { PRESENT, KICK, FIRST_FIELD };

// Options that stand for a field of the envelope.
static const struct {
    const char *option;
    const char *field;
} fields[] = {
    {"lowest=", "envelope.lowest"},
    {"normal=", "envelope.normal"},
    {"peak=", "envelope.peak"},
    {"pressure-low=", "envelope.pressure_low"},
    {"pressure-high=", "envelope.pressure_high"},
    {"pressure-of=", "envelope.pressure_of"},
};

enum { FIELDS = sizeof fields / sizeof fields[0], TEXT_SIZE = 200 };

// The options as overrides, on the scenario at hand and for all that open it again.
static int apply(struct study_request *request, const struct study_option *own,
                 char text[FIELDS][TEXT_SIZE]) {
    struct diagnostics list = {0};
    int code = EXIT_CODE_DONE;
    for (size_t i = 0; i < FIELDS; i++) {
        const char *value = own[FIRST_FIELD + i].value;
        if (!value) {
            continue;
        }
        snprintf(text[i], TEXT_SIZE, "%s=%s", fields[i].field, value);
        code = request_common_override(request->command, &request->shared, text[i]);
        if (code != EXIT_CODE_DONE) {
            break;
        }
        scenario_override(request->scenario, text[i], &list);
    }
    if (code == EXIT_CODE_DONE && list.errors == 0) {
        scenario_check(request->scenario, &list);
    }
    diagnostics_print(&list, stderr);
    code = code == EXIT_CODE_DONE && list.errors > 0 ? EXIT_CODE_SCENARIO : code;
    diagnostics_free(&list);
    return code;
}

static int carry_out(struct study_request *request, const struct study_option *own) {
    char text[FIELDS][TEXT_SIZE];
    struct trim_study *study = calloc(1, sizeof *study);
    if (!study) {
        return EXIT_CODE_SOLVER;
    }
    int code = apply(request, own, text);
    if (code == EXIT_CODE_DONE) {
        code = trim_study_open(request, own[PRESENT].value, own[KICK].value, study);
    }
    if (code == EXIT_CODE_DONE) {
        trim_study_print(study);
        code = trim_study_write(request, study);
    }
    if (code == EXIT_CODE_DONE && !request->shared.quiet) {
        report_cautions(stdout);
    }
    trim_study_close(study);
    free(study);
    return code;
}

static int trims(const struct command *command, int argc, char **argv) {
    struct study_option own[FIRST_FIELD + FIELDS] = {
        [PRESENT] = {"present=", NULL}, [KICK] = {"kick=", NULL}};
    for (size_t i = 0; i < FIELDS; i++) {
        own[FIRST_FIELD + i].name = fields[i].option;
    }
    struct study_request request;
    int code = study_request_read(command, argc, argv, own, FIRST_FIELD + FIELDS, &request);
    if (code == EXIT_CODE_DONE) {
        code = carry_out(&request, own);
    }
    study_request_free(&request);
    return code == -1 ? command_help(command) : command_finish(command, code);
}

const struct command command_trims = {
    .name = "trims",
    .summary = "which trim serves a whole envelope of flows, ranked with the reason",
    .run = trims,
    .help =
        "Usage: lowlift trims [options] SCENARIO.yaml\n"
        "\n"
        "Puts the trims of a scenario side by side for an envelope: the lowest, normal and peak\n"
        "flow to be served, and optionally a range of line or set pressures. For each trim: how\n"
        "far it opens, the largest flow it passes, the lowest flow at which it is steady (left\n"
        "alone and kicked), verdict and swing today and over the envelope, and its rank. Advises\n"
        "one trim, or to leave things as they are, or none of these, and says why.\n"
        "\n"
        "The ranking: first, it passes the peak, that is, settles within 90 % of its travel and\n"
        "the vessel limit (where one is given); second, it is steady when kicked over the whole\n"
        "envelope; third, the larger margin below the lowest flow, up to a factor of 2, which is\n"
        "enough; margins beyond that, or within 10 %, count as equal, and then fewer parts win.\n"
        "The set screw is turned at the scenario's first flow and left there over the envelope.\n"
        "\n"
        "Example:\n"
        "  lowlift trims scenarios/envelope.yaml\n"
        "Example: an envelope for a scenario that has none\n"
        "  lowlift trims --lowest '20 Mscf/d' --peak '1.5 MMscf/d' scenarios/decline.yaml\n"
        "\n"
        "Options:\n"
        "  --lowest FLOW       smallest flow to be served; default: envelope.lowest\n"
        "  --normal FLOW       flow of most days; default: envelope.normal, or the scenario's\n"
        "  --peak FLOW         largest flow to be passed; default: envelope.peak\n"
        "  --pressure-low P    lowest pressure of the line (downstream; inlet when reducing)\n"
        "  --pressure-high P   highest\n"
        "  --pressure-of WHAT  line (default) or set: what these two are of\n"
        "  --present NAME      the trim in place, which takes no parts; default: the first\n"
        "  --kick SIZE         kick of the pressure that must die out, such as '3 psi'; default:\n"
        "                      start.kick_pressure, or 2 % of the set "
        "pressure\n" STUDY_REQUEST_OPTIONS "\n"
        "Fields of the section: lowlift fields envelope\n"
        "\n" STUDY_EXIT_CODES_HELP,
};
