// SPDX-License-Identifier: MIT
#include "map/map_lines.h"

#include <math.h>
#include <stdlib.h>

// A number that is above zero where small motions grow and below where they die out. The damping
// ratio of the swing runs through zero evenly, while the growth of the slowest mode has a corner
// there: on the steady side that is often another mode, which creeps.
static double instability(const double *row) {
    bool swings = isfinite(row[MAP_DAMPING]) && (row[MAP_DAMPING] < 0.0) == (row[MAP_GROWTH] > 0.0);
    return swings ? -row[MAP_DAMPING] : row[MAP_GROWTH];
}

// One value of every point, in the unit shown. A point that does not move swings and hits by zero.
static void fill_values(const struct map *map, enum map_value value, double unit, double *out) {
    for (size_t i = 0; i < map_count(map); i++) {
        const double *row = &map->row[i * MAP_WIDTH];
        bool none = isnan(row[value]) && !isnan(row[MAP_VERDICT]);
        out[i] = none ? 0.0 : unit * row[value];
    }
}

static int by_size(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return x < y ? -1 : x > y;
}

// 1, 2 or 5 times a power of ten, at or below a value.
static double round_down(double value) {
    double decade = pow(10.0, floor(log10(value) + 1e-9)), share = value / decade + 1e-9;
    return decade * (share >= 5.0 ? 5.0 : share >= 2.0 ? 2.0 : 1.0);
}

// Round levels, largest first, that part the values of the points that keep moving: even steps
// where those lie close together, else each about a third of the one above. `value` is sorted.
static size_t choose_levels(const double *value, size_t count, double *level) {
    size_t chosen = 0;
    double low = count > 0 ? value[count / 10] : 0.0, top = count > 0 ? value[count - 1] : 0.0;
    if (low <= 0.0 || top <= 1.05 * low) {
        return 0;
    }
    bool even = top < 4.0 * low;
    double step = round_down((top - low) / MAP_LEVELS_MAX);
    double next = even ? step * floor(0.95 * top / step) : round_down(0.8 * top);
    while (chosen < MAP_LEVELS_MAX && next > low) {
        level[chosen++] = next;
        next = even ? next - step : round_down(0.45 * next);
    }
    return chosen;
}

// The values, above zero, of points that keep moving.
static size_t pick_moving(const struct map *map, const double *value, double *out) {
    size_t count = 0;
    for (size_t i = 0; i < map_count(map); i++) {
        double verdict = map->row[i * MAP_WIDTH + MAP_VERDICT];
        bool moves = verdict >= VERDICT_FORCED && verdict <= VERDICT_CHATTER;
        if (moves && value[i] > 0.0) {
            out[count++] = value[i];
        }
    }
    qsort(out, count, sizeof *out, by_size);
    return count;
}

// What finding the lines works with: all values, and some of them sorted.
struct work {
    const struct map *map;
    double *value, *sorted;
};

static bool find_levels(const struct work *w, enum map_value value, double unit,
                        struct contour *lines, double *level, size_t *count) {
    const struct map *map = w->map;
    fill_values(map, value, unit, w->value);
    *count = choose_levels(w->sorted, pick_moving(map, w->value, w->sorted), level);
    for (size_t k = 0; k < *count; k++) {
        if (!contour_find(w->value, map->across.count, map->up.count, level[k], &lines[k])) {
            return false;
        }
    }
    return true;
}

static bool find_all(const struct work *w, double swing_unit, struct map_lines *out) {
    const struct map *map = w->map;
    for (size_t i = 0; i < map_count(map); i++) {
        w->value[i] = instability(&map->row[i * MAP_WIDTH]);
    }
    if (!contour_find(w->value, map->across.count, map->up.count, 0.0, &out->boundary)) {
        return false;
    }
    return !map->simulated || (find_levels(w, MAP_SWING, swing_unit, out->swing, out->swing_level,
                                           &out->swing_count) &&
                               find_levels(w, MAP_SEAT_RATE, 1.0, out->contacts, out->contact_level,
                                           &out->contact_count));
}

bool map_lines_find(const struct map *map, double swing_unit, struct map_lines *out) {
    *out = (struct map_lines){.swing_count = 0};
    struct work w = {.map = map, .value = malloc(2 * map_count(map) * sizeof *w.value)};
    w.sorted = w.value + map_count(map);
    bool fine = w.value && find_all(&w, swing_unit, out);
    free(w.value);
    return fine;
}

void map_lines_free(struct map_lines *lines) {
    contour_free(&lines->boundary);
    for (size_t k = 0; k < MAP_LEVELS_MAX; k++) {
        contour_free(&lines->swing[k]);
        contour_free(&lines->contacts[k]);
    }
}
