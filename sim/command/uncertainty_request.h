// SPDX-License-Identifier: MIT
// What a user asks of `lowlift uncertainty` on the command line, made into a study.
#pragma once

#include "show/uncertainty_report.h"

enum uncertainty_own {
    UNCERTAINTY_OWN_DRAWS,
    UNCERTAINTY_OWN_SEED,
    UNCERTAINTY_OWN_GUESSES,
    UNCERTAINTY_OWN_SHAPE,
    UNCERTAINTY_OWN_TOGETHER,
    UNCERTAINTY_OWN_FLOWS,
    UNCERTAINTY_OWN_LIST,
    UNCERTAINTY_OWN_CHECKPOINT,
    UNCERTAINTY_OWN_COUNT
};

struct uncertainty_request {
    struct study_request common;
    struct study_option own[UNCERTAINTY_OWN_COUNT];
    struct uncertainty study;
    struct scenario_case resolved; // the first trim, for its units
    double share;                  // of a guess, either way
    char message[600];
};

// Read the command line. Exit code, or -1 when help was asked for. Free whatever the outcome.
int uncertainty_request_read(const struct command *command, int argc, char **argv,
                             struct uncertainty_request *request);
void uncertainty_request_free(struct uncertainty_request *request);
