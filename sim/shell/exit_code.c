// SPDX-License-Identifier: MIT
#include "shell/exit_code.h"

#include <stddef.h>

static const struct exit_meaning meanings[] = {
    {EXIT_CODE_DONE, 0, "done"},
    {EXIT_CODE_USAGE, 0, "bad usage of the command"},
    {EXIT_CODE_SCENARIO, EXITS_SCENARIO, "bad scenario, or a set pressure that cannot be reached"},
    {EXIT_CODE_SOLVER, EXITS_SOLVER, "the solver gave up; the trace is whole up to there"},
    {EXIT_CODE_OUTPUT, 0, "a file, a picture or the terminal could not be written"},
    {EXIT_CODE_WORSE, EXITS_WORSE, "a verdict is worse than --worst allows"},
    {EXIT_CODE_EXPECT, EXITS_EXPECT, "a row of `expect` is not met"},
    {EXIT_CODE_MEMORY, 0, "memory was lacking; no file is half-written"},
    {EXIT_CODE_SIGNAL, EXITS_SIGNAL,
     "stopped by a signal (Ctrl-C); the trace is whole up to there"},
};

const struct exit_meaning *exit_code_meaning(unsigned index) {
    return index < sizeof meanings / sizeof meanings[0] ? &meanings[index] : NULL;
}
