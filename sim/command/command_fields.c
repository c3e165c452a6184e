// SPDX-License-Identifier: MIT
// `lowlift fields`: everything a scenario may say, from the one table that reads it.
#include "base/nearest.h"
#include "command/all.h"
#include "field/field.h"
#include "field/reference.h"
#include "hardware/hardware.h"
#include "run/figure.h"
#include "shell/request.h"

#include <stdio.h>

static int unknown_section(const struct command *command, const char *name) {
    struct nearest near = nearest_start(name);
    for (size_t i = 0; field_section_at(i); i++) {
        nearest_offer(&near, field_section_at(i)->name);
    }
    return command_usage(command, "found '%s'; allowed a section such as trim, pilot, run%s%s%s",
                         name, near.best ? "; did you mean '" : "", near.best ? near.best : "",
                         near.best ? "'?" : "");
}

static void print_figures(void) {
    puts("Figures that `expect` may name, besides `verdict` and `refusal`:");
    for (size_t i = 0; figure_at(i); i++) {
        printf("  %-24s %s\n", figure_at(i)->name, figure_at(i)->help);
    }
}

static int print_hardware(const struct command *command, const char *section) {
    if (section && !field_section_find(section)) {
        return unknown_section(command, section);
    }
    hardware_print(stdout, section);
    return EXIT_CODE_DONE;
}

enum { ASKED_MARKDOWN, ASKED_FIGURES, ASKED_HARDWARE, ASKED_COUNT };

static const struct command_option options[ASKED_COUNT] = {
    [ASKED_MARKDOWN] = {"markdown", NULL, "as tables for a document", OPTION_FLAG, 0, 0, NULL},
    [ASKED_FIGURES] = {"figures", NULL, "the figures of a run that `expect` rows may name",
                       OPTION_FLAG, 0, 0, NULL},
    [ASKED_HARDWARE] = {"hardware", NULL,
                        "the ranges of hardware that exists: why, and how to measure", OPTION_FLAG,
                        0, 0, NULL},
};

static int fields(struct request *request) {
    const char *section = request->files > 0 ? request->file[0] : NULL;
    if (request->files > 1) {
        return command_usage(request->command, "found '%s'; allowed one section at a time",
                             request->file[1]);
    }
    if (request->own[ASKED_FIGURES].text) {
        print_figures();
        return EXIT_CODE_DONE;
    }
    if (request->own[ASKED_HARDWARE].text) {
        return print_hardware(request->command, section);
    }
    const enum reference_format format =
        request->own[ASKED_MARKDOWN].text ? REFERENCE_MARKDOWN : REFERENCE_TEXT;
    return reference_print(stdout, format, section) == 0
               ? EXIT_CODE_DONE
               : unknown_section(request->command, section);
}

const struct command command_fields = {
    .name = "fields",
    .summary = "list every field of a scenario with unit, default and range",
    .arguments = "[SECTION]",
    .about = "Lists every field a scenario may have: name, unit, default, range and what it is. "
             "With a section (trim, actuator, pilot, ...) only that one.",
    .examples = "Example: what can be said about the pilot?\n"
                "  lowlift fields pilot\n"
                "Example: how wide is a guess of its parts, and how are they measured?\n"
                "  lowlift fields pilot --hardware\n",
    COMMAND_OPTIONS(options),
    .run = fields,
};
