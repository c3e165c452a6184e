// SPDX-License-Identifier: MIT
#include "judge/cycles.h"

#include <math.h>

static size_t contact_list_before(const struct contact_list *list, double time) {
    size_t low = 0;
    size_t high = list->count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (list->event[middle].time < time) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return low;
}

struct contact_list contact_list_between(const struct contact_list *list, double from, double to) {
    size_t first = contact_list_before(list, from);
    size_t end = contact_list_before(list, to);
    struct contact_list part = {0};
    if (end > first) {
        part.event = list->event + first;
        part.count = end - first;
    }
    return part;
}

double contact_list_speed(const struct contact_list *list) {
    double speed = 0.0;
    for (size_t i = 0; i < list->count; i++) {
        speed = fmax(speed, list->event[i].speed);
    }
    return speed;
}

double contact_list_mean_speed(const struct contact_list *list) {
    double sum = 0.0;
    for (size_t i = 0; i < list->count; i++) {
        sum += list->event[i].speed;
    }
    return list->count > 0 ? sum / (double)list->count : 0.0;
}

// How far the parabola through sample i and its neighbours rises above the sample; 0 when the
// sample is not a local high. `sign` -1 looks at lows.
static double vertex_height(const struct series *series, size_t i, double sign) {
    if (i == 0 || i + 1 >= series->count) {
        return 0.0;
    }
    double before = sign * (series->value[i] - series->value[i - 1]);
    double after = sign * (series->value[i] - series->value[i + 1]);
    if (!(before > 0.0 && after > 0.0)) {
        return 0.0;
    }
    return 0.125 * (after - before) * (after - before) / (before + after);
}

static void series_extremes(const struct series *series, double from, double to, double *high,
                            double *low) {
    struct series part = series_between(series, from, to);
    size_t highest = 0;
    size_t lowest = 0;
    for (size_t i = 1; i < part.count; i++) {
        highest = part.value[i] > part.value[highest] ? i : highest;
        lowest = part.value[i] < part.value[lowest] ? i : lowest;
    }
    *high = 0.0;
    *low = 0.0;
    if (part.count > 0) {
        // An extreme at the edge of the cycle has its other neighbour in the next one.
        size_t first = (size_t)(part.value - series->value);
        *high = part.value[highest] + vertex_height(series, first + highest, 1.0);
        *low = part.value[lowest] - vertex_height(series, first + lowest, -1.0);
    }
}

static struct cycle cycle_measure(const struct motion *motion, double start, double end) {
    struct cycle cycle = {.start = start, .period = end - start};
    series_extremes(&motion->pressure, start, end, &cycle.pressure_high, &cycle.pressure_low);
    series_extremes(&motion->travel, start, end, &cycle.travel_high, &cycle.travel_low);
    struct contact_list seat = contact_list_between(&motion->seat, start, end);
    struct contact_list stop = contact_list_between(&motion->stop, start, end);
    cycle.seat_contacts = seat.count;
    cycle.stop_contacts = stop.count;
    cycle.seat_speed = contact_list_speed(&seat);
    return cycle;
}

void cycles_find(const struct motion *motion, const struct series *by,
                 const struct verdict_limits *limits, struct cycles *cycles) {
    double rise[CYCLES_MAX + 1]; // ring of the last rises [s]
    size_t rises = 0;
    double high = series_high(by);
    double low = series_low(by);
    double middle = 0.5 * (high + low);
    double band = limits->cycle_band * (high - low);
    bool armed = false;
    double crossing = (double)NAN;
    for (size_t i = 1; i < by->count; i++) {
        double before = by->value[i - 1] - middle;
        double after = by->value[i] - middle;
        armed = armed || before < -band;
        if (before < 0.0 && after >= 0.0) {
            crossing = series_time(by, i) - by->step * after / (after - before);
        }
        if (armed && after > band) {
            rise[rises % (CYCLES_MAX + 1)] = crossing;
            rises++;
            armed = false;
        }
    }
    cycles->total = rises > 0 ? rises - 1 : 0;
    cycles->count = cycles->total < CYCLES_MAX ? cycles->total : CYCLES_MAX;
    for (size_t k = 0; k < cycles->count; k++) {
        size_t first = cycles->total - cycles->count + k;
        cycles->cycle[k] = cycle_measure(motion, rise[first % (CYCLES_MAX + 1)],
                                         rise[(first + 1) % (CYCLES_MAX + 1)]);
    }
}

static bool level_agrees(double a, double b, double swing, double share, double floor) {
    return fabs(a - b) <= fmax(share * swing, floor);
}

