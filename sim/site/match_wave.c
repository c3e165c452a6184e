// SPDX-License-Identifier: MIT
#include "site/match_wave.h"

#include <math.h>
#include <stdlib.h>

#define CROSSING_BAND 0.2 // as record_judge has it: noise makes no crossings

static int ascending(const void *a, const void *b) {
    const double x = *(const double *)a;
    const double y = *(const double *)b;
    return (x > y) - (x < y);
}

double match_wave_median(double *value, size_t count) {
    qsort(value, count, sizeof *value, ascending);
    return value[count / 2];
}

// Upward crossings of the mean, in samples.
size_t match_wave_cuts(const double *even, size_t count, double *at) {
    double low = HUGE_VAL;
    double high = -HUGE_VAL;
    double mean = 0.0;
    for (size_t i = 0; i < count; i++) {
        low = fmin(low, even[i]);
        high = fmax(high, even[i]);
        mean += even[i] / (double)count;
    }
    const double band = CROSSING_BAND * (high - low) * 0.5;
    size_t cuts = 0;
    int side = 0;
    double crossing = (double)NAN;
    for (size_t i = 1; i < count && cuts < MATCH_CUTS_MAX; i++) {
        if (even[i - 1] < mean && even[i] >= mean) {
            crossing = (double)i - (even[i] - mean) / (even[i] - even[i - 1]);
        }
        const int now = even[i] > mean + band ? 1 : even[i] < mean - band ? -1 : 0;
        if (now > 0 && side < 0) {
            at[cuts++] = crossing;
        }
        side = now != 0 ? now : side;
    }
    return cuts;
}

double match_wave_at(const double *even, size_t count, double at) {
    const size_t i = (size_t)at;
    const double share = at - (double)i;
    return i + 1 < count ? even[i] * (1.0 - share) + even[i + 1] * share : even[count - 1];
}

bool match_wave_of(const double *clock, const double *value, size_t count,
                   double wave[MATCH_PHASES]) {
    double *at = malloc(MATCH_CUTS_MAX * sizeof *at);
    double *one = malloc(MATCH_CUTS_MAX * sizeof *one);
    const size_t cuts = at && one && count > 2 ? match_wave_cuts(clock, count, at) : 0;
    const size_t cycles = cuts > 1 ? cuts - 1 : 0;
    for (int k = 0; k < MATCH_PHASES && cycles >= 2; k++) {
        const double phase = ((double)k + 0.5) / MATCH_PHASES;
        for (size_t c = 0; c < cycles; c++) {
            one[c] = match_wave_at(value, count, at[c] + phase * (at[c + 1] - at[c]));
        }
        wave[k] = match_wave_median(one, cycles);
    }
    free(at);
    free(one);
    return cycles >= 2;
}
