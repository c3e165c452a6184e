// SPDX-License-Identifier: MIT
// Gas space of a vessel from the size of its shell and the level of the liquid. Heads are left out:
// the length is that of the shell between its seams.
#pragma once

#include <stdbool.h>

struct vessel_size {
    double diameter; // inside [m], above 0
    double length;   // of the shell [m], above 0
    bool horizontal;
};

// Volume above the liquid [m3]. level: height of the liquid as a share of the vessel's height,
// which is the length when it stands and the diameter when it lies; 0 to 1. Horizontal: area of a
// circular segment (plane geometry).
double vessel_gas_space(const struct vessel_size *size, double level);
