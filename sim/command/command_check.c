// SPDX-License-Identifier: MIT
// `lowlift check`: read scenarios and report everything wrong with them, without running.
#include "command/all.h"
#include "library/inside.h"
#include "run/start.h"
#include "scenario/shown.h"
#include "shell/request.h"
#include "show/show.h"
#include "study/inputs.h"

#include <stdlib.h>

enum { ASKED_INPUTS, ASKED_COUNT };

static const struct command_option options[ASKED_COUNT] = {
    [ASKED_INPUTS] = {"inputs", NULL, "list every value with its source: given, guessed, default",
                      OPTION_FLAG, 0, 0, NULL},
};

static void say_rest(struct answer *answer, const struct scenario_case *c,
                     const struct start *start) {
    char text[1024];
    char pressure[64];
    size_t used = 0;
    for (size_t i = 0; i < start->rest.count && used < sizeof text - 128; i++) {
        const struct equilibrium *e = &start->rest.at[i];
        shown_text(c, UNIT_PRESSURE_LEVEL, e->pressure[NODE_CONTROLLED], pressure, sizeof pressure);
        used += (size_t)snprintf(text + used, sizeof text - used, "; %s, %.4g %% of travel at %s",
                                 equilibrium_kind_name(e->kind),
                                 100.0 * e->travel / c->model.trim.rated_travel, pressure);
    }
    answer_say(answer, ANSWER_LINE, "trim %s: %zu point%s of rest%s; %s", c->trim_name,
               start->rest.count, start->rest.count == 1 ? "" : "s", used > 0 ? text : "",
               start->rest.can_shut
                   ? "can shut"
                   : "CANNOT SHUT: its closing force does not hold it on the seat");
}

// What stands out before any run: can it shut, where does it rest.
static void preview(struct answer *answer, const struct scenario *scenario, size_t trim) {
    struct scenario_case c = {0};
    struct diagnostics list = {0};
    struct start *start = calloc(1, sizeof *start);
    answer->failed = answer->failed || !start;
    if (start && scenario_resolve(scenario, trim, &c, &list)) {
        if (start_prepare(&c, start) == START_SET_OUT_OF_REACH) {
            answer_say(answer, ANSWER_LINE,
                       "trim %s: cannot hold the set pressure at the first flow", c.trim_name);
        } else {
            say_rest(answer, &c, start);
        }
    }
    scenario_case_free(&c);
    diagnostics_free(&list);
    free(start);
}

static int check_one(struct request *request, const char *path) {
    struct answer answer = {0};
    struct lowlift_scenario *opened = request_open(request, path);
    if (!opened) {
        return EXIT_CODE_SCENARIO;
    }
    const struct scenario *scenario = inside_scenario(opened);
    const size_t count = lowlift_trim_count(opened);
    answer_say(&answer, ANSWER_HEADING, "%s: well formed, %zu trim%s", path, count,
               count == 1 ? "" : "s");
    for (size_t i = 0; i < count; i++) {
        preview(&answer, scenario, i);
        if (request->own[ASKED_INPUTS].text) {
            inputs_say(&answer, scenario, i, true);
        }
    }
    const bool fine = !answer.failed;
    if (fine) {
        show_text(stdout, &answer, false);
    } else {
        destination_fail(&request->to, path, "out of memory");
    }
    answer_free(&answer);
    lowlift_close(opened);
    return fine ? EXIT_CODE_DONE : EXIT_CODE_SOLVER;
}

static int check(struct request *request) {
    int code = EXIT_CODE_DONE;
    for (int i = 0; i < request->files; i++) {
        const int one = check_one(request, request->file[i]);
        code = code == EXIT_CODE_DONE ? one : code;
    }
    return request->files == 0 ? command_usage(request->command, "no scenario file named") : code;
}

const struct command command_check = {
    .name = "check",
    .summary = "read scenarios and report everything wrong with them, without running",
    .arguments = "SCENARIO.yaml [SCENARIO.yaml ...]",
    .about = "Reads each scenario and prints every error as one line, file:line:column: field: "
             "found ...; allowed ... or, when there is none, where each trim comes to rest and "
             "whether it can shut. Nothing is simulated. A warning, of what is possible but odd, "
             "is printed the same way and changes nothing.",
    .examples = "Example:\n"
                "  lowlift check scenarios/oversized.yaml\n",
    COMMAND_OPTIONS(options),
    .groups = OPTIONS_FIELDS,
    .exits = EXITS_SCENARIO,
    .run = check,
};
