// SPDX-License-Identifier: MIT
// Exit codes, by class. Documented in the manual page and the README; scripts rely on them.
#pragma once

enum exit_code {
    EXIT_CODE_DONE = 0,
    EXIT_CODE_USAGE = 2,    // bad command line
    EXIT_CODE_SCENARIO = 3, // bad scenario, or a set pressure out of reach
    EXIT_CODE_SOLVER = 4,   // the integration gave up; outputs are whole up to there
    EXIT_CODE_OUTPUT = 5,   // a file, a picture or the terminal could not be written
    EXIT_CODE_WORSE = 6,    // a verdict is worse than --worst allows
    EXIT_CODE_EXPECT = 7,   // a scenario's expectation is not met
    EXIT_CODE_SIGNAL = 130, // stopped by a signal; outputs are whole up to there
};
