// SPDX-License-Identifier: MIT
// `lowlift match`: which regulators could be the one on site.
#include "command/all.h"
#include "site/match.h"

enum { DRAWS_MIN = 10, DRAWS_MAX = 5000, MOST_MIN = 20, MOST_MAX = 100000 };

static const struct command_option options[MATCH_ASKED_COUNT] = {
    [MATCH_DRAWS] = {"draws", "N",
                     "how many effective draws to look for; default: 200. Four times as many halve "
                     "an interval",
                     OPTION_COUNT, DRAWS_MIN, DRAWS_MAX, NULL},
    [MATCH_MOST] = {"most", "N",
                    "how many regulators to simulate at most, and as many again where few fit; "
                    "default: 1200 with a record, 1000 without",
                    OPTION_COUNT, MOST_MIN, MOST_MAX, NULL},
    [MATCH_SEED] = {"seed", "N",
                    "another number gives other draws; the same gives the same; default: 1",
                    OPTION_COUNT, 0, 2147483647L, NULL},
    [MATCH_GUESSES] = {"guesses", "SHARE",
                       "how far a guess may be off that the table of hardware does not know; "
                       "default: 20 %",
                       OPTION_TEXT, 0, 0, NULL},
    [MATCH_RECORD] = {"record", "FILE",
                      "a logger's CSV of time and pressure, at the scenario's own flow",
                      OPTION_TEXT, 0, 0, NULL},
    [MATCH_COLUMN] = {"pressure", "COLUMN",
                      "its column of the controlled pressure; default: the first whose unit is of "
                      "a pressure",
                      OPTION_TEXT, 0, 0, NULL},
    [MATCH_UNIT] = {"unit", "UNIT",
                    "of that pressure, gauge or absolute; default: as the header says", OPTION_TEXT,
                    0, 0, NULL},
    [MATCH_CHAMBER] = {"chamber", "COLUMN",
                       "its column of the chamber pressure, if that was recorded", OPTION_TEXT, 0,
                       0, NULL},
    [MATCH_TRAVEL] = {"travel", "COLUMN",
                      "its column of the travel, if that was recorded: a length, or % of the full "
                      "travel",
                      OPTION_TEXT, 0, 0, NULL},
    [MATCH_CHECKPOINT] = {"checkpoint", "FILE",
                          "keep finished work there and in FILE-2, FILE-3 ..., and go on from them "
                          "after a stop",
                          OPTION_TEXT, 0, 0, NULL},
};

const struct command command_match = {
    .name = "match",
    .summary = "which regulators could be the one on site, from what was read, seen and recorded",
    .arguments = "SCENARIO.yaml",
    .about =
        "Draws hardware from the scenario's ranges and keeps what agrees with the readings of two "
        "gauges and a watch (section `readings`), does at each flow what was seen there (list "
        "`observed`: {flow: 3 MMscf/d, seen: quiet}, {flow: 0.15 MMscf/d, seen: hits its seat, "
        "frequency: 0.5..2 Hz, swing: 3..8 psi}), and swings like a logger's record. Says which "
        "values that pins down, which it knows only together, and which it says nothing about. "
        "When nothing fits it says what the nearest misses.\n\n"
        "Writes the draws that fit, with their weights, as CSV: one row a regulator, one column a "
        "field as --set takes it. Also a summary as JSON and a picture.",
    .examples = "Example: an invented regulator that was quiet when the well came on, and slams\n"
                "  lowlift match --most 20 --draws 10 --record scenarios/matched-record.csv "
                "\\\n      scenarios/matched.yaml\n",
    COMMAND_OPTIONS(options),
    .groups = OPTIONS_STUDY,
    .more = "The trim in place is the first, or that of --trim; values of the others are drawn "
            "along with it.",
    .exits = EXITS_STUDY,
    .answer = match_answer,
};
