// SPDX-License-Identifier: MIT
// A picture as gnuplot writes SVG, made fit to be shown: gnuplot names each line and point by the
// code that drew it, which a browser shows as a tooltip, and the picture after itself.
#pragma once

#include <stddef.h>

// The same picture without those names, and with the heading as its title. Frees `svg` and returns
// memory to be freed, ended by NUL; NULL without memory.
char *plot_svg_titled(char *svg, size_t *length, const char *heading);
