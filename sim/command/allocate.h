// SPDX-License-Identifier: MIT
// How the program ends when memory, or threads, are not to be had: one line on standard error,
// EXIT_CODE_MEMORY, and nothing half-written left behind. Of the program alone, no part of the
// library.
#pragma once

// From here to allocate_end no library ends the program with a code of its own.
void allocate_begin(void);
void allocate_end(void);
