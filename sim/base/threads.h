// SPDX-License-Identifier: MIT
// How many threads can be had. OpenMP ends the program when it gets fewer than it was promised, as
// under a limit on memory or on processes; no answer depends on their number.
#pragma once

enum { THREADS_MAX = 1024 };

// At most `wanted`, and all cores for 0; 1 without OpenMP. Starts that many and ends them again.
int threads_to_be_had(int wanted);
