// SPDX-License-Identifier: MIT
// Columns that several tables share, so that the same quantity has one key, one name and one unit
// wherever it is written. Initialisers of struct answer_column.
#pragma once

#include "answer/answer.h"

#define COLUMN_WORD(KEY, NAME)                                                                     \
    { .key = (KEY), .name = (NAME), .form = ANSWER_WORD }
#define COLUMN_COUNT(KEY, NAME)                                                                    \
    { .key = (KEY), .name = (NAME), .form = ANSWER_COUNT }
#define COLUMN_FLAG(KEY, NAME)                                                                     \
    { .key = (KEY), .name = (NAME), .form = ANSWER_FLAG }
#define COLUMN_OF(KEY, NAME, KIND)                                                                 \
    { .key = (KEY), .name = (NAME), .kind = (KIND) }
#define COLUMN_IN(KEY, NAME, UNIT)                                                                 \
    { .key = (KEY), .name = (NAME), .unit = (UNIT) }

#define COLUMN_DIGITS(KEY, NAME, KIND, DIGITS)                                                     \
    { .key = (KEY), .name = (NAME), .kind = (KIND), .digits = (DIGITS) }

#define COLUMN_TRIM COLUMN_WORD("trim", "trim")
#define COLUMN_VERDICT COLUMN_WORD("verdict", "verdict")
#define COLUMN_AT_REST                                                                             \
    COLUMN_WORD("at_rest", "at rest") // what small motions do: steady, unsteady..
#define COLUMN_FLOW COLUMN_OF("flow", "flow", UNIT_FLOW)
#define COLUMN_PRESSURE COLUMN_OF("controlled_pressure", "controlled pressure", UNIT_PRESSURE_LEVEL)
#define COLUMN_TRAVEL COLUMN_IN("travel", "travel", "%") // of the rated travel
#define COLUMN_PRESSURE_SWING COLUMN_OF("pressure_swing", "pressure swing", UNIT_PRESSURE_DROP)
#define COLUMN_HIGHEST_PRESSURE                                                                    \
    COLUMN_OF("highest_pressure", "highest pressure", UNIT_PRESSURE_LEVEL)
#define COLUMN_TRAVEL_SWING COLUMN_IN("travel_swing", "travel swing", "%")
#define COLUMN_FREQUENCY COLUMN_IN("frequency", "frequency", "Hz")
#define COLUMN_SEAT_RATE COLUMN_IN("seat_rate", "seat contacts", "1/min")
#define COLUMN_GROWTH COLUMN_IN("growth", "growth", "1/s")
// Of the mode that grows fastest or dies out slowest.
#define COLUMN_MODE_FREQUENCY COLUMN_IN("mode_frequency", "its frequency", "Hz")
#define COLUMN_LOWEST_DAMPING COLUMN_IN("lowest_damping_ratio", "lowest damping ratio", NULL)
#define COLUMN_DAMPING_RATIO COLUMN_IN("damping_ratio", "damping ratio", NULL)
#define COLUMN_KICK COLUMN_OF("kick", "kick that must die out", UNIT_PRESSURE_DROP)
// The steady range of a trim: one wording everywhere.
#define COLUMN_LARGEST_FLOW COLUMN_OF("largest_flow", "largest flow passed", UNIT_FLOW)
#define COLUMN_LARGEST_PRESSURE                                                                    \
    COLUMN_OF("settled_pressure_at_largest_flow", "settled pressure there", UNIT_PRESSURE_LEVEL)
#define COLUMN_LOWEST_KICKED                                                                       \
    COLUMN_OF("lowest_steady_flow_kicked", "lowest steady flow, kicked", UNIT_FLOW)
#define COLUMN_LOWEST_ALONE                                                                        \
    COLUMN_OF("lowest_steady_flow_left_alone", "lowest steady flow, left alone", UNIT_FLOW)
#define COLUMN_BELOW_KICKED COLUMN_WORD("below_lowest_kicked", "below it a kick leads to")
#define COLUMN_BELOW_ALONE COLUMN_WORD("below_lowest_left_alone", "below that a kick leads to")
#define COLUMN_STEADY_UP_TO COLUMN_OF("steady_up_to", "steady up to", UNIT_FLOW)
#define COLUMN_STEADY_RANGE COLUMN_WORD("steady_range", "steady range")
