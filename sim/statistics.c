// SPDX-License-Identifier: MIT
#include "statistics.h"

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
    if (count == 0) {
        return (struct statistics_interval){0.0, 1.0};
    }
    double n = (double)count, p = (double)hits / n;
    double z = statistics_normal_quantile(0.5 * (1.0 + confidence));
    double middle = p + z * z / (2.0 * n);
    double reach = z * sqrt((p * (1.0 - p) + z * z / (4.0 * n)) / n);
    double scale = 1.0 + z * z / n;
    // Exact at the ends, where rounding would leave a trace below 0 or above 1.
    return (struct statistics_interval){hits == 0 ? 0.0 : (middle - reach) / scale,
                                        hits == count ? 1.0 : (middle + reach) / scale};
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

static struct ranked *sorted(const double *value, size_t count) {
    struct ranked *order = malloc((count ? count : 1) * sizeof *order);
    if (order) {
        for (size_t i = 0; i < count; i++) {
            order[i] = (struct ranked){value[i], i};
        }
        qsort(order, count, sizeof *order, compare);
    }
    return order;
}

int statistics_ranks(const double *value, size_t count, double *rank) {
    struct ranked *order = sorted(value, count);
    if (!order) {
        return -1;
    }
    for (size_t first = 0; first < count;) {
        size_t end = first + 1;
        while (end < count && order[end].value == order[first].value) {
            end++;
        }
        for (size_t i = first; i < end; i++) {
            rank[order[i].place] = 0.5 * (double)(first + 1 + end);
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

// Regularised incomplete beta function by its continued fraction, evaluated from the front with the
// method of Lentz (DLMF 8.17.22 and 3.10(iii)); converges fast for x < (a + 1)/(a + b + 2).
static double beta_share(double a, double b, double x) {
    if (x <= 0.0 || x >= 1.0) {
        return x <= 0.0 ? 0.0 : 1.0;
    }
    if (x >= (a + 1.0) / (a + b + 2.0)) {
        return 1.0 - beta_share(b, a, 1.0 - x);
    }
    const double least = 1e-300;
    double f = 1.0, c = 1.0, d = 0.0;
    for (int i = 0; i < 500; i++) {
        double m = 0.5 * (i - i % 2), term = 1.0;
        if (i > 0) {
            term = i % 2 ? -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0))
                         : m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m));
        }
        d = 1.0 + term * d;
        d = 1.0 / (fabs(d) < least ? least : d);
        c = i == 0 ? 1.0 : 1.0 + term / c;
        c = fabs(c) < least ? least : c;
        if (i > 0) {
            f *= c * d;
            if (fabs(c * d - 1.0) < 1e-15) {
                break;
            }
        }
    }
    double front = a * log(x) + b * log1p(-x) + lgamma(a + b) - lgamma(a) - lgamma(b);
    return exp(front) / (a * f);
}

double statistics_spearman_chance(double correlation, size_t count) {
    if (!(fabs(correlation) <= 1.0) || count < 3) {
        return (double)NAN;
    }
    // P(|T| > t) = I_x(nu/2, 1/2) with x = nu/(nu + t^2), which is 1 - correlation^2.
    double freedom = (double)count - 2.0;
    return beta_share(0.5 * freedom, 0.5, (1.0 - correlation) * (1.0 + correlation));
}

double statistics_first_order(const double *x, const double *y, size_t count, size_t bins) {
    if (bins < 2 || count < 2 * bins || !varies(y, count)) {
        return (double)NAN;
    }
    struct ranked *order = sorted(x, count);
    if (!order) {
        return (double)NAN;
    }
    double n = (double)count, mean = 0.0, between = 0.0, within = 0.0, total = 0.0;
    for (size_t i = 0; i < count; i++) {
        mean += y[i] / n;
    }
    for (size_t bin = 0; bin < bins; bin++) {
        size_t first = bin * count / bins, end = (bin + 1) * count / bins;
        double own = 0.0;
        for (size_t i = first; i < end; i++) {
            own += y[order[i].place] / (double)(end - first);
        }
        between += (double)(end - first) * (own - mean) * (own - mean);
        for (size_t i = first; i < end; i++) {
            double off = y[order[i].place] - own;
            within += off * off;
        }
    }
    free(order);
    total = between + within;
    // Of unrelated columns the means would still scatter, by what a mean of so few scatters.
    double chance = (double)(bins - 1) * within / (n - (double)bins);
    return (between - chance) / total;
}
