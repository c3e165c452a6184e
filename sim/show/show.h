// SPDX-License-Identifier: MIT
// An answer as a person reads it, and as files. Knows no study: whatever an answer holds is
// written in the same way.
#pragma once

#include "answer/answer.h"
#include "show/destination.h"

#include <stdio.h>

// Text on standard output, then whatever the destination asks for. False after a message: output
// failed.
bool show_answer(const struct answer *answer, const struct destination *to);

// The parts of it. False after a message.
void show_text(FILE *out, const struct answer *answer, bool quiet);
bool show_tables(const struct answer *answer, const struct destination *to);
bool show_summary(const struct answer *answer, const struct destination *to);
bool show_picture(const struct answer *answer, const struct destination *to);

// The reminder that this is a model and that the work itself can hurt.
void show_cautions(FILE *out);
