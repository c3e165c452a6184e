// SPDX-License-Identifier: MIT
// `lowlift stability`: small motions of the trims of a scenario.
#include "command/all.h"
#include "study/stability.h"

static const struct command_option options[STABILITY_ASKED_COUNT] = {
    [STABILITY_FROM] = {"from", "FLOW",
                        "lowest flow; default: 5 % of the scenario's. A share such as 20 % is of "
                        "the scenario's flow",
                        OPTION_TEXT, 0, 0, NULL},
    [STABILITY_TO] = {"to", "FLOW",
                      "highest flow; default: the largest that any trim passes within 90 % of its "
                      "travel and the vessel limit",
                      OPTION_TEXT, 0, 0, NULL},
    [STABILITY_POINTS] = {"points", "N", "flows in the table and the picture; default: 100",
                          OPTION_COUNT, 2, 10000, NULL},
};

const struct command command_stability = {
    .name = "stability",
    .summary = "small motions of each trim: damping, neutral flows, and what drives the swing",
    .arguments = "SCENARIO.yaml",
    .question = "At which flows is each trim steady, and what drives the swing?",
    .about =
        "For every trim: the modes of small motions about its point of rest, with frequency, "
        "damping ratio and growth; the flows at which the regulator is neither steady nor "
        "unsteady, found to a thousandth of a percent, of which there may be none, one or "
        "several; and what drives the swing: its growth with one thing frozen at a time. A set "
        "pressure meant at flow is adjusted once, at the scenario's flow, and the screw is then "
        "left alone.\n\n"
        "Friction enters as its viscous part only and nothing touches the seat: see lowlift kick "
        "for what a disturbance does. Writes tables as CSV, a summary as JSON and a picture.",
    .examples = "Example: from which flow upward is each trim steady?\n"
                "  lowlift stability --plot png scenarios/oversized.yaml\n",
    COMMAND_OPTIONS(options),
    .groups = OPTIONS_STUDY,
    .exits = EXITS_STUDY,
    .answer = stability_answer,
};
