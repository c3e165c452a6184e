// SPDX-License-Identifier: MIT
// What a user asks of `run` and `compare` on the command line: scenarios, trims, overrides,
// outputs.
#pragma once

#include "command/request_common.h"
#include "judge/verdict.h"

#define RUN_REQUEST_MAX REQUEST_TRIMS_MAX

struct run_target {
    struct scenario *scenario; // owned by the request; targets may share one
    bool owns;
    size_t trim;
};

struct run_request {
    struct request_common shared;
    struct run_target target[RUN_REQUEST_MAX];
    size_t target_count;
    bool tighter; // measure again at a tenth of the tolerance
    bool inputs;  // list every value, not only the given and guessed ones
    bool has_worst;
    enum verdict worst;
};

// Read options and scenarios. Every trim of a scenario becomes a target when `all_trims`, else its
// first. Returns EXIT_CODE_DONE, or the exit code after a message; -1 when help was asked for.
int run_request_read(const struct command *command, int argc, char **argv, bool all_trims,
                     struct run_request *request);

void run_request_free(struct run_request *request);

// Text of the options that both commands share, for their help pages.
#define RUN_REQUEST_OPTIONS                                                                        \
    "  --trim NAME         this trim of the scenario (may be repeated when "                       \
    "comparing)\n" REQUEST_FIELDS_HELP                                                             \
    "  --no-files          write no trace and no summary\n" REQUEST_PICTURE_HELP                   \
    "  --tighter           run again at a ten times tighter tolerance and show how far each\n"     \
    "                      figure moved\n"                                                         \
    "  --worst VERDICT     exit with 6 if a verdict is worse than this, such as --worst ringing\n" \
    "  --inputs            list every value with its source, defaults too\n"                       \
    "  --quiet             print the verdict only\n"                                               \
    "  --help              this page\n"

#define EXIT_CODES_HELP                                                                            \
    "Exit codes: 0 done, 2 bad usage, 3 bad scenario, 4 the solver gave up, 5 output failed,\n"    \
    "6 a verdict is worse than --worst, 130 stopped by a signal.\n"
