// SPDX-License-Identifier: MIT
// `lowlift remedies`: what a crew can do, and what it would change.
#include "command/all.h"
#include "command/among_option.h"
#include "remedy/remedies.h"

static const struct command_option options[REMEDIES_ASKED_COUNT] = {
    [REMEDIES_KICK] = {"kick", "PRESSURE",
                       "it must also stand this kick, such as '3 psi', to count as steady; "
                       "default: start.kick_pressure of the scenario. 0: left alone, small motions "
                       "must die out, which takes a tenth of the time",
                       OPTION_TEXT, 0, 0, NULL},
    [REMEDIES_STEPS] = {"steps", "N", "strengths tried of each remedy; default: 2", OPTION_COUNT, 1,
                        REMEDIES_STEPS_MAX, NULL},
    [REMEDIES_FROM] = {"from", "FLOW",
                       "lowest flow; default: 5 % of today's. A share such as 20 % is of today's "
                       "flow",
                       OPTION_TEXT, 0, 0, NULL},
    [REMEDIES_TO] = {"to", "FLOW",
                     "highest flow; default: the largest passed at 90 % travel, at least twice and "
                     "at most 30 times today's",
                     OPTION_TEXT, 0, 0, NULL},
    [REMEDIES_CHECKPOINT] = {"checkpoint", "FILE",
                             "keep finished tries there, and go on from it after a stop",
                             OPTION_TEXT, 0, 0, NULL},
    [REMEDIES_DRAWS] = AMONG_OPTION_DRAWS,
    [REMEDIES_MOST] = AMONG_OPTION_MOST("30"),
};

const struct command command_remedies = {
    .name = "remedies",
    .summary = "what a crew can do, without parts first, and what each would change",
    .arguments = "SCENARIO.yaml",
    .question = "What can be done about it, without parts first?",
    .one_trim = true,
    .about =
        "Tries what a crew can do to the trim in place (the first of the scenario, or the one "
        "named with --trim): screws, valves, oil and cleaning first, then parts, each at a few "
        "strengths, one at a time, and the best few in pairs. For each: the verdict at today's "
        "flow, and the lowest flow from which upward it is steady. Also what makes it worse.\n\n"
        "Writes every try as CSV, a summary as JSON, and a picture.",
    .examples =
        "Example: what can be done about the full port before a reduced one is bought? A first\n"
        "look, without a kick and at one strength of each:\n"
        "  lowlift remedies --kick 0 --steps 1 --trim full --no-plot scenarios/oversized.yaml\n",
    COMMAND_OPTIONS(options),
    .groups = OPTIONS_STUDY,
    .more =
        "cures: it comes to rest at today's flow, and today's flow lies in the steady range. "
        "helps: a lower lowest steady flow or a better day. mixed: one better, one worse. no clear "
        "effect: the same verdict, the lowest steady flow moves by less than 10 % and the swing by "
        "less than 20 %. A steady range narrower than 10 % counts as none. The lowest steady flow "
        "is found to 1 %, as `lowlift trims` and `lowlift decline` find it. The example takes a "
        "few seconds; with two strengths and the scenario's kick it is about 10 s on two cores.\n\n"
        "Ranges are our judgement of what can be done on site. The maker's manual comes first.",
    .exits = EXITS_STUDY,
    .answer = remedies_answer,
};