static bool cycle_agrees(const struct cycle *a, const struct cycle *b,
                         const struct cycles_tolerance *tolerance) {
    double share = tolerance->share;
    double swing = fmax(a->pressure_high - a->pressure_low, b->pressure_high - b->pressure_low);
    double way = fmax(a->travel_high - a->travel_low, b->travel_high - b->travel_low);
    if (!level_agrees(a->period, b->period, a->period, share, tolerance->time_floor) ||
        !level_agrees(a->pressure_high, b->pressure_high, swing, share,
                      tolerance->pressure_floor) ||
        !level_agrees(a->pressure_low, b->pressure_low, swing, share, tolerance->pressure_floor)) {
        return false;
    }
    if ((a->seat_contacts > 0) != (b->seat_contacts > 0)) {
        return false;
    }
    if (a->seat_contacts > 0) {
        if (!level_agrees(a->seat_speed, b->seat_speed, fmax(a->seat_speed, b->seat_speed),
                          tolerance->speed_share, 0.0)) {
            return false;
        }
    } else if (!level_agrees(a->travel_low, b->travel_low, way, share, tolerance->travel_floor)) {
        return false;
    }
    if ((a->stop_contacts > 0) != (b->stop_contacts > 0)) {
        return false;
    }
    return a->stop_contacts > 0 ||
           level_agrees(a->travel_high, b->travel_high, way, share, tolerance->travel_floor);
}

size_t cycles_pattern(const struct cycles *cycles, const struct verdict_limits *limits,
                      const struct cycles_tolerance *tolerance) {
    size_t repeats = (size_t)limits->cycle_repeats;
    for (size_t pattern = 1; pattern <= (size_t)limits->cycle_pattern; pattern++) {
        size_t needed = repeats * pattern;
        if (cycles->count < needed) {
            break;
        }
        size_t first = cycles->count - needed;
        bool agrees = true;
        for (size_t i = first; agrees && i + pattern < cycles->count; i++) {
            // Against the last cycle of the same place in the pattern, not the neighbour: a drift
            // of just under the tolerance from one cycle to the next must not pass.
            size_t place = cycles->count - pattern + (i - first) % pattern;
            agrees = cycle_agrees(&cycles->cycle[i], &cycles->cycle[place], tolerance);
        }
        if (agrees) {
            return pattern;
        }
    }
    return 0;
}

// ln of the mean swing of the group of `pattern` cycles that starts at `first`.
static double group_size(const struct cycles *cycles, size_t first, size_t pattern,
                         bool by_travel) {
    double sum = 0.0;
    for (size_t i = first; i < first + pattern; i++) {
        const struct cycle *cycle = &cycles->cycle[i];
        sum += by_travel ? cycle->travel_high - cycle->travel_low
                         : cycle->pressure_high - cycle->pressure_low;
    }
    return log(sum / (double)pattern);
}

// Slope of a least-squares line through size[first..last], a group apart each.
static double group_slope(const double *size, size_t first, size_t last) {
    double middle = 0.5 * (double)(first + last);
    double above = 0.0;
    double below = 0.0;
    for (size_t i = first; i <= last; i++) {
        above += ((double)i - middle) * size[i];
        below += ((double)i - middle) * ((double)i - middle);
    }
    return below > 0.0 ? above / below : 0.0;
}

bool cycles_still_changing(const struct cycles *cycles, size_t pattern,
                           const struct verdict_limits *limits, bool by_travel) {
    double size[CYCLES_MAX] = {0};
    size_t repeats = (size_t)limits->cycle_repeats;
    size_t groups = cycles->total / (size_t)limits->change_part / pattern;
    groups = groups > repeats ? groups : repeats;
    groups = groups < cycles->count / pattern ? groups : cycles->count / pattern;
    size_t first = cycles->count - groups * pattern;
    double mean = 0.0;
    for (size_t g = 0; g < groups; g++) {
        size[g] = group_size(cycles, first + g * pattern, pattern, by_travel);
        mean += size[g] / (double)groups;
    }
    size_t last = groups - 1;
    double slope = group_slope(size, 0, last);
    double square = 0.0;
    for (size_t g = 0; g < groups; g++) {
        double off = size[g] - mean - slope * ((double)g - 0.5 * (double)last);
        square += off * off;
    }
    double change = fabs(slope) * (double)last;
    double scatter = sqrt(square / (double)groups);
    if (change <= limits->change_least || change <= limits->change_over_scatter * scatter) {
        return false;
    }
    double early = group_slope(size, 0, last / 2);
    double late = group_slope(size, last / 2, last);
    return late / early >= limits->change_persists;
}
