// SPDX-License-Identifier: MIT
#include "shell/request.h"

#include "base/nearest.h"
#include "library/inside.h"

#include <errno.h>
#include <getopt.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
    OPTIONS_MAX = REQUEST_OWN_MAX + SHARED_COUNT,
    CODE_FIRST = 256,
    NAME_SIZE = 64,
    REQUEST_WORDS_MAX = 16
};

static int refuse(const struct command *command, const struct command_option *option,
                  const char *text, const char *allowed) {
    struct nearest near = nearest_start(text);
    char word[REQUEST_WORDS_MAX][NAME_SIZE]; // offered, so they must stay
    size_t count = 0;
    for (const char *at = option->words; at && *at && count < REQUEST_WORDS_MAX; count++) {
        const size_t length = strcspn(at, ",");
        snprintf(word[count], NAME_SIZE, "%.*s", (int)length, at);
        nearest_offer(&near, word[count]);
        at += length + strspn(at + length, ", ");
    }
    return near.best ? command_usage(command, "--%s: found '%s'; allowed %s; did you mean '%s'?",
                                     option->name, text, allowed, near.best)
                     : command_usage(command, "--%s: found '%s'; allowed %s", option->name, text,
                                     allowed);
}

static int take_count(const struct command *command, const struct command_option *option,
                      const char *text, long *count) {
    char *end;
    char allowed[80];
    errno = 0;
    *count = strtol(text, &end, 10);
    if (end != text && *end == '\0' && errno == 0 && *count >= option->low &&
        *count <= option->high) {
        return EXIT_CODE_DONE;
    }
    snprintf(allowed, sizeof allowed, "a whole number from %ld to %ld", option->low, option->high);
    return refuse(command, option, text, allowed);
}

static int take_choice(const struct command *command, const struct command_option *option,
                       const char *text) {
    const size_t length = strlen(text);
    for (const char *at = option->words; *at; at += strspn(at, ", ")) {
        const size_t word = strcspn(at, ",");
        if (word == length && strncmp(at, text, length) == 0) {
            return EXIT_CODE_DONE;
        }
        at += word;
    }
    return refuse(command, option, text, option->words);
}

static int add_text(const struct command *command, const struct command_option *option,
                    struct request_list *list, size_t most, const char *text) {
    if (list->count == most) {
        return command_usage(command, "more than %zu --%s", most, option->name);
    }
    list->text[list->count++] = text;
    return EXIT_CODE_DONE;
}

// What the value of any option must be, whatever it is for.
static int check_value(const struct command *command, const struct command_option *option,
                       const char *text, long *count) {
    switch (option->kind) {
    case OPTION_COUNT:
        return take_count(command, option, text, count);
    case OPTION_CHOICE:
        return take_choice(command, option, text);
    default:
        return EXIT_CODE_DONE;
    }
}

static int take_own(struct request *r, size_t index, const char *text) {
    const struct command_option *option = &r->command->option[index];
    if (option->kind == OPTION_MANY) {
        const size_t most = option->high > 0 ? (size_t)option->high : REQUEST_MANY_MAX;
        return add_text(r->command, option, &r->many, most, text);
    }
    r->own[index].text = text;
    return check_value(r->command, option, text, &r->own[index].count);
}

static int take_shared(struct request *r, enum option_shared index, const char *text) {
    unsigned group;
    const struct command_option *option = option_shared_at(index, &group);
    long count = 0;
    const int code = check_value(r->command, option, text, &count);
    if (code != EXIT_CODE_DONE) {
        return code;
    }
    switch (index) {
    case SHARED_TRIM:
        return add_text(r->command, option, &r->trims, STUDY_TRIMS_MAX, text);
    case SHARED_UNITS:
        snprintf(r->units, sizeof r->units, "output.units=%s", text);
        // A system of units is a field like another.
        return add_text(r->command, option_shared_at(SHARED_SET, &group), &r->overrides,
                        REQUEST_MANY_MAX, r->units);
    case SHARED_SET:
        return add_text(r->command, option, &r->overrides, REQUEST_MANY_MAX, text);
    case SHARED_OUT:
        r->to.folder = text;
        break;
    case SHARED_NO_FILES:
        r->to.files = false;
        break;
    case SHARED_NO_PLOT:
        r->to.picture = false;
        break;
    case SHARED_PLOT:
        r->to.picture_type = text;
        break;
    case SHARED_SKETCH:
        r->to.sketch = true;
        break;
    case SHARED_THREADS:
        r->threads = (int)count;
        break;
    case SHARED_QUIET:
        r->to.quiet = true;
        break;
    default:
        r->help = true;
        break;
    }
    return EXIT_CODE_DONE;
}

// --- The table for getopt_long

struct reading {
    struct request *request;
    struct option long_option[OPTIONS_MAX + 1];
};

// Codes: own options by their place from CODE_FIRST on, then the shared ones by theirs.
static void list_options(struct reading *reading) {
    const struct command *command = reading->request->command;
    const struct command_option *option;
    size_t count = 0;
    for (; (option = option_at(command, count)) && count < OPTIONS_MAX; count++) {
        struct option *one = &reading->long_option[count];
        int code = CODE_FIRST + (int)count;
        for (size_t k = 0; count >= command->option_count && k < SHARED_COUNT; k++) {
            unsigned group;
            if (option_shared_at((enum option_shared)k, &group) == option) {
                code = CODE_FIRST + REQUEST_OWN_MAX + (int)k;
            }
        }
        *one = (struct option){option->name, option->value ? required_argument : no_argument, NULL,
                               code};
    }
}

