// SPDX-License-Identifier: MIT
// `lowlift remedies`: what a crew can do, and what it would change.
#include "show/remedies_report.h"

#include "command/study_subject.h"
#include "command/window_request.h"
#include "show/report.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { OWN_FROM, OWN_TO, OWN_NO_POINTS, OWN_STEPS, OWN_KICK, OWN_CHECKPOINT, OWN_COUNT };

// Default range of flows: shares of today's, and the travel at which the largest is passed.
#define LOWEST_SHARE 0.05
#define HIGHEST_AT_LEAST 2.0
#define HIGHEST_AT_MOST 30.0
#define TRAVEL_SHARE 0.9
enum { STEPS_DEFAULT = 2 };

static int choose_trim(const struct study_request *request, struct remedies *remedies) {
    bool all = request->trim_count == scenario_trim_count(request->scenario);
    if (request->trim_count > 1 && !all) {
        return command_usage(request->command, "one trim at a time: the one in place today");
    }
    remedies->trim = request->trim[0];
    return EXIT_CODE_DONE;
}

static int read_range(const struct study_request *request, const struct study_option *own,
                      const struct study_subject *subject, struct remedies *remedies) {
    const struct steadiness *steadiness = &subject->steadiness;
    size_t points = 2; // the option is not offered
    remedies->flow = steadiness->flow;
    remedies->low = LOWEST_SHARE * remedies->flow;
    struct steadiness_capacity passed = steadiness_largest_flow(
        steadiness, remedies->low, HIGHEST_AT_MOST * remedies->flow, TRAVEL_SHARE, (double)NAN);
    // fmax leaves out a NaN
    remedies->high = fmax(HIGHEST_AT_LEAST * remedies->flow, passed.flow);
    return study_subject_range(subject, request, &own[OWN_FROM], 2, 2, &remedies->low,
                               &remedies->high, &points);
}

// The scenario's own kick, the one asked for, or 0: left alone.
static int read_kick(const struct study_request *request, const char *text,
                     const struct scenario_case *scenario, double *kick) {
    *kick = fabs(scenario->start.kick_pressure);
    if (text && strcmp(text, "0") == 0) {
        *kick = 0.0;
        return EXIT_CODE_DONE;
    }
    return text ? window_request_kick(request, text, scenario, kick) : EXIT_CODE_DONE;
}

static int prepare(const struct study_request *request, const struct study_option *own,
                   struct remedies *remedies) {
    remedies->path = request->path;
    remedies->overrides = request->shared.overrides;
    remedies->override_count = request->shared.override_count;
    remedies->scenario = request->scenario;
    struct study_subject subject;
    int code = study_subject_open(request, 0, &subject);
    if (code == EXIT_CODE_DONE && !(subject.steadiness.flow > 0.0)) {
        code = command_usage(request->command, "%s: nothing flows at the start; give it a flow",
                             request->path);
    }
    if (code == EXIT_CODE_DONE) {
        code = read_range(request, own, &subject, remedies);
    }
    if (code == EXIT_CODE_DONE) {
        code = read_kick(request, own[OWN_KICK].value, &subject.resolved, &remedies->kick);
    }
    study_subject_free(&subject);
    long steps = STEPS_DEFAULT;
    if (code == EXIT_CODE_DONE && own[OWN_STEPS].value) {
        code = study_request_count(request, &own[OWN_STEPS], 1, REMEDIES_STEPS_MAX, &steps);
    }
    remedies->steps = (size_t)steps;
    struct diagnostics list = {0};
    if (code == EXIT_CODE_DONE &&
        !scenario_resolve(request->scenario, remedies->trim, &remedies->resolved, &list)) {
        diagnostics_print(&list, stderr);
        code = EXIT_CODE_SCENARIO;
    }
    diagnostics_free(&list);
    return code;
}

