// SPDX-License-Identifier: MIT
// `lowlift map`: how a regulator behaves over two fields, such as flow and port diameter.
#include "command/all.h"
#include "map/map.h"

static const struct command_option options[MAP_ASKED_COUNT] = {
    [MAP_ASKED_ACROSS] = {"across", "FIELD=FROM..TO",
                          "the field to the right, such as 'inflow.rate=0.05..1 MMscf/d'",
                          OPTION_TEXT, 0, 0, NULL},
    [MAP_ASKED_UP] = {"up", "FIELD=FROM..TO", "the field upward, such as 'trim.port=1..3 in'",
                      OPTION_TEXT, 0, 0, NULL},
    [MAP_ASKED_LOG] = {"log", "AXIS",
                       "spread across, up, both or none evenly in the logarithm; default: the flow "
                       "when no --across names another",
                       OPTION_CHOICE, 0, 0, "across, up, both, none"},
    [MAP_ASKED_POINTS] =
        {"points", "NxM",
         "points across and up, each 2 to 2000; default: 36x30, or 100x100 with --linear",
         OPTION_TEXT, 0, 0, NULL},
    [MAP_ASKED_LINEAR] = {"linear", NULL,
                          "eigenvalues only: how fast small motions die out or grow. In a second "
                          "or two, with lines ten, without friction and contact",
                          OPTION_FLAG, 0, 0, NULL},
    [MAP_ASKED_FINE] = {"fine", NULL,
                        "decide each point as lowlift run does; otherwise on three cycles that "
                        "agree within 3 %, at three times the tolerance, in half the time",
                        OPTION_FLAG, 0, 0, NULL},
    [MAP_ASKED_CHECKPOINT] = {"checkpoint", "FILE",
                              "keep finished points in this file; the same command goes on from it "
                              "after it was stopped or killed",
                              OPTION_TEXT, 0, 0, NULL},
};

const struct command command_map = {
    .name = "map",
    .summary = "verdicts over flow and port diameter, or any two fields",
    .arguments = "SCENARIO.yaml",
    .question = "Where is it steady, and where not, when two values vary?",
    .about =
        "Simulates a trim at every point of a grid, by default flow against port diameter, and "
        "colours it by the verdict, with lines of equal pressure swing and seat-contact rate, and "
        "the line on which small motions neither grow nor die out. The scenario's trims and its "
        "flow are marked. Only the two fields change: everything else, Cv and travel too, stays "
        "as in the first trim (or the first --trim). A set pressure meant at flow is adjusted "
        "once, at the scenario's flow, and the screw is then left alone; schedules hold their "
        "first value.\n\n"
        "Writes a table as CSV, a summary as JSON and a picture. Their names say what sets the map "
        "apart from the usual one, so that different maps lie side by side in one folder.",
    .examples = "Example: up to which port are small motions steady, at more and at less flow?\n"
                "  lowlift map --linear --plot png scenarios/oversized.yaml\n"
                "The same with friction, contact and the scenario's kick, in half a minute:\n"
                "  lowlift map scenarios/oversized.yaml\n"
                "Is it the packing?\n"
                "  lowlift map --across 'friction.kinetic=0..40 lbf' scenarios/oversized.yaml\n",
    COMMAND_OPTIONS(options),
    .groups = OPTIONS_STUDY,
    .more = "All fields: lowlift fields. The verdicts and their numbers: lowlift verdicts.",
    .exits = EXITS_STUDY,
    .answer = map_answer,
};