// What getopt_long answered with '?' or ':'.
static int bad_option(const struct reading *reading, int code, const char *given) {
    const struct command *command = reading->request->command;
    if (code == ':') {
        return command_usage(command, "%s needs a value", given);
    }
    if (optopt > 0 && optopt < CODE_FIRST) { // a short option
        return command_usage(command, "found '-%c'; allowed -h and the long options", optopt);
    }
    char name[NAME_SIZE];
    snprintf(name, sizeof name, "%s", given + strspn(given, "-"));
    name[strcspn(name, "=")] = '\0';
    struct nearest near = nearest_start(name);
    for (const struct option *o = reading->long_option; o->name; o++) {
        nearest_offer(&near, o->name);
    }
    return near.best ? command_usage(command, "found '%s'; did you mean '--%s'?", given, near.best)
                     : command_usage(command, "found '%s'", given);
}

static int take(struct reading *reading, int code, char **argv) {
    struct request *r = reading->request;
    const char *text = optarg ? optarg : "";
    if (code == '?' || code == ':') {
        return bad_option(reading, code, argv[optind - 1]);
    }
    if (code == 'h') {
        return take_shared(r, SHARED_HELP, "");
    }
    const int place = code - CODE_FIRST;
    return place < REQUEST_OWN_MAX
               ? take_own(r, (size_t)place, text)
               : take_shared(r, (enum option_shared)(place - REQUEST_OWN_MAX), text);
}

int request_read(struct request *request, const struct command *command, int argc, char **argv) {
    *request = (struct request){.command = command,
                                .to = {.command = command->name,
                                       .folder = "lowlift-out",
                                       .files = true,
                                       .picture = true,
                                       .picture_type = "svg"}};
    struct reading reading = {.request = request};
    static char dashed[REQUEST_OWN_MAX][NAME_SIZE]; // a name as the user types it
    for (size_t i = 0; i < command->option_count; i++) {
        snprintf(dashed[i], NAME_SIZE, "--%s", command->option[i].name);
        request->own[i].name = dashed[i];
    }
    list_options(&reading);
    optind = 0; // also forgets what an earlier command line left
    int code;
    while ((code = getopt_long(argc, argv, ":h", reading.long_option, NULL)) != -1) {
        const int status = take(&reading, code, argv);
        if (status != EXIT_CODE_DONE || request->help) {
            return status;
        }
    }
    request->file = argv + optind;
    request->files = argc - optind;
    return EXIT_CODE_DONE;
}

// --- Scenarios

struct lowlift_scenario *request_open(const struct request *request, const char *path) {
    struct lowlift_scenario *handle = lowlift_open(path);
    int errors = lowlift_trim_count(handle) > 0 ? 0 : 1;
    fputs(lowlift_errors(handle), stderr);
    const bool read = errors == 0;
    for (size_t i = 0; read && i < request->overrides.count; i++) {
        errors += lowlift_set(handle, request->overrides.text[i]);
        fputs(lowlift_errors(handle), stderr);
    }
    // A value that was refused is no reason to keep quiet about what else is wrong; only about what
    // is merely odd.
    const int wrong = lowlift_check(handle);
    if (read && (wrong > 0 || errors == 0)) {
        fputs(lowlift_errors(handle), stderr);
    }
    errors += wrong;
    if (errors == 0) {
        return handle;
    }
    lowlift_close(handle);
    return NULL;
}

struct lowlift_scenario *request_job(const struct request *request, struct study_job *job,
                                     int *code) {
    *job = (struct study_job){.path = request->file[0],
                              .overrides = request->overrides.text,
                              .override_count = request->overrides.count,
                              .overridden = request->overrides.count > 0,
                              .threads = request->threads,
                              .quiet = request->to.quiet};
    if (request->files != 1) {
        *code = request->files == 0
                    ? command_usage(request->command, "no scenario file named")
                    : command_usage(request->command, "found '%s'; allowed one scenario at a time",
                                    request->file[1]);
        return NULL;
    }
    struct lowlift_scenario *opened = request_open(request, job->path);
    *code = opened ? EXIT_CODE_DONE : EXIT_CODE_SCENARIO;
    job->scenario = inside_scenario(opened);
    return opened;
}

int request_trims(const struct request *request, const struct scenario *scenario, const char *path,
                  size_t trim[STUDY_TRIMS_MAX], size_t *count) {
    struct diagnostics list = {0};
    *count = 0;
    for (size_t i = 0; i < request->trims.count; i++) {
        trim[(*count)++] = scenario_trim_find(scenario, request->trims.text[i], &list);
    }
    diagnostics_print(&list, stderr);
    const bool wrong = list.errors > 0;
    diagnostics_free(&list);
    if (wrong) {
        return EXIT_CODE_SCENARIO;
    }
    const size_t all = scenario_trim_count(scenario);
    if (request->trims.count == 0 && all > STUDY_TRIMS_MAX) {
        return command_usage(request->command,
                             "%s: %zu trims; allowed %d at a time: name them with --trim", path,
                             all, STUDY_TRIMS_MAX);
    }
    for (size_t i = 0; request->trims.count == 0 && i < all; i++) {
        trim[(*count)++] = i;
    }
    return EXIT_CODE_DONE;
}
