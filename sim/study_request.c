// SPDX-License-Identifier: MIT
#include "study_request.h"

#include "run_output.h"

#include <errno.h>
#include <getopt.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#ifdef _OPENMP
#include <omp.h>
#endif

enum option_code {
    OPTION_TRIM = 256,
    OPTION_SET,
    OPTION_UNITS,
    OPTION_OUT,
    OPTION_NO_FILES,
    OPTION_NO_PLOT,
    OPTION_PLOT,
    OPTION_SKETCH,
    OPTION_THREADS,
    OPTION_QUIET,
    OPTION_HELP,
    OPTION_OWN, // the command's own follow
};

static const struct option common[] = {
    {"trim", required_argument, NULL, OPTION_TRIM},
    {"set", required_argument, NULL, OPTION_SET},
    {"units", required_argument, NULL, OPTION_UNITS},
    {"out", required_argument, NULL, OPTION_OUT},
    {"no-files", no_argument, NULL, OPTION_NO_FILES},
    {"no-plot", no_argument, NULL, OPTION_NO_PLOT},
    {"plot", required_argument, NULL, OPTION_PLOT},
    {"sketch", no_argument, NULL, OPTION_SKETCH},
    {"threads", required_argument, NULL, OPTION_THREADS},
    {"quiet", no_argument, NULL, OPTION_QUIET},
    {"help", no_argument, NULL, OPTION_HELP},
};

enum { COMMON_COUNT = sizeof common / sizeof common[0], OWN_MAX = 24, NAME_MAX_SIZE = 32 };

struct reading {
    struct study_request *request;
    struct study_option *own;
    size_t own_count;
    struct option options[COMMON_COUNT + OWN_MAX + 1];
    char names[OWN_MAX][NAME_MAX_SIZE]; // without their '='
    const char *trims[STUDY_REQUEST_TRIMS_MAX];
    size_t trim_count;
};

static void list_options(struct reading *r) {
    memcpy(r->options, common, sizeof common);
    for (size_t i = 0; i < r->own_count && i < OWN_MAX; i++) {
        const char *name = r->own[i].name;
        size_t length = strcspn(name, "=");
        snprintf(r->names[i], NAME_MAX_SIZE, "%.*s", (int)length, name);
        r->options[COMMON_COUNT + i] =
            (struct option){r->names[i], name[length] == '=' ? required_argument : no_argument,
                            NULL, OPTION_OWN + (int)i};
        r->own[i].value = NULL;
    }
}

static int add_override(struct study_request *q, const char *text) {
    if (q->override_count == STUDY_REQUEST_OVERRIDES_MAX) {
        return command_usage(q->command, "more than %d --set", STUDY_REQUEST_OVERRIDES_MAX);
    }
    q->overrides[q->override_count++] = text;
    return EXIT_CODE_DONE;
}

static int take_units(struct study_request *q, const char *system) {
    if (strcmp(system, "us") != 0 && strcmp(system, "metric") != 0 && strcmp(system, "si") != 0) {
        return command_usage(q->command, "--units: found '%s'; allowed us, metric, si", system);
    }
    snprintf(q->units, sizeof q->units, "output.units=%s", system);
    return add_override(q, q->units);
}

static int take_plot(struct study_request *q, const char *type) {
    if (strcmp(type, "svg") != 0 && strcmp(type, "png") != 0) {
        return command_usage(q->command, "--plot: found '%s'; allowed svg, png", type);
    }
    q->picture_type = type;
    return EXIT_CODE_DONE;
}

static int take_threads(struct study_request *q, const char *text) {
    long count = 0;
    struct study_option option = {"threads=", text};
    int code = study_request_count(q, &option, 1, 1024, &count);
    q->threads = (int)count;
    return code;
}

static int take_trim(struct reading *r, const char *name) {
    if (r->trim_count == STUDY_REQUEST_TRIMS_MAX) {
        return command_usage(r->request->command, "more than %d --trim", STUDY_REQUEST_TRIMS_MAX);
    }
    r->trims[r->trim_count++] = name;
    return EXIT_CODE_DONE;
}

// One option; -1 for help.
static int take_option(struct reading *r, int code) {
    struct study_request *q = r->request;
    if (code >= OPTION_OWN) {
        r->own[code - OPTION_OWN].value = optarg ? optarg : "";
        return EXIT_CODE_DONE;
    }
    switch (code) {
    case OPTION_TRIM:
        return take_trim(r, optarg);
    case OPTION_SET:
        return add_override(q, optarg);
    case OPTION_UNITS:
        return take_units(q, optarg);
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
        return take_plot(q, optarg);
    case OPTION_SKETCH:
        q->sketch = true;
        break;
    case OPTION_THREADS:
        return take_threads(q, optarg);
    case OPTION_QUIET:
        q->quiet = true;
        break;
    case OPTION_HELP:
        return -1;
    default: // getopt has printed its own line
        fprintf(stderr, "lowlift %s: see 'lowlift %s --help'\n", q->command->name,
                q->command->name);
        return EXIT_CODE_USAGE;
    }
    return EXIT_CODE_DONE;
}

