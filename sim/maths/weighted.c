// SPDX-License-Identifier: MIT
#include "maths/weighted.h"

#include "maths/statistics.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

double weighted_quantile(const double *value, const double *weight, size_t count, double q) {
    double *known = malloc((2 * count + 1) * sizeof *known);
    size_t *order = malloc((count + 1) * sizeof *order);
    size_t n = 0;
    double sum = 0.0, result = (double)NAN;
    for (size_t i = 0; i < count && known && order; i++) {
        if (!isnan(value[i]) && weight[i] > 0.0) {
            known[n] = value[i];
            known[count + n++] = weight[i];
            sum += weight[i];
        }
    }
    if (n > 0 && statistics_order(known, n, order) == 0) {
        double below = 0.0;
        // Rounding of the sum must not ask for more than there is.
        const double wanted = q * sum * (1.0 - 1e-12);
        for (size_t i = 0; i < n; i++) {
            below += known[count + order[i]];
            result = known[order[i]];
            if (below >= wanted) {
                break;
            }
        }
    }
    free(known);
    free(order);
    return result;
}

void weighted_resample(const double *weight, size_t count, size_t wanted, size_t *times) {
    double sum = 0.0, below = 0.0;
    for (size_t i = 0; i < count; i++) {
        sum += weight[i];
        times[i] = 0;
    }
    size_t taken = 0;
    for (size_t i = 0; i < count; i++) {
        below += weight[i];
        while (taken < wanted && ((double)taken + 0.5) / (double)wanted * sum <= below &&
               weight[i] > 0.0) {
            times[i]++;
            taken++;
        }
    }
}

double weighted_effective(const double *value, const double *weight, size_t count) {
    double sum = 0.0, squares = 0.0;
    for (size_t i = 0; i < count; i++) {
        if (!isnan(value[i])) {
            sum += weight[i];
            squares += weight[i] * weight[i];
        }
    }
    return squares > 0.0 ? sum * sum / squares : 0.0;
}

double weighted_mean(const double *value, const double *weight, size_t count) {
    double sum = 0.0, total = 0.0;
    for (size_t i = 0; i < count; i++) {
        if (!isnan(value[i])) {
            sum += weight[i];
            total += weight[i] * value[i];
        }
    }
    return sum > 0.0 ? total / sum : (double)NAN;
}

size_t weighted_bins(const double *value, const double *weight, size_t count, size_t bins,
                     size_t *bin) {
    size_t *order = malloc((count + 1) * sizeof *order);
    if (!order || statistics_order(value, count, order)) {
        free(order);
        return 0;
    }
    double sum = 0.0, below = 0.0;
    for (size_t i = 0; i < count; i++) {
        sum += weight[i];
    }
    size_t used = 0, place = 0;
    for (size_t i = 0; i < count; i++) {
        const size_t at = order[i];
        const bool same = i > 0 && value[at] == value[order[i - 1]];
        const size_t middle = (size_t)((below + 0.5 * weight[at]) / sum * (double)bins);
        if (i == 0 || (!same && middle > place)) {
            place = middle;
            used++;
        }
        bin[at] = used - 1;
        below += weight[at];
    }
    free(order);
    return used;
}

double weighted_explained(const double *y, const double *weight, const size_t *bin, size_t count,
                          size_t bins, double effective) {
    enum { BINS_MAX = 32 };
    double sum[BINS_MAX] = {0}, total[BINS_MAX] = {0};
    const double mean = weighted_mean(y, weight, count);
    double whole = 0.0, between = 0.0;
    for (size_t i = 0; i < count; i++) {
        if (!isnan(y[i])) {
            sum[bin[i]] += weight[i];
            total[bin[i]] += weight[i] * (y[i] - mean);
            whole += weight[i] * (y[i] - mean) * (y[i] - mean);
        }
    }
    for (size_t b = 0; b < bins; b++) {
        between += sum[b] > 0.0 ? total[b] * total[b] / sum[b] : 0.0;
    }
    if (!(whole > 0.0) || effective <= (double)bins) {
        return (double)NAN;
    }
    return 1.0 - (1.0 - between / whole) * (effective - 1.0) / (effective - (double)bins);
}
