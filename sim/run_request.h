// SPDX-License-Identifier: MIT
// What a user asks of `run` and `compare` on the command line: scenarios, trims, overrides,
// outputs.
#pragma once

#include "command.h"
#include "scenario.h"
#include "verdict.h"

#define RUN_REQUEST_MAX 6
#define RUN_REQUEST_OVERRIDES_MAX 64

struct run_target {
    struct scenario *scenario; // owned by the request; targets may share one
    bool owns;
    size_t trim;
};

struct run_request {
    const char *overrides[RUN_REQUEST_OVERRIDES_MAX];
    size_t override_count;
    struct run_target target[RUN_REQUEST_MAX];
    size_t target_count;
    const char *folder;       // where files go
    bool files;               // write trace and summary
    bool picture;             // write the picture
    const char *picture_type; // "svg" or "png"
    bool sketch;              // also draw in the terminal
    bool tighter;             // measure again at a tenth of the tolerance
    bool quiet;               // only the verdict
    bool inputs;              // list every value, not only the given and guessed ones
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
    "  --trim NAME         this trim of the scenario (may be repeated when comparing)\n"           \
    "  --set FIELD=VALUE   change a field, such as --set 'friction.kinetic=8 lbf' (repeatable)\n"  \
    "  --units SYSTEM      show results in us, metric or si; default: as the scenario is "         \
    "written\n"                                                                                    \
    "  --out FOLDER        where files go (made if missing); default: lowlift-out\n"               \
    "  --no-files          write no trace and no summary\n"                                        \
    "  --no-plot           draw no picture\n"                                                      \
    "  --plot TYPE         picture as svg (default) or png\n"                                      \
    "  --sketch            also draw in the terminal\n"                                            \
    "  --tighter           run again at a ten times tighter tolerance and show how far each\n"     \
    "                      figure moved\n"                                                         \
    "  --worst VERDICT     exit with 6 if a verdict is worse than this, such as --worst ringing\n" \
    "  --inputs            list every value with its source, defaults too\n"                       \
    "  --quiet             print the verdict only\n"                                               \
    "  --help              this page\n"

#define EXIT_CODES_HELP                                                                            \
    "Exit codes: 0 done, 2 bad usage, 3 bad scenario, 4 the solver gave up, 5 output failed,\n"    \
    "6 a verdict is worse than --worst, 130 stopped by a signal.\n"
