// SPDX-License-Identifier: MIT
// Pictures of runs over time. plot_script.h draws any other picture, and says how.
#pragma once

#include <stdbool.h>
#include <stddef.h>

enum plot_format { PLOT_SVG, PLOT_PNG, PLOT_TEXT };

enum { PLOT_SERIES_MAX = 6 };

// One run, in the units that are shown. The arrays of `count` values belong to the caller.
struct plot_series {
    const char *title;
    size_t count;
    const double *time;     // ascending; equal times make a vertical edge [s]
    const double *pressure; // controlled pressure
    const double *travel;   // of the plug
    const double *chamber;  // chamber pressure; NULL: the build has none
    const double *flow;     // through the trim
    size_t contact_count;
    const double *contact; // times of seat contact, ascending [s]
};

struct plot_page {
    const char *title;
    const char *pressure_unit;
    const char *travel_unit;
    const char *flow_unit;
    double set_pressure; // in pressure_unit; NaN: no line
    double close_from;   // the part from here to the end is also shown enlarged [s]
    size_t count;        // 1 draws plots/run.gp, 2 to PLOT_SERIES_MAX plots/compare.gp
    const struct plot_series *series;
};

// Draw the page to a file, which appears whole or not at all; PLOT_TEXT may go to NULL, standard
// output. Returns false with a message of one line.
bool plot_draw(const struct plot_page *page, const char *path, enum plot_format format,
               char *message, size_t message_size);
