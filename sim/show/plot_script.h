// SPDX-License-Identifier: MIT
// Any picture: one script of plots/ run by gnuplot as a separate program, with numbers in data
// files and texts as arguments. No shell is involved and no text becomes code, whatever it
// contains. Knows nothing of how a picture looks.
//
// The script finds, as ARG1 to ARG7: the folder of the data files (1.dat, 2.dat ...), the output,
// the format (svg, png, text), the heading, and three lists: titles, axis labels, numbers.
// plots/style.gp, which it loads first, reads them.
#pragma once

#include "answer/picture.h"
#include "show/plot_table.h"

enum plot_format { PLOT_SVG, PLOT_PNG, PLOT_TEXT };

struct plot_script {
    const char *name; // of the script without folder, such as "map.gp"
    const char *heading;
    size_t title_count, label_count, number_count;
    const char *const *title;
    const char *const *label;
    const double *number;
    size_t file_count;              // of data files
    const struct plot_table *table; // [file_count]
    // Writes data file `file` instead, unless NULL; false when writing failed.
    bool (*write)(const void *context, size_t file, FILE *stream);
    const void *context;
};

// Draw to a file, which appears whole or not at all; PLOT_TEXT may go to NULL, standard output.
// Returns false with a message of one line.
bool plot_script_draw(const struct plot_script *script, const char *path, enum plot_format format,
                      char *message, size_t message_size);

// The same for the picture of an answer.
bool plot_picture_draw(const struct picture *picture, const char *path, enum plot_format format,
                       char *message, size_t message_size);
