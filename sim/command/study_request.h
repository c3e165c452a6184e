// SPDX-License-Identifier: MIT
// What a user asks of a study on the command line: one scenario, some or all of its trims,
// overrides, outputs, and the options of its own that a command has.
#pragma once

#include "command/request_common.h"
#include "study/study.h"

#define STUDY_REQUEST_TRIMS_MAX REQUEST_TRIMS_MAX

// An option of one command. `name` ends in '=' when it takes a value, such as "from=".
struct study_option {
    const char *name;
    const char *value; // filled in; NULL: not given; "" for one without value
};

struct study_request {
    const struct command *command;
    struct request_common shared;
    const char *path; // of the scenario
    struct scenario *scenario;
    size_t trim[STUDY_REQUEST_TRIMS_MAX];
    size_t trim_count;
    int threads;    // 0: all cores
    char stem[256]; // of file names: the scenario's own, and the command's
};

// Read options and the scenario; all trims unless some are named. Returns EXIT_CODE_DONE, or the
// exit code after a message; -1 when help was asked for. Free with study_request_free either way.
int study_request_read(const struct command *command, int argc, char **argv,
                       struct study_option *own, size_t own_count, struct study_request *request);
void study_request_free(struct study_request *request);

// Value of an option that holds a quantity, SI; a flow may also be a share of `whole` such as
// "20 %" (whole NaN: it may not). EXIT_CODE_DONE, or EXIT_CODE_USAGE after a message.
int study_request_quantity(const struct study_request *request, const struct study_option *option,
                           enum unit_kind kind, const struct unit_context *site, double whole,
                           double *si);

// A whole number between two others. The same return.
int study_request_count(const struct study_request *request, const struct study_option *option,
                        long low, long high, long *count);

// Threads to work on: those asked for, else one a core; 1 without OpenMP.
int study_request_threads(const struct study_request *request);

// Exit code of a study, after its message on standard error unless it is done.
int study_request_status(const struct study_request *request, enum study_status status,
                         const char *message);

// Text of the options that all studies share, for their help pages.
#define STUDY_REQUEST_OPTIONS                                                                      \
    "  --trim NAME         only this trim of the scenario (repeatable); default: "                 \
    "all\n" REQUEST_FIELDS_HELP                                                                    \
    "  --no-files          write no table and no summary\n" REQUEST_PICTURE_HELP                   \
    "  --threads N         work on N cores; default: all. The results are the same\n"              \
    "  --quiet             say neither what was written nor how far it is\n"                       \
    "  --help              this page\n"

#define STUDY_EXIT_CODES_HELP                                                                      \
    "Exit codes: 0 done, 2 bad usage, 3 bad scenario, 4 the solver gave up, 5 output failed,\n"    \
    "130 stopped by a signal.\n"
