// SPDX-License-Identifier: MIT
// The lines drawn over a map: where small motions neither grow nor die out, and where swing and
// seat-contact rate have round values.
#pragma once

#include "map/map.h"
#include "maths/contour.h"

enum { MAP_LEVELS_MAX = 3 };

struct map_lines {
    struct contour boundary;
    // Simulated maps only. Levels in the unit shown, largest first.
    size_t swing_count, contact_count;
    double swing_level[MAP_LEVELS_MAX], contact_level[MAP_LEVELS_MAX];
    struct contour swing[MAP_LEVELS_MAX], contacts[MAP_LEVELS_MAX];
};

// Find them; `swing_unit` is what 1 Pa of swing comes to in the unit shown. False when memory runs
// out. Free with map_lines_free either way.
bool map_lines_find(const struct map *map, double swing_unit, struct map_lines *out);
void map_lines_free(struct map_lines *lines);
