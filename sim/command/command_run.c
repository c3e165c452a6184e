// SPDX-License-Identifier: MIT
// `lowlift run`, one trim of one scenario, and `lowlift compare`, several side by side.
#include "among/among_runs.h"
#include "base/clean.h"
#include "base/nearest.h"
#include "base/path_stem.h"
#include "command/all.h"
#include "command/among_option.h"
#include "library/inside.h"
#include "shell/request.h"
#include "show/show.h"
#include "study/comparison.h"

#include <stdlib.h>

enum {
    ASKED_TIGHTER,
    ASKED_WORST,
    ASKED_INPUTS,
    ASKED_COUNT,
    ASKED_DRAWS = ASKED_COUNT, // of compare only
    ASKED_MOST,
    ASKED_CHECKPOINT,
    ASKED_COMPARE_COUNT
};

#define OPTION_TIGHTER                                                                             \
    {                                                                                              \
        "tighter", NULL,                                                                           \
            "run again at a ten times tighter tolerance and show how far each figure moved",       \
            OPTION_FLAG, 0, 0, NULL                                                                \
    }
#define OPTION_WORST                                                                               \
    {                                                                                              \
        "worst", "VERDICT",                                                                        \
            "exit with 6 if a verdict is worse than this, such as --worst ringing", OPTION_TEXT,   \
            0, 0, NULL                                                                             \
    }
#define OPTION_INPUTS                                                                              \
    { "inputs", NULL, "list every value with its source, defaults too", OPTION_FLAG, 0, 0, NULL }

static const struct command_option run_options[ASKED_COUNT] = {
    [ASKED_TIGHTER] = OPTION_TIGHTER,
    [ASKED_WORST] = OPTION_WORST,
    [ASKED_INPUTS] = OPTION_INPUTS,
};

static const struct command_option compare_options[ASKED_COMPARE_COUNT] = {
    [ASKED_TIGHTER] = OPTION_TIGHTER,        [ASKED_WORST] = OPTION_WORST,
    [ASKED_INPUTS] = OPTION_INPUTS,          [ASKED_DRAWS] = AMONG_OPTION_DRAWS,
    [ASKED_MOST] = AMONG_OPTION_MOST("100"), [ASKED_CHECKPOINT] = AMONG_OPTION_CHECKPOINT,
};

static int read_worst(const struct request *request, enum verdict *worst) {
    const char *name = request->own[ASKED_WORST].text;
    struct nearest near = nearest_start(name);
    if (verdict_parse(name, worst)) {
        return EXIT_CODE_DONE;
    }
    for (int i = 0; i < VERDICT_COUNT; i++) {
        nearest_offer(&near, verdict_name((enum verdict)i));
    }
    return command_usage(request->command, "--worst: found '%s'; allowed a verdict%s%s%s", name,
                         near.best ? "; did you mean '" : "", near.best ? near.best : "",
                         near.best ? "'?" : "");
}

// --- Scenarios

struct targets {
    struct lowlift_scenario *scenario[COMPARISON_MAX];
    size_t scenarios;
    struct lowlift_scenario *of[COMPARISON_MAX]; // each target of the comparison
    struct comparison *comparison;
};

static int add_trims(const struct request *request, struct targets *targets, const char *path,
                     bool all) {
    struct comparison *c = targets->comparison;
    struct lowlift_scenario *opened = targets->scenario[targets->scenarios - 1];
    const struct scenario *scenario = inside_scenario(opened);
    size_t trim[STUDY_TRIMS_MAX];
    size_t count = 0;
    if (!all && request->trims.count == 0) {
        trim[count++] = 0;
    } else {
        const int code = request_trims(request, scenario, path, trim, &count);
        if (code != EXIT_CODE_DONE) {
            return code;
        }
    }
    if (c->count + count > COMPARISON_MAX) {
        return command_usage(request->command, "at most %d trims in one run of the command",
                             COMPARISON_MAX);
    }
    for (size_t i = 0; i < count; i++) {
        targets->of[c->count] = opened;
        c->target[c->count++] = (struct comparison_target){scenario, trim[i]};
    }
    return EXIT_CODE_DONE;
}

static int open_all(const struct request *request, struct targets *targets, bool all) {
    int code = EXIT_CODE_DONE;
    if (request->files == 0) {
        return command_usage(request->command, "no scenario file named");
    }
    for (int i = 0; i < request->files && code != EXIT_CODE_USAGE; i++) {
        struct lowlift_scenario *opened = NULL;
        int one = EXIT_CODE_SCENARIO;
        if (targets->scenarios == COMPARISON_MAX) {
            one = command_usage(request->command, "at most %d trims in one run of the command",
                                COMPARISON_MAX);
        } else if ((opened = request_open(request, request->file[i])) != NULL) {
            inside_keep_runs(opened);
            targets->scenario[targets->scenarios++] = opened;
            one = add_trims(request, targets, request->file[i], all);
        }
        code = code == EXIT_CODE_DONE ? one : code;
    }
    return code;
}

// --- Doing it

// False without memory.
static bool run_all(struct targets *targets) {
    struct comparison *c = targets->comparison;
    bool whole = true;
    for (size_t i = 0; i < c->count && whole; i++) {
        struct lowlift_result *result = lowlift_run(targets->of[i], c->target[i].trim);
        whole = inside_take_run(result, &c->scenario[i], &c->run[i]);
        lowlift_free(result);
        if (!whole) { // the scenario is known to be right
            clean_say(stderr, "lowlift: %s: trim %s: %s", scenario_name(c->target[i].scenario),
                      lowlift_trim_name(targets->of[i], c->target[i].trim),
                      lowlift_errors(targets->of[i]));
        }
    }
    return whole;
}

