// SPDX-License-Identifier: MIT
#include "site/match_beside.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

// Tolerances that no record goes below, as of the pressure: model and reality are not the same.
#define SWING_TOLERANCE 0.1 // [-]
#define WAVE_TOLERANCE 0.1  // root of the mean square over the swing [-]
#define MEAN_TOLERANCE 0.1  // over the swing [-]
// Where a level stands is not told better than this: gauges and indicators are set to a few
// hundredths of their span. Common practice, no source.
#define CHAMBER_LEVEL 0.02 // of the set pressure above the atmosphere [-]
#define TRAVEL_LEVEL 0.02  // of the largest travel [-]
// A channel that moves by less than this share of its level says nothing.
#define STILL 0.002

static const enum logger_channel logged[BESIDES] = {
    [BESIDE_CHAMBER] = LOGGER_CHAMBER, [BESIDE_TRAVEL] = LOGGER_TRAVEL};

// Value at a time of a channel whose samples may be missing.
static double at_time(const struct logger *logger, const double *value, size_t *from, double time) {
    size_t i = *from;
    size_t next;
    while (i + 1 < logger->count && logger->time[i + 1] <= time) {
        i++;
    }
    *from = i;
    while (i > 0 && !isfinite(value[i])) {
        i--;
    }
    for (next = i + 1; next < logger->count && !isfinite(value[next]); next++) {
    }
    const double span = next < logger->count ? logger->time[next] - logger->time[i] : 0.0;
    return span > 0.0 ? value[i] + (value[next] - value[i]) * (time - logger->time[i]) / span
                      : value[i];
}

// Mean, wave and its swing over the cycles of the pressure; NaN with fewer than two.
static void measure(const double *pressure, const double *other, size_t count, double *feature) {
    double *wave = &feature[BESIDE_WAVE];
    double low = HUGE_VAL;
    double high = -HUGE_VAL;
    double mean = 0.0;
    if (!match_wave_of(pressure, other, count, wave)) {
        return;
    }
    for (int k = 0; k < MATCH_PHASES; k++) {
        low = fmin(low, wave[k]);
        high = fmax(high, wave[k]);
        mean += wave[k] / MATCH_PHASES;
    }
    for (int k = 0; k < MATCH_PHASES; k++) {
        wave[k] -= mean;
    }
    feature[BESIDE_SWING] = high - low;
    feature[BESIDE_MEAN] = mean;
}

bool match_beside_take(struct match_record *record, const struct logger *logger,
                       const double *pressure, size_t count, double begin,
                       struct diagnostics *list) {
    double *even = calloc(count + 1, sizeof *even);
    record->travel_share = logger->travel == LOGGER_TRAVEL_SHARE;
    if (logger->value[LOGGER_TRAVEL] && logger->travel == LOGGER_TRAVEL_OTHER) {
        diagnostics_error(list, (struct place){record->path, 1, 0},
                          "travel: found no unit of it in the header; allowed a length, or %% of "
                          "the full travel");
        free(even);
        return false;
    }
    for (int b = 0; b < BESIDES && even; b++) {
        const double *value = logger->value[logged[b]];
        double *feature = &record->feature[FEATURE_BESIDE + b * BESIDE_FEATURES];
        double most = 0.0;
        size_t from = 0;
        for (size_t i = 0; i < count && value; i++) {
            even[i] = at_time(logger, value, &from, begin + (double)i * record->interval);
            most = fmax(most, fabs(even[i]));
        }
        if (value) {
            measure(pressure, even, count, feature);
        }
        record->beside[b] = value && feature[BESIDE_SWING] > STILL * most; // false of a NaN
        record->level[b] =
            b == BESIDE_TRAVEL ? TRAVEL_LEVEL * most : CHAMBER_LEVEL * fabs(record->set_gauge);
    }
    free(even);
    return true;
}

void match_beside_run(const struct match_record *record, const struct simulation *run,
                      const struct regulator_parameters *model,
                      const struct match_beside_clock *clock, double *feature) {
    static const enum channel channels[BESIDES] = {
        [BESIDE_CHAMBER] = CHANNEL_CHAMBER_PRESSURE, [BESIDE_TRAVEL] = CHANNEL_TRAVEL};
    double *even = calloc(clock->count + 1, sizeof *even);
    for (int b = 0; b < BESIDES && even; b++) {
        const bool share = b == BESIDE_TRAVEL && record->travel_share;
        const double unit = share ? model->trim.rated_travel : 1.0;
        if (!record->beside[b]) {
            continue;
        }
        for (size_t i = 0; i < clock->count; i++) {
            even[i] =
                match_wave_at(&run->channel[channels[b]][clock->first], run->count - clock->first,
                              (double)i * record->interval / run->step) /
                unit;
        }
        measure(clock->pressure, even, clock->count,
                &feature[FEATURE_BESIDE + b * BESIDE_FEATURES]);
    }
    free(even);
}

double match_beside_fit(const struct match_record *record, const double *feature,
                        double *distance) {
    double fit = 0.0;
    *distance = 0.0;
    for (int b = 0; b < BESIDES; b++) {
        const double *own = &record->feature[FEATURE_BESIDE + b * BESIDE_FEATURES];
        const double *run = &feature[FEATURE_BESIDE + b * BESIDE_FEATURES];
        double sum = 0.0;
        if (!record->beside[b]) {
            continue;
        }
        for (int k = BESIDE_WAVE; k < BESIDE_FEATURES; k++) {
            sum += (run[k] - own[k]) * (run[k] - own[k]) / MATCH_PHASES;
        }
        const double w = sqrt(sum) / own[BESIDE_SWING] / WAVE_TOLERANCE;
        const double s = log(run[BESIDE_SWING] / own[BESIDE_SWING]) / SWING_TOLERANCE;
        const double m = (run[BESIDE_MEAN] - own[BESIDE_MEAN]) /
                         fmax(MEAN_TOLERANCE * own[BESIDE_SWING], record->level[b]);
        const double worst = fmax(w, fmax(fabs(s), fabs(m)));
        const bool finite = isfinite(w) && isfinite(s) && isfinite(m);
        *distance = finite ? fmax(*distance, worst) : HUGE_VAL;
        fit -= finite ? 0.5 * (w * w + s * s + m * m) : HUGE_VAL;
    }
    return fit;
}

size_t match_beside_count(const struct match_record *record) {
    return (size_t)record->beside[BESIDE_CHAMBER] + (size_t)record->beside[BESIDE_TRAVEL];
}
