// SPDX-License-Identifier: MIT
// `lowlift trims`: which trim to take for an envelope of flows and pressures.
#include "command/all.h"
#include "command/among_option.h"
#include "trims/trim_study.h"

static const struct command_option options[TRIMS_ASKED_COUNT] = {
    [TRIMS_LOWEST] = {"lowest", "FLOW", "smallest flow to be served; default: envelope.lowest",
                      OPTION_TEXT, 0, 0, NULL},
    [TRIMS_NORMAL] = {"normal", "FLOW",
                      "flow of most days; default: envelope.normal, or the scenario's", OPTION_TEXT,
                      0, 0, NULL},
    [TRIMS_PEAK] = {"peak", "FLOW", "largest flow to be passed; default: envelope.peak",
                    OPTION_TEXT, 0, 0, NULL},
    [TRIMS_PRESSURE_LOW] = {"pressure-low", "P",
                            "lowest pressure of the line (downstream; inlet when reducing)",
                            OPTION_TEXT, 0, 0, NULL},
    [TRIMS_PRESSURE_HIGH] = {"pressure-high", "P", "highest", OPTION_TEXT, 0, 0, NULL},
    [TRIMS_PRESSURE_OF] = {"pressure-of", "WHAT", "line (default) or set: what these two are of",
                           OPTION_TEXT, 0, 0, "line, set"},
    [TRIMS_PRESENT] = {"present", "NAME",
                       "the trim in place, which takes no parts; default: the first", OPTION_TEXT,
                       0, 0, NULL},
    [TRIMS_KICK] = {"kick", "SIZE",
                    "kick of the pressure that must die out, such as '3 psi'; default: "
                    "start.kick_pressure, or 2 % of the set pressure",
                    OPTION_TEXT, 0, 0, NULL},
    [TRIMS_DRAWS] = AMONG_OPTION_DRAWS,
    [TRIMS_MOST] = AMONG_OPTION_MOST("100"),
    [TRIMS_CHECKPOINT] = AMONG_OPTION_CHECKPOINT,
};

const struct command command_trims = {
    .name = "trims",
    .summary = "which trim serves a whole envelope of flows, ranked with the reason",
    .arguments = "SCENARIO.yaml",
    .question = "Which trim serves the whole range of flows?",
    .about =
        "Puts the trims of a scenario side by side for an envelope: the lowest, normal and peak "
        "flow to be served, and optionally a range of line or set pressures. For each trim: how "
        "far it opens, the largest flow it passes, the lowest flow at which it is steady (left "
        "alone and kicked), verdict and swing today and over the envelope, and its rank. Advises "
        "one trim, or to leave things as they are, or none of these, and says why.\n\n"
        "The ranking: first, it passes the peak, that is, settles within 90 % of its travel and "
        "the vessel limit (where one is given); second, it is steady when kicked over the whole "
        "envelope; third, the larger margin below the lowest flow, up to a factor of 2, which is "
        "enough; margins beyond that, or within 10 %, count as equal, and then fewer parts win. "
        "The set screw is turned at the scenario's first flow and left there over the envelope.",
    .examples =
        "Example: an envelope for a scenario that states none\n"
        "  lowlift trims --lowest '20 Mscf/d' --peak '0.5 MMscf/d' scenarios/oversized.yaml\n",
    COMMAND_OPTIONS(options),
    .groups = OPTIONS_STUDY,
    .more = "Fields of the section: lowlift fields envelope",
    .exits = EXITS_STUDY,
    .answer = trim_study_answer,
};
