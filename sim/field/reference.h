// SPDX-License-Identifier: MIT
// The printed reference of everything a scenario may say, written from the field table.
#pragma once

#include <stdio.h>

enum reference_format { REFERENCE_TEXT, REFERENCE_MARKDOWN };

// Writes all sections, or the one named, if section is not NULL. Returns 0, or -1 if there is no
// such section. The caller looks at the state of the stream.
int reference_print(FILE *out, enum reference_format format, const char *section);
