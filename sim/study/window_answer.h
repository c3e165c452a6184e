// SPDX-License-Identifier: MIT
// The window of flows of a trim in an answer: the columns that every table of windows has, and the
// notes that go with them.
#pragma once

#include "answer/column.h"
#include "steady/trim_window.h"

// The columns, and the cells that go into them.
#define WINDOW_COLUMNS                                                                             \
    COLUMN_LARGEST_FLOW, COLUMN_LARGEST_PRESSURE, COLUMN_LOWEST_KICKED, COLUMN_BELOW_KICKED,       \
        COLUMN_LOWEST_ALONE, COLUMN_BELOW_ALONE, COLUMN_STEADY_UP_TO,                              \
        {.key = "steady_again_below_about",                                                        \
         .name = "steady again below about",                                                       \
         .kind = UNIT_FLOW,                                                                        \
         .hidden = ANSWER_TERMINAL},                                                               \
    {                                                                                              \
        .key = "lowest_flow_looked_at", .name = "lowest flow looked at", .kind = UNIT_FLOW,        \
        .hidden = ANSWER_TERMINAL                                                                  \
    }
void window_answer_put(struct answer *answer, struct answer_table *table,
                       const struct trim_window *window);

// The flow at which a trim's set screw was turned [kg/s].
#define WINDOW_SCREW_COLUMN                                                                        \
    {                                                                                              \
        .key = "set_screw_turned_at", .name = "set screw turned at", .kind = UNIT_FLOW,            \
        .hidden = ANSWER_TERMINAL                                                                  \
    }

// The kick that a steady trim must stand, and at which flow the set screw was turned, `anew` for
// each set pressure. `normal` is the flow of most days [kg/s], NaN if not known.
void window_answer_head(struct answer *answer, const struct scenario_case *scenario, double kick,
                        bool anew, double normal);

// Notes about one trim: where its screw was turned instead, and where it is steady again.
void window_answer_notes(struct answer *answer, const struct scenario_case *scenario,
                         const char *name, double adjusted, const struct trim_window *window);

// What "shut" means as a reason, if any window has it.
void window_answer_shut(struct answer *answer, const struct scenario_case *scenario);
bool window_answer_is_shut(const struct trim_window *window);
