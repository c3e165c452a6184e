// SPDX-License-Identifier: MIT
// What SIGINT (Ctrl-C) and SIGTERM do to the program. The first one asks what runs to stop and
// still write what it has. More of them within a second count as the same one: a terminal, a
// launcher or timeout(1) may send it to the program and once more to its whole group. A later one
// ends the program at once, but leaves no file aside and no gnuplot behind.
#pragma once

// Once, before any work. A SIGINT that the caller had ignored, as a shell does for what it starts
// in the background, stays ignored. SIGPIPE is ignored: a closed pipe is an output error.
void interruption_begin(void);
