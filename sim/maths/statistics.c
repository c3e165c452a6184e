// SPDX-License-Identifier: MIT
#include "maths/statistics.h"

#include "maths/student.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

static uint64_t stream_mix(uint64_t bits) {
    bits = (bits ^ (bits >> 30)) * 0xbf58476d1ce4e5b9U;
    bits = (bits ^ (bits >> 27)) * 0x94d049bb133111ebU;
    return bits ^ (bits >> 31);
}

struct statistics_stream statistics_stream_open(uint64_t seed, uint64_t branch) {
    // Mixed apart, so that neighbouring seeds and branches do not share a stretch of the counter.
    return (struct statistics_stream){stream_mix(seed) ^ stream_mix(~branch)};
}

uint64_t statistics_stream_next(struct statistics_stream *stream) {
    stream->counter += 0x9e3779b97f4a7c15U;
    return stream_mix(stream->counter);
}

double statistics_stream_unit(struct statistics_stream *stream) {
    return (double)(statistics_stream_next(stream) >> 11) * 0x1p-53;
}

double statistics_normal_quantile(double probability) {
    // By symmetry in the lower half, where erfc does not cancel: Newton from a point to the left
    // of the root of a function that is convex there, so that every step falls short of it.
    double tail = fmin(probability, 1.0 - probability);
    double x = -sqrt(-2.0 * log(tail));
    for (int i = 0; i < 60; i++) {
        double below = 0.5 * erfc(-x / sqrt(2.0));
        double density = exp(-0.5 * x * x) / sqrt(2.0 * acos(-1.0));
        double step = (tail - below) / density;
        x += step;
        if (fabs(step) < 1e-15 * fabs(x)) {
            break;
        }
    }
    return probability < 0.5 ? x : -x;
}

struct statistics_interval statistics_wilson(size_t hits, size_t count, double confidence) {
    return statistics_wilson_share(count > 0 ? (double)hits / (double)count : 0.0, (double)count,
                                   confidence);
}

struct statistics_interval statistics_wilson_share(double p, double n, double confidence) {
    if (!(n > 0.0)) {
        return (struct statistics_interval){0.0, 1.0};
    }
    double z = statistics_normal_quantile(0.5 * (1.0 + confidence));
    double middle = p + z * z / (2.0 * n);
    double reach = z * sqrt((p * (1.0 - p) + z * z / (4.0 * n)) / n);
    double scale = 1.0 + z * z / n;
    // Exact at the ends, where rounding would leave a trace below 0 or above 1.
    return (struct statistics_interval){p == 0.0 ? 0.0 : (middle - reach) / scale,
                                        p == 1.0 ? 1.0 : (middle + reach) / scale};
}

struct ranked {
    double value;
    size_t place;
};

static int compare(const void *left, const void *right) {
    const struct ranked *a = left, *b = right;
    if (a->value != b->value) {
        return a->value < b->value ? -1 : 1;
    }
    return a->place < b->place ? -1 : a->place > b->place;
}

int statistics_order(const double *value, size_t count, size_t *order) {
    struct ranked *item = malloc((count ? count : 1) * sizeof *item);
    if (!item) {
        return -1;
    }
    for (size_t i = 0; i < count; i++) {
        item[i] = (struct ranked){value[i], i};
    }
    qsort(item, count, sizeof *item, compare);
    for (size_t i = 0; i < count; i++) {
        order[i] = item[i].place;
    }
    free(item);
    return 0;
}

int statistics_ranks(const double *value, size_t count, double *rank) {
    size_t *order = malloc((count ? count : 1) * sizeof *order);
    if (!order || statistics_order(value, count, order) != 0) {
        free(order);
        return -1;
    }
    for (size_t first = 0; first < count;) {
        size_t end = first + 1;
        while (end < count && value[order[end]] == value[order[first]]) {
            end++;
        }
        for (size_t i = first; i < end; i++) {
            rank[order[i]] = 0.5 * (double)(first + 1 + end);
        }
        first = end;
    }
    free(order);
    return 0;
}

static double pearson(const double *x, const double *y, size_t count) {
    double mean_x = 0.0, mean_y = 0.0, xx = 0.0, yy = 0.0, xy = 0.0;
    for (size_t i = 0; i < count; i++) {
        mean_x += x[i] / (double)count;
        mean_y += y[i] / (double)count;
    }
    for (size_t i = 0; i < count; i++) {
        xx += (x[i] - mean_x) * (x[i] - mean_x);
        yy += (y[i] - mean_y) * (y[i] - mean_y);
        xy += (x[i] - mean_x) * (y[i] - mean_y);
    }
    return xx > 0.0 && yy > 0.0 ? fmax(-1.0, fmin(1.0, xy / sqrt(xx * yy))) : (double)NAN;
}

static bool varies(const double *value, size_t count) {
    for (size_t i = 1; i < count; i++) {
        if (value[i] != value[0]) {
            return true;
        }
    }
    return false;
}

double statistics_spearman(const double *x, const double *y, size_t count) {
    if (count < 3 || !varies(x, count) || !varies(y, count)) {
        return (double)NAN;
    }
    double *rank = malloc(2 * count * sizeof *rank);
    double correlation = (double)NAN;
    if (rank && statistics_ranks(x, count, rank) == 0 &&
        statistics_ranks(y, count, rank + count) == 0) {
        correlation = pearson(rank, rank + count, count);
    }
    free(rank);
    return correlation;
}

double statistics_spearman_chance(double correlation, size_t count) {
    if (!(fabs(correlation) <= 1.0) || count < 3) {
        return (double)NAN;
    }
    long freedom = (long)count - 2;
    double square = correlation * correlation;
    // Of a perfect correlation t is infinite, and the share within it one.
    return fmax(0.0,
                1.0 - student_within(sqrt((double)freedom * square / (1.0 - square)), freedom));
}

// Kelley's epsilon squared of the bins: of unrelated columns the means of the bins would still
// scatter, by what a mean of so few scatters, and that is taken off.
double statistics_first_order(const double *x, const double *y, size_t count, size_t bins) {
    if (bins < 2 || count < 2 * bins || !varies(y, count)) {
        return (double)NAN;
    }
    size_t *order = calloc(count, sizeof *order);
    if (!order || statistics_order(x, count, order) != 0) {
        free(order);
        return (double)NAN;
    }
    double n = (double)count, mean = 0.0, between = 0.0, within = 0.0;
    for (size_t i = 0; i < count; i++) {
        mean += y[i] / n;
    }
    for (size_t bin = 0; bin < bins; bin++) {
        size_t first = bin * count / bins, end = (bin + 1) * count / bins;
        double own = 0.0;
        for (size_t i = first; i < end; i++) {
            own += y[order[i]] / (double)(end - first);
        }
        between += (double)(end - first) * (own - mean) * (own - mean);
        for (size_t i = first; i < end; i++) {
            double off = y[order[i]] - own;
            within += off * off;
        }
    }
    free(order);
    double chance = (double)(bins - 1) * within / (n - (double)bins);
    return (between - chance) / (between + within);
}
