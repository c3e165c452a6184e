// SPDX-License-Identifier: MIT
// The data file of one run for gnuplot. Only plot.c and the scripts in plots/ know its layout.
#pragma once

#include "show/plot.h"

#include <stdio.h>

// Blocks, two blank lines apart, that gnuplot selects by `index`; columns time, pressure, travel,
// chamber pressure, flow:
//   0 the whole run, thinned to its extremes in each of some thousand stretches
//   1 the part from `close_from`, thinned likewise
//   2 the whole run, thinned to every n-th sample, for the phase portrait
//   3 the part from `close_from`, thinned to every n-th sample
//   4 times of seat contact, whole run;  5 from `close_from`
// Empty blocks hold one undefined row, so that the numbers of the others stay.
// Returns false when writing failed.
bool plot_data_write(FILE *stream, const struct plot_series *series, double close_from);
