// SPDX-License-Identifier: MIT
// Exit codes, by class: the same mistake has the same one whatever the command. Help, manual page
// and README have them from here; scripts rely on them.
#pragma once

enum exit_code {
    EXIT_CODE_DONE = 0,
    EXIT_CODE_USAGE = 2,    // bad command line
    EXIT_CODE_SCENARIO = 3, // bad scenario, or a set pressure out of reach
    EXIT_CODE_SOLVER = 4,   // the integration gave up; outputs are whole up to there
    EXIT_CODE_OUTPUT = 5,   // a file, a picture or the terminal could not be written
    EXIT_CODE_WORSE = 6,    // a verdict is worse than --worst allows
    EXIT_CODE_EXPECT = 7,   // a scenario's expectation is not met
    EXIT_CODE_MEMORY = 8,   // no memory, or no threads; nothing is half-written
    EXIT_CODE_SIGNAL = 130, // stopped by a signal; outputs are whole up to there
};

// Bits of struct command's `exits`.
enum exit_bit {
    EXITS_SCENARIO = 1,
    EXITS_SOLVER = 2,
    EXITS_WORSE = 4,
    EXITS_EXPECT = 8,
    EXITS_SIGNAL = 16,
    EXITS_STUDY = EXITS_SCENARIO | EXITS_SOLVER | EXITS_SIGNAL,
};

// Rows of the table: what a code means in a few words. `bit` 0: any command. False beyond the last.
struct exit_meaning {
    int code;
    unsigned bit;
    const char *words;
};
const struct exit_meaning *exit_code_meaning(unsigned index);
