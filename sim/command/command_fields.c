// SPDX-License-Identifier: MIT
// `lowlift fields`: everything a scenario may say, from the one table that reads it.
#include "base/nearest.h"
#include "command/command.h"
#include "run/figure.h"
#include "scenario/field.h"
#include "scenario/reference.h"

#include <string.h>

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

static int fields(const struct command *command, int argc, char **argv) {
    enum reference_format format = REFERENCE_TEXT;
    const char *section = NULL;
    for (int i = 1; i < argc; i++) {
        if (strcmp(argv[i], "--help") == 0 || strcmp(argv[i], "-h") == 0) {
            return command_help(command);
        }
        if (strcmp(argv[i], "--markdown") == 0) {
            format = REFERENCE_MARKDOWN;
        } else if (strcmp(argv[i], "--figures") == 0) {
            print_figures();
            return command_finish(command, EXIT_CODE_DONE);
        } else if (argv[i][0] == '-') {
            return command_usage(command, "found '%s'; allowed --markdown, --figures, --help",
                                 argv[i]);
        } else {
            section = argv[i];
        }
    }
    if (reference_print(stdout, format, section) != 0) {
        return unknown_section(command, section);
    }
    return command_finish(command, EXIT_CODE_DONE);
}

const struct command command_fields = {
    .name = "fields",
    .summary = "list every field of a scenario with unit, default and range",
    .run = fields,
    .help = "Usage: lowlift fields [--markdown] [SECTION]\n"
            "       lowlift fields --figures\n"
            "\n"
            "Lists every field a scenario may have: name, unit, default, range and what it is.\n"
            "With a section (trim, actuator, pilot, ...) only that one.\n"
            "\n"
            "Example: what can be said about the pilot?\n"
            "  lowlift fields pilot\n"
            "\n"
            "Options:\n"
            "  --markdown   as tables for a document\n"
            "  --figures    the figures of a run that `expect` rows may name\n"
            "  --help       this page\n"
            "\n"
            "Exit codes: 0 done, 2 bad usage, 5 output failed.\n",
};
