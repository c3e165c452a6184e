// SPDX-License-Identifier: MIT
// Where the values of a scenario come from: what was given or guessed in full; defaults, of which
// there are many, are only counted unless asked for.
#pragma once

#include "answer/answer.h"
#include "scenario/scenario.h"

// Lines that --quiet leaves out, for one trim.
void inputs_say(struct answer *answer, const struct scenario *scenario, size_t trim,
                bool everything);

// The same as a table of the summary, and its rows for one trim.
struct answer_table *inputs_table(struct answer *answer);
void inputs_rows(struct answer_table *table, const struct scenario *scenario, size_t trim,
                 const char *label);
