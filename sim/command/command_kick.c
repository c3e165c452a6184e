// SPDX-License-Identifier: MIT
// `lowlift kick`: settled or kicked, and hysteresis, over a range of flows.
#include "command/all.h"
#include "command/among_option.h"
#include "trims/kick.h"

static const struct command_option options[KICK_ASKED_COUNT] = {
    [KICK_FROM] = {"from", "FLOW",
                   "lowest flow; default: 20 % of the scenario's. A share such as 20 % is of the "
                   "scenario's flow",
                   OPTION_TEXT, 0, 0, NULL},
    [KICK_TO] = {"to", "FLOW", "highest flow; default: 150 % of the scenario's", OPTION_TEXT, 0, 0,
                 NULL},
    [KICK_POINTS] = {"points", "N", "flows between them; default: 14", OPTION_COUNT, 2, 1000, NULL},
    [KICK_LARGEST] = {"largest", "PRESSURE",
                      "largest kick tried; default: 20 % of the set pressure, gauge", OPTION_TEXT,
                      0, 0, NULL},
    [KICK_DRAWS] = AMONG_OPTION_DRAWS,
    [KICK_MOST] = AMONG_OPTION_MOST("40"),
    [KICK_CHECKPOINT] = AMONG_OPTION_CHECKPOINT,
};

const struct command command_kick = {
    .name = "kick",
    .summary = "steady left alone, or only until disturbed: the smallest kick that hunts",
    .arguments = "SCENARIO.yaml",
    .question = "Does it stay steady only until something disturbs it?",
    .about =
        "For every trim and a range of flows: does it stay steady if left alone, which is the "
        "smallest kick of the controlled pressure, up or down, that does not die out, and what "
        "does a restart after shut-in do? Friction and the seat are in force. The flow is also "
        "raised and lowered again step by step with the motion carried over: where the two ways "
        "differ, it depends on where it comes from whether the regulator hunts.\n\n"
        "Writes tables as CSV, a summary as JSON and a picture.",
    .examples =
        "Example: at which flows does a disturbance make a trim hunt?\n"
        "  lowlift kick --trim full --trim 1_1-2-in --trim 3-4-in --from '50 %' --to '150 %' "
        "\\\n      --points 2 --plot png scenarios/which-port.yaml\n",
    COMMAND_OPTIONS(options),
    .groups = OPTIONS_STUDY,
    .exits = EXITS_STUDY,
    .answer = kick_answer,
};