static int simulate_and_tell(struct request *request, struct targets *targets, const char *stem) {
    struct comparison *c = targets->comparison;
    struct study_job job = {.path = request->file[0]};
    struct answer answer = {0};
    if (!run_all(targets)) {
        return EXIT_CODE_SOLVER;
    }
    int code = command_status(request->command, comparison_finish(c, &job), &job);
    const bool tell = comparison_is_recorded(c);
    diagnostics_free(&job.list);
    if (!tell) {
        return code;
    }
    request->to.stem = stem;
    comparison_answer(c, &answer);
    code = show_answer(&answer, &request->to) ? code : EXIT_CODE_OUTPUT;
    answer_free(&answer);
    return code;
}

static int carry_out(struct request *request, struct targets *targets, bool several) {
    struct comparison *c = targets->comparison;
    enum verdict worst = (enum verdict)VERDICT_COUNT;
    int code = request->own[ASKED_WORST].text ? read_worst(request, &worst) : EXIT_CODE_DONE;
    code = code == EXIT_CODE_DONE ? open_all(request, targets, several) : code;
    if (code != EXIT_CODE_DONE) {
        return code;
    }
    if (several && c->count < 2) {
        return command_usage(request->command,
                             "found one trim only; name a scenario with several under `trims`, or "
                             "several scenarios");
    }
    if (!several && c->count > 1) {
        return command_usage(request->command,
                             "one scenario and one trim at a time; see lowlift compare");
    }
    c->tighter = request->own[ASKED_TIGHTER].text != NULL;
    c->everything = request->own[ASKED_INPUTS].text != NULL;
    char stem[400];
    if (several) {
        const size_t length = path_stem(request->file[0], stem, sizeof stem - 16);
        snprintf(stem + length, sizeof stem - length, ".compare");
    } else {
        const char *trim = scenario_trim_name(c->target[0].scenario, c->target[0].trim);
        path_stem_of_run(request->file[0], trim, stem, sizeof stem);
    }
    code = simulate_and_tell(request, targets, stem);
    return code == EXIT_CODE_DONE && comparison_worst(c) > worst ? EXIT_CODE_WORSE : code;
}

static int start(struct request *request, bool several) {
    struct targets targets = {.comparison = calloc(1, sizeof *targets.comparison)};
    if (!targets.comparison) {
        return command_no_memory(request->command);
    }
    const int code = carry_out(request, &targets, several);
    comparison_free(targets.comparison);
    for (size_t i = 0; i < targets.scenarios; i++) {
        lowlift_close(targets.scenario[i]);
    }
    free(targets.comparison);
    return code;
}

static int run(struct request *request) {
    return start(request, false);
}

static enum study_status among(struct study_job *job, const struct study_asked *asked,
                               struct answer *answer) {
    return among_runs(job, &asked[ASKED_DRAWS], &asked[ASKED_MOST], asked[ASKED_CHECKPOINT].text,
                      answer);
}

static int compare(struct request *request) {
    return request->own[ASKED_DRAWS].text ? command_answer(request, among) : start(request, true);
}

#define RUN_GROUPS (OPTIONS_STUDY & ~(unsigned)OPTIONS_THREADS)
#define RUN_MORE                                                                                   \
    "With --quiet the verdict alone is printed. The verdicts and their numbers: lowlift "          \
    "verdicts. "                                                                                   \
    "All fields: lowlift fields."

const struct command command_run = {
    .name = "run",
    .summary = "simulate one trim of a scenario and judge it",
    .arguments = "SCENARIO.yaml",
    .about = "Simulates one trim of a scenario (the first, or the one named with --trim) and "
             "prints the verdict and the figures. Writes the trace as CSV, a summary as JSON and a "
             "picture: controlled pressure, plug travel, chamber pressure and flow over time.",
    .examples = "Example: what does the full port do if the packing drags with 8 lbf?\n"
                "  lowlift run --trim full --set 'friction.kinetic=8 lbf' --sketch "
                "scenarios/oversized.yaml\n",
    COMMAND_OPTIONS(run_options),
    .groups = RUN_GROUPS,
    .more = RUN_MORE,
    .exits = EXITS_STUDY | EXITS_WORSE,
    .run = run,
};

const struct command command_compare = {
    .name = "compare",
    .summary = "simulate several trims or scenarios side by side",
    .arguments = "SCENARIO.yaml [SCENARIO.yaml ...]",
    .question = "Does each trim come to rest at the flow of the scenario?",
    .about = "Simulates every trim of each scenario (or those named with --trim) and prints one "
             "table, a column each. Draws one picture: controlled pressure, plug travel, chamber "
             "pressure and flow over time on the same axes, seat contacts marked, and travel "
             "against pressure, where a limit cycle shows as a loop.\n\n"
             "With --draws: in what share of many regulators each trim comes to rest, hits its "
             "seat or hunts, and what to measure next.",
    .examples = "Example: full against reduced port, as png to send to a customer\n"
                "  lowlift compare --plot png scenarios/oversized.yaml\n",
    COMMAND_OPTIONS(compare_options),
    .groups = OPTIONS_STUDY,
    .more = RUN_MORE,
    .exits = EXITS_STUDY | EXITS_WORSE,
    .run = compare,
};
