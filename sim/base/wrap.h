// SPDX-License-Identifier: MIT
// Words on lines of a terminal, none longer than WRAP_WIDTH unless a single word is.
#pragma once

#include <stdio.h>

enum { WRAP_WIDTH = 98 };

// Print a text after a label, both after `indent` blanks; further lines stand under the text, or a
// little in from a long label.
void wrap_print(FILE *out, int indent, const char *label, const char *text);
