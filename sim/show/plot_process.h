// SPDX-License-Identifier: MIT
// The gnuplot that runs and its temporary folder, one at a time, kept so that a signal handler can
// put both away. What stands in the folder is known by name: 1.dat, 2.dat ... and errors.
#pragma once

#include <spawn.h>
#include <stdbool.h>
#include <stddef.h>

enum { PLOT_PROCESS_FOLDER_MAX = 4096 };

// Make a folder for so many data files in TMPDIR, or /tmp. NULL with errno when that fails; the
// text stays as long as the folder.
const char *plot_process_folder(size_t files);
void plot_process_remove_folder(void);

// Seconds that gnuplot gets for a picture: LOWLIFT_PLOT_SECONDS of the environment when it is a
// number above 0, else 120. A picture takes a second at most; what takes that long hangs.
double plot_process_patience(void);

// Run a program with such arguments and file actions and wait for its end. Returns 0 or an errno
// value; ETIMEDOUT: it hung and was killed. SIGINT, SIGTERM and SIGHUP are kept from it: sent to
// the whole group they ask this program to stop, which then still finishes its pictures.
int plot_process_run(char *const *arguments, const posix_spawn_file_actions_t *actions,
                     int *status);

// End what runs and remove the folder, in a program that is about to end. Safe in a signal handler.
void plot_process_abandon(void);
