// SPDX-License-Identifier: MIT
// The processes that share one study, on one machine or many: MPI when built with it and started by
// its launcher, else one process alone, for which all of this does nothing. No other file knows
// MPI.
//
// All ranks run the same command on the same input and take the same way through it; study_run
// parts the work among them and gives each the whole result. What a rank prints or writes is thrown
// away unless it is the first.
#pragma once

#include <stdbool.h>
#include <stddef.h>

// At the start of main, and at its end with the exit code. Only the first rank writes, so it alone
// can fail with `output_failed`, the program's exit code for that: it then ends the others too,
// which would wait for it.
void ranks_begin(int *argc, char ***argv, int output_failed);
void ranks_end(int code);

size_t ranks_count(void);
size_t ranks_own(void); // from 0
bool ranks_first(void); // the one that prints and writes

// Give the first rank's bytes to all. Every rank must call it, with the same size; so with all
// below.
void ranks_share(void *bytes, size_t size);

// Join the bytes of all ranks, for each rank to have: a byte that is not zero in one rank only, or
// the same in several, comes out as it is.
void ranks_join(void *bytes, size_t size);

// The largest of all ranks' numbers.
int ranks_largest(int number);
