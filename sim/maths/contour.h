// SPDX-License-Identifier: MIT
// Lines of one value across a grid of numbers, for maps. Marching squares: straight pieces between
// crossings interpolated along the grid's edges, joined into lines. Draws nothing.
#pragma once

#include <stdbool.h>
#include <stddef.h>

// Points of all lines one after the other, in steps of the grid: (0, 0) is the first value, (1, 0)
// its neighbour in the row, (0, 1) that of the next row.
struct contour {
    size_t line_count;
    size_t *end;   // of each line: index behind its last point
    double *x, *y; // a closed line ends at its first point
};

// Lines along which the value passes `level`; a cell with a corner that is not a number has none.
// Returns false when memory runs out. Free with contour_free either way.
bool contour_find(const double *value, size_t columns, size_t rows, double level,
                  struct contour *out);
void contour_free(struct contour *contour);
