// SPDX-License-Identifier: MIT
#include "run_request.h"

#include "nearest.h"

#include <getopt.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct reading {
    const struct command *command;
    struct run_request *request;
    char **argv;
    const char *trims[RUN_REQUEST_MAX];
    size_t trim_count;
    char units[64];
};

enum option_code {
    OPTION_TRIM = 256,
    OPTION_SET,
    OPTION_UNITS,
    OPTION_OUT,
    OPTION_NO_FILES,
    OPTION_NO_PLOT,
    OPTION_PLOT,
    OPTION_SKETCH,
    OPTION_TIGHTER,
    OPTION_WORST,
    OPTION_INPUTS,
    OPTION_QUIET,
    OPTION_HELP,
};

static const struct option options[] = {
    {"trim", required_argument, NULL, OPTION_TRIM},
    {"set", required_argument, NULL, OPTION_SET},
    {"units", required_argument, NULL, OPTION_UNITS},
    {"out", required_argument, NULL, OPTION_OUT},
    {"no-files", no_argument, NULL, OPTION_NO_FILES},
    {"no-plot", no_argument, NULL, OPTION_NO_PLOT},
    {"plot", required_argument, NULL, OPTION_PLOT},
    {"sketch", no_argument, NULL, OPTION_SKETCH},
    {"tighter", no_argument, NULL, OPTION_TIGHTER},
    {"worst", required_argument, NULL, OPTION_WORST},
    {"inputs", no_argument, NULL, OPTION_INPUTS},
    {"quiet", no_argument, NULL, OPTION_QUIET},
    {"help", no_argument, NULL, OPTION_HELP},
    {NULL, 0, NULL, 0},
};

static int add_override(struct reading *r, const char *text) {
    if (r->request->override_count == RUN_REQUEST_OVERRIDES_MAX) {
        return command_usage(r->command, "more than %d --set", RUN_REQUEST_OVERRIDES_MAX);
    }
    r->request->overrides[r->request->override_count++] = text;
    return EXIT_CODE_DONE;
}

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

static int take_units(struct reading *r, const char *system) {
    if (strcmp(system, "us") != 0 && strcmp(system, "metric") != 0 && strcmp(system, "si") != 0) {
        return command_usage(r->command, "--units: found '%s'; allowed us, metric, si", system);
    }
    snprintf(r->units, sizeof r->units, "output.units=%s", system);
    return add_override(r, r->units);
}

static int take_plot(struct reading *r, const char *type) {
    if (strcmp(type, "svg") != 0 && strcmp(type, "png") != 0) {
        return command_usage(r->command, "--plot: found '%s'; allowed svg, png", type);
    }
    r->request->picture_type = type;
    return EXIT_CODE_DONE;
}

// One option; -1 for help.
static int take_option(struct reading *r, int code) {
    struct run_request *q = r->request;
    switch (code) {
    case OPTION_TRIM:
        if (r->trim_count == RUN_REQUEST_MAX) {
            return command_usage(r->command, "more than %d --trim", RUN_REQUEST_MAX);
        }
        r->trims[r->trim_count++] = optarg;
        break;
    case OPTION_SET:
        return add_override(r, optarg);
    case OPTION_UNITS:
        return take_units(r, optarg);
    case OPTION_OUT:
        q->folder = optarg;
        break;
    case OPTION_NO_FILES:
        q->files = false;
        break;
    case OPTION_NO_PLOT:
        q->picture = false;
        break;
    case OPTION_PLOT:
        return take_plot(r, optarg);
    case OPTION_SKETCH:
        q->sketch = true;
        break;
    case OPTION_TIGHTER:
        q->tighter = true;
        break;
    case OPTION_WORST:
        return take_worst(r, optarg);
    case OPTION_INPUTS:
        q->inputs = true;
        break;
    case OPTION_QUIET:
        q->quiet = true;
        break;
    case OPTION_HELP:
        return -1;
    default:
        return command_bad_option(r->command, options, code, r->argv);
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
    for (size_t i = 0; i < r->trim_count && code == EXIT_CODE_DONE; i++) {
        size_t trim = scenario_trim_find(scenario, r->trims[i], &list);
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
    struct diagnostics list = {0};
    struct scenario *scenario =
        scenario_open(path, r->request->overrides, r->request->override_count, &list);
    diagnostics_print(&list, stderr);
    diagnostics_free(&list);
    if (!scenario) {
        return EXIT_CODE_SCENARIO;
    }
    if (r->trim_count > 0) {
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
    *request = (struct run_request){
        .folder = "lowlift-out", .files = true, .picture = true, .picture_type = "svg"};
    struct reading r = {.command = command, .request = request, .argv = argv};
    optind = 1;
    int code;
    while ((code = getopt_long(argc, argv, ":h", options, NULL)) != -1) {
        int status = take_option(&r, code == 'h' ? OPTION_HELP : code);
        if (status != EXIT_CODE_DONE) {
            return status;
        }
    }
    if (optind == argc) {
        return command_usage(command, "no scenario file named");
    }
    int status = EXIT_CODE_DONE;
    // The overrides live on the stack of this call only as long as scenarios are opened.
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
