// SPDX-License-Identifier: MIT
#include "judge/series.h"

#include <math.h>

double series_time(const struct series *series, size_t index) {
    return series->start + series->step * (double)index;
}

static struct series series_cut(const struct series *series, size_t first, size_t end) {
    struct series cut = *series;
    if (first > end) {
        first = end;
    }
    if (series->count > 0) {
        cut.value = series->value + first;
    }
    cut.count = end - first;
    cut.start = series_time(series, first);
    return cut;
}

// Number of samples strictly before the given time. A sample that rounding has put a hair before
// the time still counts as at it.
static size_t series_count_before(const struct series *series, double time) {
    double index = ceil((time - series->start) / series->step - 1e-6);
    if (!(index > 0.0)) {
        return 0;
    }
    return index < (double)series->count ? (size_t)index : series->count;
}

struct series series_after(const struct series *series, double time) {
    return series_cut(series, series_count_before(series, time), series->count);
}

struct series series_between(const struct series *series, double from, double to) {
    size_t end = series_count_before(series, to);
    if (end < series->count && series_time(series, end) <= to + 1e-6 * series->step) {
        end++;
    }
    return series_cut(series, series_count_before(series, from), end);
}

double series_span(const struct series *series) {
    return series->count > 1 ? series->step * (double)(series->count - 1) : 0.0;
}

struct series series_last(const struct series *series, double seconds) {
    if (seconds >= series_span(series)) {
        return *series;
    }
    return series_after(series, series->start + series_span(series) - seconds);
}

double series_high(const struct series *series) {
    double high = series->count > 0 ? series->value[0] : 0.0;
    for (size_t i = 1; i < series->count; i++) {
        high = series->value[i] > high ? series->value[i] : high;
    }
    return high;
}

double series_low(const struct series *series) {
    double low = series->count > 0 ? series->value[0] : 0.0;
    for (size_t i = 1; i < series->count; i++) {
        low = series->value[i] < low ? series->value[i] : low;
    }
    return low;
}

double series_swing(const struct series *series) {
    return series_high(series) - series_low(series);
}

double series_mean(const struct series *series) {
    if (series->count == 0) {
        return 0.0;
    }
    // Sum the distance from the first sample, or a small swing on a large level loses its digits.
    double sum = 0.0;
    for (size_t i = 0; i < series->count; i++) {
        sum += series->value[i] - series->value[0];
    }
    return series->value[0] + sum / (double)series->count;
}

double series_deviation(const struct series *series) {
    if (series->count == 0) {
        return 0.0;
    }
    double mean = series_mean(series);
    double sum = 0.0;
    for (size_t i = 0; i < series->count; i++) {
        double off = series->value[i] - mean;
        sum += off * off;
    }
    return sqrt(sum / (double)series->count);
}

double series_path(const struct series *series) {
    double path = 0.0;
    for (size_t i = 1; i < series->count; i++) {
        path += fabs(series->value[i] - series->value[i - 1]);
    }
    return path;
}

double series_slope(const struct series *series) {
    if (series->count < 3) {
        return 0.0;
    }
    // The weight (1 - u^2)^2 is even about the middle u = 0, so the mean time is u = 0 exactly and
    // the constant of the fit drops out.
    double half = 0.5 * (double)(series->count - 1);
    double level = series->value[series->count / 2];
    double above = 0.0;
    double below = 0.0;
    for (size_t i = 0; i < series->count; i++) {
        double u = ((double)i - half) / half;
        double weight = (1.0 - u * u) * (1.0 - u * u);
        above += weight * u * (series->value[i] - level);
        below += weight * u * u;
    }
    return above / (below * half * series->step);
}

size_t series_first_bad(const struct series *series) {
    size_t i = 0;
    while (i < series->count && isfinite(series->value[i])) {
        i++;
    }
    return i;
}
