// SPDX-License-Identifier: MIT
// `lowlift waves`: pressure along the lines of one trim over time.
#include "command/all.h"
#include "study/waves.h"

static const struct command_option options[WAVES_ASKED_COUNT] = {
    [WAVES_FROM] = {"from", "TIME", "begin of what is shown; default: 0 s", OPTION_TEXT, 0, 0,
                    NULL},
    [WAVES_TO] = {"to", "TIME", "its end; default: 60 quarter waves of the longest line later",
                  OPTION_TEXT, 0, 0, NULL},
};

const struct command command_waves = {
    .name = "waves",
    .summary = "pressure along the pipes before and after the regulator over time",
    .arguments = "SCENARIO.yaml",
    .about =
        "Runs one trim (the first, or that of --trim) and shows the pressure at every place of "
        "its lines over a stretch of time: the wave that a closing sends, how it comes back "
        "from the vessel, and what that does to the next stroke. Needs a scenario with "
        "line_before, line_after, line_sense, line_loading or line_supply; distances are from the "
        "regulator, the diaphragm or the pilot, and the picture shows tubing where there is no "
        "line after the regulator.\n\n"
        "Writes a table as CSV, a summary as JSON and a picture.",
    .examples = "Example: ten feet of pipe and a part of the first burst of blows:\n"
                "  lowlift waves --from '0.3 s' --to '0.4 s' --plot png scenarios/hard-slam.yaml\n",
    COMMAND_OPTIONS(options),
    .groups = OPTIONS_STUDY,
    .exits = EXITS_STUDY,
    .answer = waves_answer,
};
