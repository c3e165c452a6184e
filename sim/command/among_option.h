// SPDX-License-Identifier: MIT
// Rows of the options by which a command answers for many regulators in place of one
// (sim/among/among.h), for the table of a command.
#pragma once

#include "among/among.h"
#include "shell/option.h"

#define AMONG_OPTION_DRAWS                                                                         \
    { "draws", "FILE", AMONG_DRAWS_HELP, OPTION_TEXT, 0, 0, NULL }
#define AMONG_OPTION_MOST(USUAL)                                                                   \
    {                                                                                              \
        "at-most", "N",                                                                            \
            "with --draws FILE: take no more than N of its draws, by their weight; "               \
            "default: " USUAL,                                                                     \
            OPTION_COUNT, 1, AMONG_GUESSED_MAX, NULL                                               \
    }
#define AMONG_OPTION_CHECKPOINT                                                                    \
    {                                                                                              \
        "checkpoint", "FILE",                                                                      \
            "with --draws: keep finished draws there, and go on from it after a stop",             \
            OPTION_TEXT, 0, 0, NULL                                                                \
    }
