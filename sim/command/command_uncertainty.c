// SPDX-License-Identifier: MIT
// `lowlift uncertainty`: how sure a verdict is, and what to measure first.
#include "command/uncertainty_request.h"

#include "command/window_request.h"
#include "show/report.h"

#include <stdlib.h>

static int no_memory(const struct uncertainty_request *request) {
    return window_request_outcome(&request->common, STUDY_NO_MEMORY, "out of memory");
}

static int tell(struct uncertainty_request *request, struct uncertainty_summary *summary) {
    const struct uncertainty *study = &request->study;
    size_t flows = uncertainty_flow_count(study);
    for (size_t i = 0; i < study->trim_count * flows; i++) {
        if (!uncertainty_summarise(study, i / flows, i % flows, &summary[i])) {
            return no_memory(request);
        }
    }
    struct uncertainty_report report = {.request = &request->common,
                                        .study = study,
                                        .scenario = &request->resolved,
                                        .summary = summary,
                                        .share = request->share};
    uncertainty_report_print(stdout, &report, request->own[UNCERTAINTY_OWN_LIST].value != NULL);
    int code = uncertainty_report_write(&report);
    if (code == EXIT_CODE_DONE && !request->common.shared.quiet) {
        report_cautions(stdout);
    }
    return code;
}

static int carry_out(struct uncertainty_request *request) {
    struct uncertainty *study = &request->study;
    enum study_status status = uncertainty_run(
        study, request->common.threads, request->common.shared.quiet ? NULL : "draws",
        request->own[UNCERTAINTY_OWN_CHECKPOINT].value, request->message, sizeof request->message);
    if (status != STUDY_DONE) {
        return window_request_outcome(&request->common, status, request->message);
    }
    size_t cases = study->trim_count * uncertainty_flow_count(study);
    struct uncertainty_summary *summary = calloc(cases, sizeof *summary);
    if (!summary) {
        return no_memory(request);
    }
    int code = tell(request, summary);
    free(summary);
    return code;
}

static int run(const struct command *command, int argc, char **argv) {
    struct uncertainty_request *request = calloc(1, sizeof *request);
    if (!request) {
        return EXIT_CODE_SOLVER;
    }
    int code = uncertainty_request_read(command, argc, argv, request);
    code = code == EXIT_CODE_DONE ? carry_out(request) : code;
    uncertainty_request_free(request);
    free(request);
    return code == -1 ? command_help(command) : command_finish(command, code);
}

const struct command command_uncertainty = {
    .name = "uncertainty",
    .summary = "how sure a verdict is when values are guesses, and what to measure first",
    .run = run,
    .help =
        "Usage: lowlift uncertainty [options] SCENARIO.yaml\n"
        "\n"
        "Draws every uncertain value from its range, simulates, and does it again, 200 times.\n"
        "Prints for each trim how often each verdict came out, with the interval that holds the\n"
        "true share, and which value the outcome depends on: that is what to go and measure.\n"
        "Writes all draws as CSV, a summary as JSON, and a picture.\n"
        "\n"
        "Uncertain are values written with a range, such as\n"
        "  kinetic: {value: 8 lbf, low: 2 lbf, high: 20 lbf}\n"
        "and guesses (about 8 lbf), by 20 % either way.\n"
        "\n"
        "Example: can the reduced port be trusted before the guesses are measured?\n"
        "  lowlift uncertainty --draws 100 scenarios/decline.yaml\n"
        "\n"
        "Options:\n"
        "  --draws N           how many draws; default: 200. Four times as many halve an interval\n"
        "  --seed N            another number gives other draws; the same gives the same; "
        "default: 1\n"
        "  --guesses SHARE     how far a guess may be off; default: 20 %; 0 %: only stated ranges\n"
        "  --shape SHAPE       triangular (default: most likely as stated), uniform, log-uniform;\n"
        "                      FIELD=SHAPE for one value; several with commas between\n"
        "  --together PAIRS    values known to go together: FIELD:FIELD=0.7 is a rank\n"
        "                      correlation of 0.7; several with commas between\n"
        "  --flows A,B,C       do it at these flows, in place of the scenario's own\n"
        "  --list              list every uncertain value with its range\n"
        "  --checkpoint FILE   keep finished draws there, and go on from it after a "
        "stop\n" STUDY_REQUEST_OPTIONS "\n"
        "Draws are spread evenly over every range (a Latin hypercube), so the intervals, which\n"
        "are made for chance draws (Wilson, 95 %), are on the wide side.\n"
        "\n" STUDY_EXIT_CODES_HELP,
};
