// SPDX-License-Identifier: MIT
// `lowlift starter`: a first scenario from what a technician knows.
#include "base/atomic_file.h"
#include "base/clean.h"
#include "command/all.h"
#include "field/seen.h"
#include "hardware/starter.h"
#include "shell/request.h"

#include <string.h>
#include <sys/stat.h>

enum asked {
    ASKED_BODY,
    ASKED_FULL,
    ASKED_PORT,
    ASKED_SET,
    ASKED_FLOW,
    ASKED_VESSEL,
    ASKED_ORIENTATION,
    ASKED_LEVEL,
    ASKED_OTHER,
    ASKED_ALTITUDE,
    ASKED_LIMIT,
    ASKED_LOWEST,
    ASKED_PEAK,
    ASKED_BEFORE,
    ASKED_AFTER,
    ASKED_SEEN,
    ASKED_QUIET,
    ASKED_DUTY,
    ASKED_ACTUATION,
    ASKED_PILOT,
    ASKED_OUT,
    ASKED_FORCE,
    ASKED_COUNT
};

#define TEXT_OPTION(NAME, VALUE, HELP)                                                             \
    { NAME, VALUE, HELP, OPTION_TEXT, 0, 0, NULL }

static const struct command_option options[ASKED_COUNT] = {
    [ASKED_BODY] = TEXT_OPTION("body", "SIZE", "nominal body size, such as '3 in'"),
    [ASKED_FULL] =
        TEXT_OPTION("port", "SIZE", "the port that is in it; default: full for the body"),
    [ASKED_PORT] = {"reduced-port", "SIZE",
                    "a reduced port to compare with; repeatable, at most five", OPTION_MANY, 0,
                    STARTER_PORTS_MAX, NULL},
    [ASKED_SET] = TEXT_OPTION("set-pressure", "P", "with unit, such as '50 psig' or '345 kPa(g)'"),
    [ASKED_FLOW] = TEXT_OPTION("flow", "Q", "gas flow, such as '0.15 MMscf/d' or '180 Sm3/h'"),
    [ASKED_VESSEL] = TEXT_OPTION(
        "vessel", "V",
        "gas volume of the vessel or the piping it holds, such as '8 ft3'; or the shell's inside "
        "diameter and length, such as '24 in x 7.5 ft'"),
    [ASKED_ORIENTATION] = {"orientation", "HOW", "that shell: vertical (default) or horizontal",
                           OPTION_CHOICE, 0, 0, "vertical, horizontal"},
    [ASKED_LEVEL] = TEXT_OPTION("level", "SHARE",
                                "liquid in that shell, share of its height, such as '1/3'; "
                                "default: a guess, 1/6 to 2/3"),
    [ASKED_OTHER] = TEXT_OPTION("other-pressure", "P",
                                "downstream (back-pressure) or inlet (reducing) pressure"),
    [ASKED_ALTITUDE] = TEXT_OPTION(
        "altitude", "H", "of the site, such as '5500 ft': gauge pressures count from there"),
    [ASKED_LIMIT] = TEXT_OPTION("limit", "P", "highest pressure allowed in the vessel"),
    [ASKED_LOWEST] = TEXT_OPTION("lowest", "Q", "lowest flow to be served, for lowlift trims"),
    [ASKED_PEAK] = TEXT_OPTION("peak", "Q", "largest flow to be served, for lowlift trims"),
    [ASKED_BEFORE] = TEXT_OPTION("pipe-before", "LENGTH",
                                 "pipe of the body's size between the vessel (the supply, when "
                                 "reducing) and the regulator, such as '10 ft'; default: none"),
    [ASKED_AFTER] = TEXT_OPTION("pipe-after", "LENGTH", "the same after the regulator"),
    [ASKED_SEEN] =
        TEXT_OPTION("seen", "WORDS", "what it does at that flow, for lowlift match: " SEEN_ALLOWED),
    [ASKED_QUIET] =
        TEXT_OPTION("quiet-at", "Q", "a flow at which it was quiet, such as when the well came on"),
    [ASKED_DUTY] = {"duty", "DUTY", "back-pressure (default) or reducing", OPTION_CHOICE, 0, 0,
                    "back-pressure, reducing"},
    [ASKED_ACTUATION] = {"actuation", "KIND", "pilot (default) or direct", OPTION_CHOICE, 0, 0,
                         "pilot, direct"},
    [ASKED_PILOT] = {"pilot", "KIND",
                     "it empties the chamber by a fixed bleed (default), or is "
                     "three-way",
                     OPTION_CHOICE, 0, 0, "bleed, three-way"},
    [ASKED_OUT] = TEXT_OPTION("out", "FILE", "write here instead of to the terminal"),
    [ASKED_FORCE] = {"force", NULL, "overwrite that file if it exists", OPTION_FLAG, 0, 0, NULL},
};

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
        const bool direct = file.slot < 0; // into standard output, say, where talk has no place
        if (error == 0 && !starter_write(file.stream, inputs, &list)) {
            atomic_file_abort(&file);
            code = EXIT_CODE_SCENARIO;
        } else if (error == 0) {
            error = atomic_file_commit(&file);
        }
        if (error != 0) {
            clean_say(stderr, "lowlift %s: %s: %s", command->name, path, atomic_file_reason(error));
            code = EXIT_CODE_OUTPUT;
        } else if (code == EXIT_CODE_DONE && !direct) {
            const char *next = inputs->seen || inputs->quiet_at ? "match"
                               : inputs->port_count > 0         ? "compare"
                                                                : "run";
            clean_say(stdout, "wrote %s; now try: lowlift %s %s", path, next, path);
        }
    }
    diagnostics_print(&list, stderr);
    diagnostics_free(&list);
    return code;
}

