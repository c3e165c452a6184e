// SPDX-License-Identifier: MIT
// What the commands that work on scenarios all let a user ask for: trims, changed fields, units,
// and where results go. Reads those options; each command's request adds its own, and opens its
// scenarios.
#pragma once

#include "command/command.h"
#include "scenario/scenario.h"

#include <getopt.h>

#define REQUEST_TRIMS_MAX 6
#define REQUEST_OVERRIDES_MAX 64

struct request_common {
    const char *trims[REQUEST_TRIMS_MAX]; // named with --trim
    size_t trim_count;
    const char *overrides[REQUEST_OVERRIDES_MAX];
    size_t override_count;
    const char *folder;       // where files go
    bool files;               // write tables and the summary
    bool picture;             // write the picture
    const char *picture_type; // "svg" or "png"
    bool sketch;              // also draw in the terminal
    bool quiet;               // no word of what was written
    char units[32];           // the override that --units stands for
};

// Codes that getopt_long answers with; a request numbers its own from REQUEST_OWN on.
enum request_option {
    REQUEST_TRIM = 256,
    REQUEST_SET,
    REQUEST_UNITS,
    REQUEST_OUT,
    REQUEST_NO_FILES,
    REQUEST_NO_PLOT,
    REQUEST_PLOT,
    REQUEST_SKETCH,
    REQUEST_QUIET,
    REQUEST_HELP,
    REQUEST_OWN,
};

// Entries of a table for getopt_long; what a request adds stands between the two.
#define REQUEST_OPTIONS_FIRST                                                                      \
    {"trim", required_argument, NULL, REQUEST_TRIM},                                               \
        {"set", required_argument, NULL, REQUEST_SET},                                             \
        {"units", required_argument, NULL, REQUEST_UNITS},                                         \
        {"out", required_argument, NULL, REQUEST_OUT},                                             \
        {"no-files", no_argument, NULL, REQUEST_NO_FILES},                                         \
        {"no-plot", no_argument, NULL, REQUEST_NO_PLOT},                                           \
        {"plot", required_argument, NULL, REQUEST_PLOT}, {                                         \
        "sketch", no_argument, NULL, REQUEST_SKETCH                                                \
    }
#define REQUEST_OPTIONS_LAST                                                                       \
    {"quiet", no_argument, NULL, REQUEST_QUIET}, {                                                 \
        "help", no_argument, NULL, REQUEST_HELP                                                    \
    }

// Before any option is read.
struct request_common request_common_start(void);

// Take one option by its code, with its value in optarg. EXIT_CODE_DONE, EXIT_CODE_USAGE after a
// message, or -1 when help was asked for.
int request_common_take(const struct command *command, struct request_common *common, int code);

// One more "FIELD=VALUE", which the caller keeps. EXIT_CODE_DONE, or EXIT_CODE_USAGE after a
// message.
int request_common_override(const struct command *command, struct request_common *common,
                            const char *text);

// Open a scenario with the overrides; messages are printed. NULL when it cannot be used.
struct scenario *request_common_open(const struct request_common *common, const char *path);

// Text of these options for help pages.
#define REQUEST_FIELDS_HELP                                                                        \
    "  --set FIELD=VALUE   change a field, such as --set 'friction.kinetic=8 lbf' (repeatable)\n"  \
    "  --units SYSTEM      show results in us, metric or si; default: as the scenario is "         \
    "written\n"                                                                                    \
    "  --out FOLDER        where files go (made if missing); default: lowlift-out\n"
#define REQUEST_PICTURE_HELP                                                                       \
    "  --no-plot           draw no picture\n"                                                      \
    "  --plot TYPE         picture as svg (default) or png\n"                                      \
    "  --sketch            also draw in the terminal\n"
