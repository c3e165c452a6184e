// SPDX-License-Identifier: MIT
// The runs of one command: resolved, simulated, reported. Shared by `run` and `compare`.
#pragma once

#include "command/run_request.h"
#include "run/figure.h"

#define RUN_SET_LABEL 96

struct run_set {
    const struct command *command;
    const struct run_request *request;
    size_t count;
    char label[RUN_REQUEST_MAX][RUN_SET_LABEL]; // what tells the runs apart: trim, file, or both
    struct scenario_case scenario[RUN_REQUEST_MAX];
    struct simulation run[RUN_REQUEST_MAX];
};

// Whether the runs are of more than one scenario.
bool run_set_mixed(const struct run_set *set);

// Resolve every target of the request; EXIT_CODE_DONE or EXIT_CODE_SCENARIO after messages.
int run_set_open(struct run_set *set);
void run_set_close(struct run_set *set);

// Simulate all; the first exit code that is not EXIT_CODE_DONE, after a message each.
int run_set_simulate(struct run_set *set);

// What comes after the figures: tighter runs, inputs, cautions.
void run_set_more(const struct run_set *set);

// EXIT_CODE_WORSE when a verdict is worse than the request allows, else `code`.
int run_set_worst(const struct run_set *set, int code);