static bool says(const char *text, const char *word) {
    return text && strcmp(text, word) == 0;
}

static struct starter_inputs inputs_of(const struct request *request) {
    const struct study_asked *own = request->own;
    struct starter_inputs inputs = {
        .duty = says(own[ASKED_DUTY].text, "reducing") ? DUTY_REDUCING : DUTY_BACK_PRESSURE,
        .actuation = says(own[ASKED_ACTUATION].text, "direct") ? ACTUATION_DIRECT : ACTUATION_PILOT,
        .three_way = says(own[ASKED_PILOT].text, "three-way"),
        .pilot_said = own[ASKED_PILOT].text != NULL,
        .body = own[ASKED_BODY].text,
        .full = own[ASKED_FULL].text,
        .set_pressure = own[ASKED_SET].text,
        .flow = own[ASKED_FLOW].text,
        .vessel = own[ASKED_VESSEL].text,
        .level = own[ASKED_LEVEL].text,
        .horizontal = says(own[ASKED_ORIENTATION].text, "horizontal"),
        .oriented = own[ASKED_ORIENTATION].text != NULL,
        .other_pressure = own[ASKED_OTHER].text,
        .altitude = own[ASKED_ALTITUDE].text,
        .limit = own[ASKED_LIMIT].text,
        .lowest = own[ASKED_LOWEST].text,
        .peak = own[ASKED_PEAK].text,
        .pipe_before = own[ASKED_BEFORE].text,
        .pipe_after = own[ASKED_AFTER].text,
        .seen = own[ASKED_SEEN].text,
        .quiet_at = own[ASKED_QUIET].text,
    };
    for (size_t i = 0; i < request->many.count; i++) {
        inputs.port[inputs.port_count++] = request->many.text[i];
    }
    return inputs;
}

static int starter(struct request *request) {
    const struct command *command = request->command;
    const struct starter_inputs inputs = inputs_of(request);
    const char *out = request->own[ASKED_OUT].text;
    if (request->files > 0) {
        return command_usage(command, "found '%s'; allowed options only", request->file[0]);
    }
    const int code = missing(command, &inputs);
    if (code != EXIT_CODE_DONE) {
        return code;
    }
    struct stat there; // what is no file is written to, not replaced
    if (out && !request->own[ASKED_FORCE].text && stat(out, &there) == 0 &&
        S_ISREG(there.st_mode) && strncmp(out, "/dev/", 5) != 0) {
        clean_say(stderr, "lowlift %s: %s exists already; name another file, or --force",
                  command->name, out);
        return EXIT_CODE_OUTPUT;
    }
    return write_out(command, &inputs, out);
}

const struct command command_starter = {
    .name = "starter",
    .summary = "write a first scenario from the few things you know",
    .arguments = "--body SIZE --set-pressure P --flow Q --vessel V",
    .about = "Writes a complete scenario from the few things a technician knows. Every other value "
             "is a guess: a range of hardware that exists (`lowlift fields --hardware`), with its "
             "reason and how to measure it. Replace guesses by what you measure; each run lists "
             "those that are left.",
    .examples =
        "Example:\n"
        "  lowlift starter --body '3 in' --reduced-port '1 1/2 in' --set-pressure '50 psig' \\\n"
        "      --flow '0.15 MMscf/d' --vessel '24 in x 7.5 ft' --level 1/3 \\\n"
        "      --other-pressure '15 psig' --pipe-before '10 ft' --seen 'hits its seat' \\\n"
        "      --out my-well.yaml\n",
    COMMAND_OPTIONS(options),
    .exits = EXITS_SCENARIO,
    .run = starter,
};
