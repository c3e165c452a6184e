// SPDX-License-Identifier: MIT
// What is said of a command, made from its table: the page of `lowlift NAME --help`, the manual
// page of the program, and its completion for bash.
#pragma once

#include "shell/command.h"

#include <stdio.h>

void help_page_print(FILE *out, const struct command *command);

// For `man`, in the man macros of troff.
void help_page_manual(FILE *out);

// A script for bash's completion.
void help_page_completion(FILE *out);
