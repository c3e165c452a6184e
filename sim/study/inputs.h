// SPDX-License-Identifier: MIT
// Where the values of a scenario come from: what was given or guessed in full; defaults, of which
// there are many, are only counted unless asked for.
#pragma once

#include "answer/answer.h"
#include "study/study_job.h"

// Lines that --quiet leaves out, for one trim.
void inputs_say(struct answer *answer, const struct scenario *scenario, size_t trim,
                bool everything);

// The same as a table of the summary, and its rows for one trim.
struct answer_table *inputs_table(struct answer *answer);
void inputs_rows(struct answer_table *table, const struct scenario *scenario, size_t trim,
                 const char *label);

// Warn of two trims that are the same but for their names, as they are when an option has set what
// told them apart.
void inputs_alike(struct answer *answer, const struct scenario *scenario, size_t a, size_t b);
void inputs_alike_all(struct answer *answer, const struct study_job *job); // neighbours asked for
