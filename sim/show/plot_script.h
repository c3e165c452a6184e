// SPDX-License-Identifier: MIT
// Any picture: one script of plots/ run by gnuplot as a separate program, with numbers in data
// files and texts as arguments. No shell is involved and no text becomes code, whatever it
// contains. Knows nothing of how a picture looks.
//
// The script finds, as ARG1 to ARG8: the folder of the data files (1.dat, 2.dat ...), the output,
// the format (svg, png, text, gif), the heading, three lists: titles, axis labels, numbers; and
// where the picture is from. plots/style.gp, which it loads first, reads them.
#pragma once

#include "answer/picture.h"

enum plot_format { PLOT_SVG, PLOT_PNG, PLOT_TEXT, PLOT_GIF };

// The picture as svg, in memory to be freed; NULL with a message of one line.
char *plot_script_text(const struct picture *picture, size_t *length, char *message,
                       size_t message_size);

// Draw to a file, which appears whole or not at all; PLOT_TEXT may go to NULL, standard output.
// Returns false with a message of one line.
bool plot_script_draw(const struct picture *picture, const char *path, enum plot_format format,
                      char *message, size_t message_size);
