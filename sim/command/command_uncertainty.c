// SPDX-License-Identifier: MIT
// `lowlift uncertainty`: how sure a verdict is, and what to measure first.
#include "among/uncertainty.h"
#include "command/all.h"
#include "command/among_option.h"

static const struct command_option options[UNCERTAINTY_ASKED_COUNT] = {
    [UNCERTAINTY_DRAWS] = {"draws", "N",
                           "how many draws; default: 200. Four times as many halve an interval. Or "
                           "a FILE of weighted draws, as `lowlift match` writes it: those take the "
                           "place of the ranges",
                           OPTION_TEXT, 0, 0, NULL},
    [UNCERTAINTY_SEED] = {"seed", "N",
                          "another number gives other draws; the same gives the same; default: 1",
                          OPTION_COUNT, 0, 2147483647L, NULL},
    [UNCERTAINTY_GUESSES] =
        {"guesses", "SHARE",
         "how far a guess without a range may be off; default: by the hardware that "
         "exists, 20 % for what its table does not know; 0 %: only stated "
         "ranges",
         OPTION_TEXT, 0, 0, NULL},
    [UNCERTAINTY_SHAPE] = {"shape", "SHAPE",
                           "triangular (most likely as stated), uniform, log-uniform; default: "
                           "log-uniform for most guesses, triangular for the rest; "
                           "FIELD=SHAPE for one value; several with commas between",
                           OPTION_TEXT, 0, 0, "triangular, uniform, log-uniform"},
    [UNCERTAINTY_TOGETHER] = {"together", "PAIRS",
                              "values known to go together: FIELD:FIELD=0.7 is a rank correlation "
                              "of 0.7; several with commas between",
                              OPTION_TEXT, 0, 0, NULL},
    [UNCERTAINTY_FLOWS] = {"flows", "A,B,C", "do it at these flows, in place of the scenario's own",
                           OPTION_TEXT, 0, 0, NULL},
    [UNCERTAINTY_LIST] = {"list", NULL, "list every uncertain value with its range", OPTION_FLAG, 0,
                          0, NULL},
    [UNCERTAINTY_CHECKPOINT] = {"checkpoint", "FILE",
                                "keep finished draws there, and go on from it after a stop",
                                OPTION_TEXT, 0, 0, NULL},
    [UNCERTAINTY_MOST] = AMONG_OPTION_MOST("100"),
};

const struct command command_uncertainty = {
    .name = "uncertainty",
    .summary = "how sure a verdict is when values are guesses, and what to measure first",
    .arguments = "SCENARIO.yaml",
    .question =
        "How sure is the verdict when values are guesses, and what is to be measured first?",
    .about =
        "Draws every uncertain value from its range, simulates, and does it again, 200 times. For "
        "each trim: how often each verdict came out, with the interval that holds the true share, "
        "and which value the outcome depends on: that is what to go and measure.\n\n"
        "Uncertain are values written with a range, such as kinetic: {value: 8 lbf, low: 2 lbf, "
        "high: 20 lbf}, and guesses (about 8 lbf), within hardware that exists: `lowlift fields "
        "--hardware` prints how wide that is, and which parts go together.\n\n"
        "Writes all draws as CSV, a summary as JSON, and a picture.",
    .examples = "Example: can the reduced port be trusted before the guesses are measured?\n"
                "  lowlift uncertainty --trim reduced --draws 10 scenarios/oversized.yaml\n",
    COMMAND_OPTIONS(options),
    .groups = OPTIONS_STUDY,
    .more = "Draws are spread evenly over every range (a Latin hypercube), so the intervals, which "
            "are made for chance draws (Wilson, 95 %), are on the wide side.",
    .exits = EXITS_STUDY,
    .answer = uncertainty_answer,
};
