// SPDX-License-Identifier: MIT
// `lowlift starter`: a first scenario from what a technician knows.
#include "base/atomic_file.h"
#include "command/command.h"
#include "scenario/starter.h"

#include <getopt.h>
#include <string.h>
#include <unistd.h>

enum option_code {
    OPTION_DUTY = 256,
    OPTION_ACTUATION,
    OPTION_BODY,
    OPTION_PORT,
    OPTION_SET,
    OPTION_FLOW,
    OPTION_VESSEL,
    OPTION_OTHER,
    OPTION_ALTITUDE,
    OPTION_LIMIT,
    OPTION_LOWEST,
    OPTION_PEAK,
    OPTION_OUT,
    OPTION_FORCE,
    OPTION_HELP,
};

static const struct option options[] = {
    {"duty", required_argument, NULL, OPTION_DUTY},
    {"actuation", required_argument, NULL, OPTION_ACTUATION},
    {"body", required_argument, NULL, OPTION_BODY},
    {"reduced-port", required_argument, NULL, OPTION_PORT},
    {"set-pressure", required_argument, NULL, OPTION_SET},
    {"flow", required_argument, NULL, OPTION_FLOW},
    {"vessel", required_argument, NULL, OPTION_VESSEL},
    {"other-pressure", required_argument, NULL, OPTION_OTHER},
    {"altitude", required_argument, NULL, OPTION_ALTITUDE},
    {"limit", required_argument, NULL, OPTION_LIMIT},
    {"lowest", required_argument, NULL, OPTION_LOWEST},
    {"peak", required_argument, NULL, OPTION_PEAK},
    {"out", required_argument, NULL, OPTION_OUT},
    {"force", no_argument, NULL, OPTION_FORCE},
    {"help", no_argument, NULL, OPTION_HELP},
    {NULL, 0, NULL, 0},
};

static bool choose(const char *word, const char *first, const char *second, int *index) {
    *index = strcmp(word, second) == 0;
    return *index == 1 || strcmp(word, first) == 0;
}

// Options whose text goes into the scenario; NULL for another.
static const char **text_of(struct starter_inputs *inputs, int code) {
    switch (code) {
    case OPTION_BODY:
        return &inputs->body;
    case OPTION_SET:
        return &inputs->set_pressure;
    case OPTION_FLOW:
        return &inputs->flow;
    case OPTION_VESSEL:
        return &inputs->vessel;
    case OPTION_OTHER:
        return &inputs->other_pressure;
    case OPTION_ALTITUDE:
        return &inputs->altitude;
    case OPTION_LIMIT:
        return &inputs->limit;
    case OPTION_LOWEST:
        return &inputs->lowest;
    case OPTION_PEAK:
        return &inputs->peak;
    default:
        return NULL;
    }
}

static int take_option(const struct command *command, int code, struct starter_inputs *inputs,
                       const char **out, bool *force) {
    int index;
    const char **text = text_of(inputs, code);
    if (text) {
        *text = optarg;
        return EXIT_CODE_DONE;
    }
    switch (code) {
    case OPTION_DUTY:
        if (!choose(optarg, "back-pressure", "reducing", &index)) {
            return command_usage(command, "--duty: found '%s'; allowed back-pressure, reducing",
                                 optarg);
        }
        inputs->duty = (enum regulator_duty)index;
        break;
    case OPTION_ACTUATION:
        if (!choose(optarg, "pilot", "direct", &index)) {
            return command_usage(command, "--actuation: found '%s'; allowed pilot, direct", optarg);
        }
        inputs->actuation = (enum regulator_actuation)index;
        break;
    case OPTION_PORT:
        if (inputs->port_count == STARTER_PORTS_MAX) {
            return command_usage(command, "more than %d --reduced-port", STARTER_PORTS_MAX);
        }
        inputs->port[inputs->port_count++] = optarg;
        break;
    case OPTION_OUT:
        *out = optarg;
        break;
    case OPTION_FORCE:
        *force = true;
        break;
    case OPTION_HELP:
        return -1;
    default:
        break;
    }
    return EXIT_CODE_DONE;
}

static int missing(const struct command *command, const struct starter_inputs *inputs) {
    const char *name = !inputs->body           ? "--body"
                       : !inputs->set_pressure ? "--set-pressure"
                       : !inputs->flow         ? "--flow"
                       : !inputs->vessel       ? "--vessel"
                                               : NULL;
    return name ? command_usage(command, "%s is missing", name) : EXIT_CODE_DONE;
}

