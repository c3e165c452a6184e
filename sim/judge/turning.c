// SPDX-License-Identifier: MIT
#include "judge/turning.h"

#include <math.h>

// Turning point at sample i, moved to the vertex of the parabola through it and its neighbours.
static void turning_points_add(struct turning_points *points, const struct series *series,
                               size_t i) {
    double value = series->value[i];
    double shift = 0.0;
    if (i > 0 && i + 1 < series->count) {
        double before = series->value[i - 1] - value;
        double after = series->value[i + 1] - value;
        double curvature = before + after;
        if (before * after > 0.0) {
            shift = 0.5 * (before - after) / curvature;
            value -= 0.125 * (after - before) * (after - before) / curvature;
        }
    }
    points->time[points->count] = series_time(series, i) + shift * series->step;
    points->value[points->count] = value;
    points->count++;
}

static void turning_points_reverse(struct turning_points *points) {
    for (size_t i = 0; i < points->count / 2; i++) {
        size_t j = points->count - 1 - i;
        double time = points->time[i];
        double value = points->value[i];
        points->time[i] = points->time[j];
        points->value[i] = points->value[j];
        points->time[j] = time;
        points->value[j] = value;
    }
}

void turning_points_find(const struct series *series, double floor,
                         const struct verdict_limits *limits, struct turning_points *points) {
    points->count = 0;
    if (series->count < 3) {
        return;
    }
    const double *value = series->value;
    size_t last = series->count - 1;
    size_t high = last; // best candidates since the turning point that came before in the search
    size_t low = last;
    int direction = 0; // +1: a high is being looked for, -1: a low, 0: either
    double threshold = floor;
    double previous = 0.0;
    double highest = value[last], lowest = value[last];
    for (size_t k = series->count; k-- > 0 && points->count < TURNING_POINTS_MAX;) {
        const double now = value[k];
        if (now > highest) {
            highest = now;
            high = k;
        }
        if (now < lowest) {
            lowest = now;
            low = k;
        }
        bool high_done = direction >= 0 && highest - now > threshold;
        bool low_done = direction <= 0 && now - lowest > threshold;
        if (!high_done && !low_done) {
            continue;
        }
        size_t found = high_done ? high : low;
        direction = high_done ? -1 : 1;
        high = k;
        low = k;
        highest = lowest = now;
        // The end of the record is not a turning point, however far the signal had come.
        if (found == last) {
            continue;
        }
        if (points->count > 0) {
            threshold = fmax(floor, limits->trend_ripple * fabs(value[found] - previous));
        }
        previous = value[found];
        turning_points_add(points, series, found);
    }
    turning_points_reverse(points);
}

double turning_points_swing(const struct turning_points *points, size_t index) {
    return fabs(points->value[index] - 0.5 * (points->value[index - 1] + points->value[index + 1]));
}

struct line {
    double slope;
    double mean_time;
    double mean_value;
    double scatter;
};

// Least-squares line through ln(swing) of the turning points first..last.
static struct line line_fit(const struct turning_points *points, size_t first, size_t last) {
    double count = (double)(last - first + 1);
    struct line line = {0};
    for (size_t i = first; i <= last; i++) {
        line.mean_time += points->time[i] / count;
        line.mean_value += log(turning_points_swing(points, i)) / count;
    }
    double above = 0.0;
    double below = 0.0;
    for (size_t i = first; i <= last; i++) {
        double time = points->time[i] - line.mean_time;
        above += time * (log(turning_points_swing(points, i)) - line.mean_value);
        below += time * time;
    }
    line.slope = below > 0.0 ? above / below : 0.0;
    double square = 0.0;
    for (size_t i = first; i <= last; i++) {
        double off = log(turning_points_swing(points, i)) - line.mean_value -
                     line.slope * (points->time[i] - line.mean_time);
        square += off * off;
    }
    line.scatter = sqrt(square / count);
    return line;
}

// Relative standard deviation of the times between turning points: regular motion has little.
static double spacing_scatter(const struct turning_points *points, size_t first, size_t last) {
    double count = (double)(last - first);
    double mean = (points->time[last] - points->time[first]) / count;
    double square = 0.0;
    for (size_t i = first; i < last; i++) {
        double off = points->time[i + 1] - points->time[i] - mean;
        square += off * off;
    }
    return sqrt(square / count) / mean;
}

static double centre_at(const struct turning_points *points, size_t i) {
    return 0.25 * (points->value[i - 1] + 2.0 * points->value[i] + points->value[i + 1]);
}

struct trend trend_find(const struct turning_points *points, size_t swings_max) {
    struct trend trend = {0};
    if (points->count < 3 || swings_max == 0) {
        return trend;
    }
    size_t last = points->count - 2;
    size_t first = last >= swings_max ? last - swings_max + 1 : 1;
    size_t middle = (first + last) / 2;
    struct line line = line_fit(points, first, last);
    trend.swings = last - first + 1;
    trend.rate = line.slope;
    trend.early_rate = line_fit(points, first, middle).slope;
    trend.late_rate = line_fit(points, middle, last).slope;
    trend.scatter = line.scatter;
    trend.start = points->time[first - 1];
    trend.time = points->time[last + 1];
    trend.change = line.slope * (points->time[last] - points->time[first]);
    double interval = (trend.time - trend.start) / (double)(last - first + 2);
    trend.frequency = 0.5 / interval;
    trend.spacing = spacing_scatter(points, first - 1, last + 1);
    trend.damping_ratio = -line.slope / hypot(line.slope, acos(-1.0) / interval);
    trend.swing = exp(line.mean_value + line.slope * (trend.time - line.mean_time));
    trend.centre_change = centre_at(points, last) - centre_at(points, first);
    return trend;
}