static int choose_trims(struct reading *r) {
    struct study_request *q = r->request;
    size_t count = scenario_trim_count(q->scenario);
    struct diagnostics list = {0};
    for (size_t i = 0; i < r->trim_count; i++) {
        q->trim[q->trim_count++] = scenario_trim_find(q->scenario, r->trims[i], &list);
    }
    diagnostics_print(&list, stderr);
    bool wrong = list.errors > 0;
    diagnostics_free(&list);
    if (wrong) {
        return EXIT_CODE_SCENARIO;
    }
    if (r->trim_count == 0 && count > STUDY_REQUEST_TRIMS_MAX) {
        return command_usage(q->command, "%zu trims; allowed %d at a time: name them with --trim",
                             count, STUDY_REQUEST_TRIMS_MAX);
    }
    for (size_t i = 0; r->trim_count == 0 && i < count; i++) {
        q->trim[q->trim_count++] = i;
    }
    return EXIT_CODE_DONE;
}

static int open_scenario(struct reading *r, int argc, char **argv) {
    struct study_request *q = r->request;
    if (optind == argc) {
        return command_usage(q->command, "no scenario file named");
    }
    if (optind + 1 < argc) {
        return command_usage(q->command, "found '%s'; allowed one scenario at a time",
                             argv[optind + 1]);
    }
    q->path = argv[optind];
    struct diagnostics list = {0};
    q->scenario = scenario_open(q->path, q->overrides, q->override_count, &list);
    diagnostics_print(&list, stderr);
    diagnostics_free(&list);
    if (!q->scenario) {
        return EXIT_CODE_SCENARIO;
    }
    char own[200];
    run_output_stem(q->path, own, sizeof own);
    snprintf(q->stem, sizeof q->stem, "%s.%s", own, q->command->name);
    return choose_trims(r);
}

int study_request_read(const struct command *command, int argc, char **argv,
                       struct study_option *own, size_t own_count, struct study_request *request) {
    *request = (struct study_request){.command = command,
                                      .folder = "lowlift-out",
                                      .files = true,
                                      .picture = true,
                                      .picture_type = "svg"};
    struct reading r = {.request = request, .own = own, .own_count = own_count};
    list_options(&r);
    optind = 1;
    int code;
    while ((code = getopt_long(argc, argv, "h", r.options, NULL)) != -1) {
        int status = take_option(&r, code == 'h' ? OPTION_HELP : code);
        if (status != EXIT_CODE_DONE) {
            return status;
        }
    }
    return open_scenario(&r, argc, argv);
}

void study_request_free(struct study_request *request) {
    scenario_free(request->scenario);
    request->scenario = NULL;
}

static int refuse(const struct study_request *request, const struct study_option *option,
                  const char *advice) {
    return command_usage(request->command, "--%.*s: found '%s'; %s",
                         (int)strcspn(option->name, "="), option->name, option->value, advice);
}

int study_request_quantity(const struct study_request *request, const struct study_option *option,
                           enum unit_kind kind, const struct unit_context *site, double whole,
                           double *si) {
    struct quantity quantity;
    char message[UNIT_MESSAGE_SIZE], both[UNIT_MESSAGE_SIZE + 64];
    if (!isnan(whole) && strchr(option->value, '%') &&
        !units_parse(option->value, UNIT_FRACTION, &quantity, message)) {
        *si = quantity.value * whole;
        return EXIT_CODE_DONE;
    }
    const char *wrong = units_parse(option->value, kind, &quantity, message);
    if (!wrong) {
        wrong = units_to_si(site, &quantity, si);
    }
    if (!wrong) {
        return EXIT_CODE_DONE;
    }
    snprintf(both, sizeof both, "%s%s", wrong, isnan(whole) ? "" : ", or a share such as 20 %");
    return refuse(request, option, both);
}

int study_request_count(const struct study_request *request, const struct study_option *option,
                        long low, long high, long *count) {
    char *end, allowed[80];
    errno = 0;
    *count = strtol(option->value, &end, 10);
    if (end != option->value && *end == '\0' && errno == 0 && *count >= low && *count <= high) {
        return EXIT_CODE_DONE;
    }
    snprintf(allowed, sizeof allowed, "allowed a whole number from %ld to %ld", low, high);
    return refuse(request, option, allowed);
}

int study_request_threads(const struct study_request *request) {
#ifdef _OPENMP
    return request->threads > 0 ? request->threads : omp_get_max_threads();
#else
    (void)request;
    return 1;
#endif
}

int study_request_status(const struct study_request *request, enum study_status status,
                         const char *message) {
    static const int codes[] = {[STUDY_DONE] = EXIT_CODE_DONE,
                                [STUDY_INTERRUPTED] = EXIT_CODE_SIGNAL,
                                [STUDY_BAD_SCENARIO] = EXIT_CODE_SCENARIO,
                                [STUDY_BAD_CHECKPOINT] = EXIT_CODE_USAGE,
                                [STUDY_OUTPUT_FAILED] = EXIT_CODE_OUTPUT,
                                [STUDY_NO_MEMORY] = EXIT_CODE_SOLVER};
    if (status != STUDY_DONE) {
        fprintf(stderr, "lowlift %s: %s\n", request->command->name, message);
    }
    return codes[status];
}
