// SPDX-License-Identifier: MIT
#include "command/study_request.h"

#include "show/run_output.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#ifdef _OPENMP
#include <omp.h>
#endif

enum option_code {
    OPTION_THREADS = REQUEST_OWN,
    OPTION_OWN, // the command's own follow
};

static const struct option common[] = {
    REQUEST_OPTIONS_FIRST,
    {"threads", required_argument, NULL, OPTION_THREADS},
    REQUEST_OPTIONS_LAST,
};

enum { COMMON_COUNT = sizeof common / sizeof common[0], OWN_MAX = 24, NAME_MAX_SIZE = 32 };

struct reading {
    struct study_request *request;
    struct study_option *own;
    size_t own_count;
    struct option options[COMMON_COUNT + OWN_MAX + 1];
    char names[OWN_MAX][NAME_MAX_SIZE]; // without their '='
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

static int take_threads(struct study_request *q, const char *text) {
    long count = 0;
    struct study_option option = {"threads=", text};
    int code = study_request_count(q, &option, 1, 1024, &count);
    q->threads = (int)count;
    return code;
}

// One option; -1 for help.
static int take_option(struct reading *r, int code) {
    struct study_request *q = r->request;
    if (code >= OPTION_OWN) {
        r->own[code - OPTION_OWN].value = optarg ? optarg : "";
        return EXIT_CODE_DONE;
    }
    switch (code) {
    case OPTION_THREADS:
        return take_threads(q, optarg);
    case '?': // getopt has printed its own line
        fprintf(stderr, "lowlift %s: see 'lowlift %s --help'\n", q->command->name,
                q->command->name);
        return EXIT_CODE_USAGE;
    default:
        return request_common_take(q->command, &q->shared, code);
    }
}

static int choose_trims(struct study_request *q) {
    const struct request_common *shared = &q->shared;
    size_t count = scenario_trim_count(q->scenario);
    struct diagnostics list = {0};
    for (size_t i = 0; i < shared->trim_count; i++) {
        q->trim[q->trim_count++] = scenario_trim_find(q->scenario, shared->trims[i], &list);
    }
    diagnostics_print(&list, stderr);
    bool wrong = list.errors > 0;
    diagnostics_free(&list);
    if (wrong) {
        return EXIT_CODE_SCENARIO;
    }
    if (shared->trim_count == 0 && count > STUDY_REQUEST_TRIMS_MAX) {
        return command_usage(q->command, "%zu trims; allowed %d at a time: name them with --trim",
                             count, STUDY_REQUEST_TRIMS_MAX);
    }
    for (size_t i = 0; shared->trim_count == 0 && i < count; i++) {
        q->trim[q->trim_count++] = i;
    }
    return EXIT_CODE_DONE;
}

static int open_scenario(struct study_request *q, int argc, char **argv) {
    if (optind == argc) {
        return command_usage(q->command, "no scenario file named");
    }
    if (optind + 1 < argc) {
        return command_usage(q->command, "found '%s'; allowed one scenario at a time",
                             argv[optind + 1]);
    }
    q->path = argv[optind];
    q->scenario = request_common_open(&q->shared, q->path);
    if (!q->scenario) {
        return EXIT_CODE_SCENARIO;
    }
    char own[200];
    run_output_stem(q->path, own, sizeof own);
    snprintf(q->stem, sizeof q->stem, "%s.%s", own, q->command->name);
    return choose_trims(q);
}

int study_request_read(const struct command *command, int argc, char **argv,
                       struct study_option *own, size_t own_count, struct study_request *request) {
    *request = (struct study_request){.command = command, .shared = request_common_start()};
    struct reading r = {.request = request, .own = own, .own_count = own_count};
    list_options(&r);
    optind = 1;
    int code;
    while ((code = getopt_long(argc, argv, "h", r.options, NULL)) != -1) {
        int status = take_option(&r, code);
        if (status != EXIT_CODE_DONE) {
            return status;
        }
    }
    return open_scenario(request, argc, argv);
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
    const char *text = option->value ? option->value : "";
    errno = 0;
    *count = strtol(text, &end, 10);
    if (end != text && *end == '\0' && errno == 0 && *count >= low && *count <= high) {
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
