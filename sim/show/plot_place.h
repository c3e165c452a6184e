// SPDX-License-Identifier: MIT
// Where the files of plots/ are: in the folder of the environment's LOWLIFT_PLOTS_DIR, else as
// installed, else in the source tree.
#pragma once

#include <stdbool.h>
#include <stddef.h>

// Path of a file of that name. False with a message of one line.
bool plot_place_find(const char *name, char *path, size_t size, char *message, size_t message_size);
