// SPDX-License-Identifier: MIT
// Files of a run: trace, summary and picture, each whole or not at all.
#pragma once

#include "command/run_set.h"

// Write what the request asks for, in a folder made if missing; names the files on standard output.
// Returns EXIT_CODE_DONE or EXIT_CODE_OUTPUT after a message.
int run_output_write(const struct run_set *set, const char *stem);

// Name of a file without folder and ending.
void run_output_stem(const char *path, char *stem, size_t size);