static int write_out(const struct command *command, const struct starter_inputs *inputs,
                     const char *path) {
    struct diagnostics list = {0};
    int code = EXIT_CODE_DONE;
    if (!path) {
        code = starter_write(stdout, inputs, &list) ? EXIT_CODE_DONE : EXIT_CODE_SCENARIO;
    } else {
        struct atomic_file file;
        int error = atomic_file_open(&file, path);
        if (error == 0 && !starter_write(file.stream, inputs, &list)) {
            atomic_file_abort(&file);
            code = EXIT_CODE_SCENARIO;
        } else if (error == 0) {
            error = atomic_file_commit(&file);
        }
        if (error != 0) {
            fprintf(stderr, "lowlift %s: %s: %s\n", command->name, path, strerror(error));
            code = EXIT_CODE_OUTPUT;
        } else if (code == EXIT_CODE_DONE) {
            printf("wrote %s; now try: lowlift compare %s\n", path, path);
        }
    }
    diagnostics_print(&list, stderr);
    diagnostics_free(&list);
    return code;
}

static int starter(const struct command *command, int argc, char **argv) {
    struct starter_inputs inputs = {.duty = DUTY_BACK_PRESSURE, .actuation = ACTUATION_PILOT};
    const char *out = NULL;
    bool force = false;
    optind = 1;
    int code, status;
    while ((code = getopt_long(argc, argv, ":h", options, NULL)) != -1) {
        if (code == '?' || code == ':') {
            return command_bad_option(command, options, code, argv);
        }
        status = take_option(command, code == 'h' ? OPTION_HELP : code, &inputs, &out, &force);
        if (status != EXIT_CODE_DONE) {
            return status == -1 ? command_help(command) : status;
        }
    }
    if (optind < argc) {
        return command_usage(command, "found '%s'; allowed options only", argv[optind]);
    }
    status = missing(command, &inputs);
    if (status != EXIT_CODE_DONE) {
        return status;
    }
    if (out && !force && access(out, F_OK) == 0) {
        fprintf(stderr, "lowlift %s: %s exists already; name another file, or --force\n",
                command->name, out);
        return EXIT_CODE_OUTPUT;
    }
    return command_finish(command, write_out(command, &inputs, out));
}

const struct command command_starter = {
    .name = "starter",
    .summary = "write a first scenario from the few things you know",
    .run = starter,
    .help =
        "Usage: lowlift starter --body SIZE --set-pressure P --flow Q --vessel V [options]\n"
        "\n"
        "Writes a complete scenario from the few things a technician knows. Every other value is\n"
        "filled in, marked `about` (a guess) and explained. Replace guesses by what you measure;\n"
        "each run lists those that are left.\n"
        "\n"
        "Example:\n"
        "  lowlift starter --body '3 in' --reduced-port '1 1/2 in' --set-pressure '50 psig' \\\n"
        "      --flow '0.15 MMscf/d' --vessel '8 ft3' --other-pressure '15 psig' --out "
        "my-well.yaml\n"
        "\n"
        "Options:\n"
        "  --body SIZE           nominal body size, such as '3 in'\n"
        "  --reduced-port SIZE   a reduced port to compare with; repeatable, at most five\n"
        "  --set-pressure P      with unit, such as '50 psig' or '345 kPa(g)'\n"
        "  --flow Q              gas flow, such as '0.15 MMscf/d' or '180 Sm3/h'\n"
        "  --vessel V            gas volume of the vessel or the piping it holds, such as '8 ft3'\n"
        "  --other-pressure P    downstream (back-pressure) or inlet (reducing) pressure\n"
        "  --altitude H          of the site, such as '5500 ft': gauge pressures count from there\n"
        "  --limit P             highest pressure allowed in the vessel\n"
        "  --lowest Q, --peak Q  flows to be served, for 'lowlift trims'\n"
        "  --duty DUTY           back-pressure (default) or reducing\n"
        "  --actuation KIND      pilot (default) or direct\n"
        "  --out FILE            write here instead of to the terminal\n"
        "  --force               overwrite that file if it exists\n"
        "  --help                this page\n"
        "\n"
        "Exit codes: 0 done, 2 bad usage, 3 a value cannot be read, 5 output failed.\n",
};
