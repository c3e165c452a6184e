// SPDX-License-Identifier: MIT
// What SIGINT (Ctrl-C), SIGTERM and SIGHUP (a closed terminal) do to the program. The first one
// asks what runs to stop and still write what it has. More of them within a second count as the
// same one: a terminal, a launcher or timeout(1) may send it to the program and once more to its
// whole group. A later one ends the program at once, but leaves no file aside and no gnuplot
// behind.
#pragma once

// Once, before any work. A SIGINT that the caller had ignored, as a shell does for what it starts
// in the background, stays ignored, and so does SIGHUP, by nohup. SIGPIPE and SIGXFSZ are ignored:
// a closed pipe and a file that may not grow are output errors.
void interruption_begin(void);

// Take away what is half-made anywhere in the program, in one that is about to end: files aside,
// gnuplot and its folder. Safe in a signal handler.
void interruption_clear_up(void);
