// SPDX-License-Identifier: MIT
// `lowlift decline`: until when each trim stays in its window as the flow declines.
#include "command/all.h"
#include "command/among_option.h"
#include "trims/decline_study.h"

static const struct command_option options[DECLINE_ASKED_COUNT] = {
    [DECLINE_UNTIL] = {"until", "DATE",
                       "look up to this date, YYYY-MM-DD, at most 100 years ahead; default: 30",
                       OPTION_TEXT, 0, 0, NULL},
    [DECLINE_KICK] = {"kick", "SIZE",
                      "kick of the pressure that must die out, such as '3 psi'; default: "
                      "start.kick_pressure, or 2 % of the set pressure",
                      OPTION_TEXT, 0, 0, NULL},
    [DECLINE_DRAWS] = AMONG_OPTION_DRAWS,
    [DECLINE_MOST] = AMONG_OPTION_MOST("40"),
    [DECLINE_CHECKPOINT] = AMONG_OPTION_CHECKPOINT,
};

const struct command command_decline = {
    .name = "decline",
    .summary = "on which date each trim leaves its window as the flow declines",
    .arguments = "SCENARIO.yaml",
    .question = "On which date does each trim leave its window as the flow declines?",
    .about =
        "The flow of a well falls; each trim serves a window of flows, from the lowest at which "
        "it is steady up to the largest it passes. Prints on which date the flow leaves the "
        "window of each trim, writes tables and a summary, and draws rate against date with the "
        "windows as bands and the crossings marked.\n\n"
        "The decline is what the scenario's `decline` section states (exponential, hyperbolic or "
        "harmonic), or is fitted to a record of dates and rates named there; dates then come "
        "with their 95 % interval. A trim counts as steady when a kick of the pressure dies out.",
    .examples =
        "Example:\n"
        "  lowlift decline --trim full --trim half --trim reduced --plot png "
        "scenarios/envelope.yaml\n"
        "Example: a scenario without a decline, stated here\n"
        "  lowlift decline --set decline.kind=exponential --set decline.start=2026-01-01 \\\n"
        "      --set 'decline.rate_start=0.15 MMscf/d' --set 'decline.annual=20 %' \\\n"
        "      --set decline.basis=effective scenarios/oversized.yaml\n",
    COMMAND_OPTIONS(options),
    .groups = OPTIONS_STUDY,
    .more = "Fields of the section: lowlift fields decline",
    .exits = EXITS_STUDY,
    .answer = decline_study_answer,
};
