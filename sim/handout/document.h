// SPDX-License-Identifier: MIT
// What a report and a job card share: for whom and by whom they are, what was seen on site, on
// which values they rest, and what made them. As tables of an answer, or markup.
#pragma once

#include "answer/answer.h"
#include "study/study_job.h"

#include <stdio.h>

// Text of a field of the section `document`; "" when nothing was said.
const char *document_text(const struct scenario *scenario, const char *name);

// For whom, where, when, by whom: as stated, else a line to fill in by hand.
void document_head(FILE *out, const struct scenario *scenario);

// Table "observed": the rows of what was seen. False when there are none.
bool document_observed(struct answer *answer, const struct scenario *scenario);

// Tables "guessed", "given" and "read": fields of a trim with their values, as written.
void document_inputs(struct answer *answer, const struct scenario *scenario, size_t trim);

// What made it; `whole`: with the scenario itself as text. False with a message in the job.
bool document_made(FILE *out, struct study_job *job, const char *command_line, bool whole);
