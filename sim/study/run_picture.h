// SPDX-License-Identifier: MIT
// The picture of runs over time: controlled pressure, travel, chamber pressure, flow, seat contacts
// and travel against pressure, thinned to what a picture can show.
#pragma once

#include "answer/picture.h"

#include <stdbool.h>
#include <stddef.h>

enum { RUN_PICTURE_MAX = 6 };

// One run, in the units that are shown. The arrays of `count` values belong to the caller.
struct run_curve {
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

struct run_page {
    const char *title;
    double set_pressure; // in the unit shown; NaN: no line
    double close_from;   // the part from here to the end is also shown enlarged [s]
    size_t count;        // 1 draws plots/run.gp, 2 to RUN_PICTURE_MAX plots/compare.gp
    const struct run_curve *curve;
};

// False when there is nothing to draw: a run has fewer than two samples.
bool run_picture_add(struct answer *answer, const struct run_page *page);
