// SPDX-License-Identifier: MIT
// A command line as read by a command's table of options.
#pragma once

#include "lowlift.h"
#include "shell/command.h"
#include "show/destination.h"

#include <stdbool.h>

enum { REQUEST_OWN_MAX = 24, REQUEST_MANY_MAX = 64 };

struct request_list {
    const char *text[REQUEST_MANY_MAX];
    size_t count;
};

struct request {
    const struct command *command;
    struct study_asked own[REQUEST_OWN_MAX]; // in the order of the command's table
    struct request_list many;                // of the command's own option that may be repeated
    struct request_list trims, overrides;
    char units[40];        // the override that --units stands for
    struct destination to; // where the answer goes; the stem is filled when a scenario is open
    int threads;           // 0: all cores
    bool help;
    char **file; // what is no option
    int files;
};

// Read. EXIT_CODE_DONE, or EXIT_CODE_USAGE after a message.
int request_read(struct request *request, const struct command *command, int argc, char **argv);

// Open a scenario with the overrides; messages are printed. NULL when it cannot be used. Close it
// with lowlift_close.
struct lowlift_scenario *request_open(const struct request *request, const char *path);

// The same for a command that takes one scenario: the job of its studies is begun too, but for its
// trims. NULL after a message, with the exit code.
struct lowlift_scenario *request_job(const struct request *request, struct study_job *job,
                                     int *code);

// Indices of the trims named with --trim, or of all (or the first) where none is. Exit code.
int request_trims(const struct request *request, const struct scenario *scenario, const char *path,
                  size_t trim[STUDY_TRIMS_MAX], size_t *count);
