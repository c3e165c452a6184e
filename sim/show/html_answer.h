// SPDX-License-Identifier: MIT
// An answer, or parts of one, as markup for a page: its lines, its tables, its picture. Whatever an
// answer holds is written in the same way; what the terminal leaves out is left out here. All texts
// are escaped.
#pragma once

#include "answer/answer.h"

#include <stdio.h>

// Everything in the order of the terminal, with headings of that level (2 to 5); without
// the picture, and without a heading that only repeats the scenario's title.
void html_answer_items(FILE *out, const struct answer *answer, int level);

// One table by its key, whatever the terminal leaves out. False when it has no row.
bool html_answer_table(FILE *out, const struct answer *answer, const char *key);

// Lines of one kind, as a list if there are several. False when there is none.
bool html_answer_lines(FILE *out, const struct answer *answer, enum answer_kind kind);

// What it comes to, in as few words as --quiet, else its findings, as many as fit; "": none.
void html_answer_brief(const struct answer *answer, char *text, size_t size);

// The picture as an image with a text in its place; nothing when there is none. False with a
// message of one line.
bool html_answer_picture(FILE *out, const struct answer *answer, char *message,
                         size_t message_size);