static int carry_out(const struct study_request *request, const struct study_option *own,
                     struct remedies *remedies) {
    int code = choose_trim(request, remedies);
    code = code == EXIT_CODE_DONE ? prepare(request, own, remedies) : code;
    if (code != EXIT_CODE_DONE) {
        return code;
    }
    if (!remedies_plan(remedies)) {
        return window_request_outcome(request, STUDY_NO_MEMORY, "out of memory");
    }
    char message[600];
    enum study_status status =
        remedies_run(remedies, request->threads, request->shared.quiet ? NULL : "remedies",
                     own[OWN_CHECKPOINT].value, message, sizeof message);
    if (status != STUDY_DONE) {
        return window_request_outcome(request, status, message);
    }
    struct remedies_report report = {request, remedies};
    remedies_report_print(stdout, &report);
    code = remedies_report_write(&report);
    if (code == EXIT_CODE_DONE && !request->shared.quiet) {
        report_cautions(stdout);
    }
    return code;
}

static int run(const struct command *command, int argc, char **argv) {
    struct study_option own[OWN_COUNT] = {
        [OWN_FROM] = {"from=", NULL}, [OWN_TO] = {"to=", NULL},
        [OWN_NO_POINTS] = {"", NULL}, [OWN_STEPS] = {"steps=", NULL},
        [OWN_KICK] = {"kick=", NULL}, [OWN_CHECKPOINT] = {"checkpoint=", NULL}};
    struct study_request request;
    struct remedies *remedies = calloc(1, sizeof *remedies);
    if (!remedies) {
        return EXIT_CODE_SOLVER;
    }
    int code = study_request_read(command, argc, argv, own, OWN_COUNT, &request);
    code = code == EXIT_CODE_DONE ? carry_out(&request, own, remedies) : code;
    remedies_free(remedies);
    free(remedies);
    study_request_free(&request);
    return code == -1 ? command_help(command) : command_finish(command, code);
}

const struct command command_remedies = {
    .name = "remedies",
    .summary = "what a crew can do, without parts first, and what each would change",
    .run = run,
    .help =
        "Usage: lowlift remedies [options] SCENARIO.yaml\n"
        "\n"
        "Tries what a crew can do to the trim in place (the first of the scenario, or the one\n"
        "named with --trim): screws, valves, oil and cleaning first, then parts, each at a few\n"
        "strengths, one at a time, and the best few in pairs. For each: the verdict at today's\n"
        "flow, and the lowest flow from which upward it is steady. Also what makes it worse.\n"
        "Writes every try as CSV, a summary as JSON, and a picture.\n"
        "\n"
        "Example: what can be done about the full port before a reduced one is bought?\n"
        "  lowlift remedies scenarios/decline.yaml\n"
        "\n"
        "Options:\n"
        "  --kick PRESSURE     it must also stand this kick, such as '3 psi', to count as steady;\n"
        "                      default: start.kick_pressure of the scenario. 0: left alone, small\n"
        "                      motions must die out, which takes a quarter of the time\n"
        "  --steps N           strengths tried of each remedy, 1 to 9; default: 2\n"
        "  --from FLOW         lowest flow; default: 5 % of today's. A share such as 20 % is of\n"
        "                      today's flow\n"
        "  --to FLOW           highest flow; default: the largest passed at 90 % travel, at least\n"
        "                      twice and at most 30 times today's\n"
        "  --checkpoint FILE   keep finished tries there, and go on from it after a "
        "stop\n" STUDY_REQUEST_OPTIONS "\n"
        "cures: it comes to rest at today's flow, and today's flow lies in the steady range.\n"
        "helps: a lower lowest steady flow or a better day. mixed: one better, one worse.\n"
        "no clear effect: the same verdict, the lowest steady flow moves by less than 10 % and "
        "the\n"
        "swing by less than 20 %. The lowest steady flow is found to 5 %; `lowlift trims` and\n"
        "`lowlift kick` look closer. The example takes about 15 s on two cores.\n"
        "Ranges are our judgement of what can be done on site. The maker's manual comes first.\n"
        "\n" STUDY_EXIT_CODES_HELP,
};
