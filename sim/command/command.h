// SPDX-License-Identifier: MIT
// One entry per command of the program. A command reads its own options, does its work and returns
// an exit code; results go to standard output, talk to standard error.
#pragma once

#include "command/exit_code.h"

struct command {
    const char *name;
    const char *summary; // one line of the overview
    const char *help;    // the page of `lowlift NAME --help`
    int (*run)(const struct command *command, int argc, char **argv);
};

extern const struct command command_run;
extern const struct command command_compare;
extern const struct command command_stability;
extern const struct command command_map;
extern const struct command command_kick;
extern const struct command command_starter;
extern const struct command command_trims;
extern const struct command command_decline;
extern const struct command command_remedies;
extern const struct command command_uncertainty;
extern const struct command command_check;
extern const struct command command_expect;
extern const struct command command_fields;
extern const struct command command_verdicts;

// All commands by index; NULL beyond the last.
const struct command *command_at(unsigned index);

// Print the page and return EXIT_CODE_DONE (or EXIT_CODE_OUTPUT).
int command_help(const struct command *command);

// Report bad usage: "lowlift run: MESSAGE", where the page is, and EXIT_CODE_USAGE.
int command_usage(const struct command *command, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

// Report an option that getopt_long, called with short options that begin with a colon, answered
// with `code` '?' or ':', with the nearest of the options there are; EXIT_CODE_USAGE.
struct option;
int command_bad_option(const struct command *command, const struct option *options, int code,
                       char **argv);

// Flush standard output; EXIT_CODE_OUTPUT with a message when that fails, else `code`.
int command_finish(const struct command *command, int code);
