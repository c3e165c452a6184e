// SPDX-License-Identifier: MIT
#include "command/run_request.h"

#include "base/nearest.h"

#include <stdio.h>

struct reading {
    const struct command *command;
    struct run_request *request;
    char **argv;
};

enum option_code {
    OPTION_TIGHTER = REQUEST_OWN,
    OPTION_WORST,
    OPTION_INPUTS,
};

static const struct option options[] = {
    REQUEST_OPTIONS_FIRST,
    {"tighter", no_argument, NULL, OPTION_TIGHTER},
    {"worst", required_argument, NULL, OPTION_WORST},
    {"inputs", no_argument, NULL, OPTION_INPUTS},
    REQUEST_OPTIONS_LAST,
    {NULL, 0, NULL, 0},
};

static int take_worst(struct reading *r, const char *name) {
    if (verdict_parse(name, &r->request->worst)) {
        r->request->has_worst = true;
        return EXIT_CODE_DONE;
    }
    struct nearest near = nearest_start(name);
    for (int i = 0; i < VERDICT_COUNT; i++) {
        nearest_offer(&near, verdict_name((enum verdict)i));
    }
    return command_usage(r->command, "--worst: found '%s'; allowed a verdict%s%s%s", name,
                         near.best ? "; did you mean '" : "", near.best ? near.best : "",
                         near.best ? "'?" : "");
}

// One option; -1 for help.
static int take_option(struct reading *r, int code) {
    struct run_request *q = r->request;
    switch (code) {
    case OPTION_TIGHTER:
        q->tighter = true;
        break;
    case OPTION_WORST:
        return take_worst(r, optarg);
    case OPTION_INPUTS:
        q->inputs = true;
        break;
    case '?':
    case ':':
        return command_bad_option(r->command, options, code, r->argv);
    default:
        return request_common_take(r->command, &q->shared, code);
    }
    return EXIT_CODE_DONE;
}

static int add_target(struct reading *r, struct scenario *scenario, size_t trim, bool owns) {
    struct run_request *q = r->request;
    if (q->target_count == RUN_REQUEST_MAX) {
        if (owns) {
            scenario_free(scenario);
        }
        return command_usage(r->command, "at most %d trims in one run of the command",
                             RUN_REQUEST_MAX);
    }
    q->target[q->target_count++] = (struct run_target){scenario, owns, trim};
    return EXIT_CODE_DONE;
}

static int add_named_trims(struct reading *r, struct scenario *scenario) {
    struct diagnostics list = {0};
    int code = EXIT_CODE_DONE;
    bool owns = true;
    const struct request_common *shared = &r->request->shared;
    for (size_t i = 0; i < shared->trim_count && code == EXIT_CODE_DONE; i++) {
        size_t trim = scenario_trim_find(scenario, shared->trims[i], &list);
        if (list.errors > 0) {
            diagnostics_print(&list, stderr);
            code = EXIT_CODE_SCENARIO;
            break;
        }
        code = add_target(r, scenario, trim, owns);
        owns = false;
    }
    if (owns && code == EXIT_CODE_SCENARIO) {
        scenario_free(scenario);
    }
    diagnostics_free(&list);
    return code;
}

static int add_scenario(struct reading *r, const char *path, bool all_trims) {
    struct scenario *scenario = request_common_open(&r->request->shared, path);
    if (!scenario) {
        return EXIT_CODE_SCENARIO;
    }
    if (r->request->shared.trim_count > 0) {
        return add_named_trims(r, scenario);
    }
    size_t count = all_trims ? scenario_trim_count(scenario) : 1;
    int code = EXIT_CODE_DONE;
    for (size_t i = 0; i < count && code == EXIT_CODE_DONE; i++) {
        code = add_target(r, scenario, i, i == 0);
    }
    return code;
}

int run_request_read(const struct command *command, int argc, char **argv, bool all_trims,
                     struct run_request *request) {
    *request = (struct run_request){.shared = request_common_start()};
    struct reading r = {.command = command, .request = request, .argv = argv};
    optind = 1;
    int code;
    while ((code = getopt_long(argc, argv, ":h", options, NULL)) != -1) {
        int status = take_option(&r, code);
        if (status != EXIT_CODE_DONE) {
            return status;
        }
    }
    if (optind == argc) {
        return command_usage(command, "no scenario file named");
    }
    int status = EXIT_CODE_DONE;
    for (int i = optind; i < argc; i++) {
        int one = add_scenario(&r, argv[i], all_trims);
        status = status == EXIT_CODE_DONE ? one : status;
    }
    return status;
}

void run_request_free(struct run_request *request) {
    for (size_t i = 0; i < request->target_count; i++) {
        if (request->target[i].owns) {
            scenario_free(request->target[i].scenario);
        }
    }
    request->target_count = 0;
}
