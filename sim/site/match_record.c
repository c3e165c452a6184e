// SPDX-License-Identifier: MIT
#include "site/match_record.h"

#include "maths/statistics.h"
#include "site/match_beside.h"
#include "site/match_wave.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

// What a mean pressure may be off the set pressure before it is another regulator's, share of the
// gauge set pressure; common practice, no source.
#define SAME_PRESSURE 0.2
// Tolerances that no record goes below: model and reality are not the same.
#define FREQUENCY_TOLERANCE 0.05 // [-]
#define SWING_TOLERANCE 0.1      // [-]
#define WAVE_TOLERANCE 0.1       // root of the mean square over the swing [-]
#define SIGMA_OF_MAD 1.4826      // of a normal variable

bool match_record_measure(const double *even, size_t count, double interval,
                          struct match_record *out) {
    double *at = malloc(MATCH_CUTS_MAX * sizeof *at);
    double *one = malloc(MATCH_CUTS_MAX * sizeof *one);
    const size_t cuts = at && one && count > 2 ? match_wave_cuts(even, count, at) : 0;
    const size_t cycles = cuts > 1 ? cuts - 1 : 0;
    for (int i = 0; i < MATCH_RECORD_FEATURES; i++) {
        out->feature[i] = (double)NAN;
    }
    out->cycles = cycles;
    if (cycles >= 2) {
        double *wave = &out->feature[FEATURE_WAVE];
        double mean = 0.0;
        out->feature[FEATURE_FREQUENCY] = (double)cycles / ((at[cycles] - at[0]) * interval);
        for (size_t c = 0; c < cycles; c++) {
            double low = HUGE_VAL;
            double high = -HUGE_VAL;
            for (size_t i = (size_t)ceil(at[c]); i < count && (double)i <= at[c + 1]; i++) {
                low = fmin(low, even[i]);
                high = fmax(high, even[i]);
            }
            one[c] = high - low;
        }
        out->feature[FEATURE_SWING] = match_wave_median(one, cycles);
        for (int k = 0; k < MATCH_PHASES; k++) {
            for (size_t c = 0; c < cycles; c++) {
                const double phase = ((double)k + 0.5) / MATCH_PHASES;
                one[c] = match_wave_at(even, count, at[c] + phase * (at[c + 1] - at[c]));
            }
            wave[k] = match_wave_median(one, cycles);
            out->low[k] = one[cycles / 10];
            out->high[k] = one[cycles - 1 - cycles / 10];
            mean += wave[k] / MATCH_PHASES;
        }
        for (int k = 0; k < MATCH_PHASES; k++) {
            wave[k] -= mean;
            out->low[k] -= mean;
            out->high[k] -= mean;
        }
    }
    free(at);
    free(one);
    return cycles >= 2;
}

// Standard deviation of what does not go on from sample to sample: second differences, robustly.
static double noise_of(const double *even, size_t count) {
    double *second = malloc((count + 1) * sizeof *second);
    if (!second || count < 8) {
        free(second);
        return 0.0;
    }
    for (size_t i = 2; i < count; i++) {
        second[i - 2] = fabs(even[i] - 2.0 * even[i - 1] + even[i - 2]);
    }
    const double found = SIGMA_OF_MAD * match_wave_median(second, count - 2) / sqrt(6.0);
    free(second);
    return found;
}

void match_record_measure_run(const struct match_record *record, const struct simulation *run,
                              const struct regulator_parameters *model, size_t seed,
                              double feature[MATCH_RECORD_FEATURES]) {
    const double *pressure = run->channel[CHANNEL_CONTROLLED_PRESSURE];
    const double from = run->judged.figures.window_start;
    const size_t first = isfinite(from) ? (size_t)fmax(from / run->step, 0.0) : 0;
    if (first + 8 > run->count) {
        return;
    }
    const double span = (double)(run->count - 1 - first) * run->step;
    const size_t count = (size_t)(span / record->interval) + 1;
    double *even = calloc(count, sizeof *even);
    struct match_record found = {0};
    if (!even) {
        return;
    }
    for (size_t i = 0; i < count; i++) {
        even[i] = match_wave_at(&pressure[first], run->count - first,
                                (double)i * record->interval / run->step);
    }
    const double own = noise_of(even, count);
    const double more = sqrt(fmax(record->noise * record->noise - own * own, 0.0));
    struct statistics_stream stream = statistics_stream_open(1, seed);
    for (size_t i = 0; i < count; i++) {
        const double unit = fmin(fmax(statistics_stream_unit(&stream), 1e-9), 1.0 - 1e-9);
        even[i] += more * statistics_normal_quantile(unit);
        if (record->quantum > 0.0) {
            even[i] = record->quantum * floor(even[i] / record->quantum + 0.5);
        }
    }
    if (match_record_measure(even, count, record->interval, &found)) {
        memcpy(feature, found.feature, sizeof found.feature);
        match_beside_run(record, run, model, &(struct match_beside_clock){even, count, first},
                         feature);
    }
    free(even);
}

double match_record_apart(const struct match_record *record, const double *feature) {
    double sum = 0.0;
    for (int k = 0; k < MATCH_PHASES; k++) {
        const double off = feature[FEATURE_WAVE + k] - record->feature[FEATURE_WAVE + k];
        sum += off * off / MATCH_PHASES;
    }
    return sqrt(sum) / record->feature[FEATURE_SWING];
}

double match_record_fit(const struct match_record *record, const double *feature,
                        double *distance) {
    const double f =
        log(feature[FEATURE_FREQUENCY] / record->feature[FEATURE_FREQUENCY]) / FREQUENCY_TOLERANCE;
    const double s = log(feature[FEATURE_SWING] / record->feature[FEATURE_SWING]) / SWING_TOLERANCE;
    const double w = match_record_apart(record, feature) / WAVE_TOLERANCE;
    double beside;
    const double fit = match_beside_fit(record, feature, &beside);
    *distance = isfinite(f) && isfinite(s) && isfinite(w)
                    ? fmax(fmax(fmax(fabs(f), fabs(s)), w), beside)
                    : HUGE_VAL;
    return isfinite(*distance) ? fit - 0.5 * (f * f + s * s + w * w) : -HUGE_VAL;
}

// --- Reading

// Whether it is a witness.
static bool may_serve(const struct match_record *r, const struct match_record_asked *asked,
                      char *why, size_t size) {
    const struct record_motion *m = &r->judged.motion;
    const double set = fmax(fabs(asked->set_pressure - asked->site.atmosphere), 1.0);
    if (!r->judged.enough) {
        snprintf(why, size, "fewer than 8 samples in a row");
    } else if (fabs(m->mean - asked->set_pressure) > SAME_PRESSURE * set) {
        snprintf(why, size,
                 "its mean pressure is %.0f %% of the set pressure above the atmosphere: another "
                 "regulator's, or gauge for absolute, or another unit",
                 100.0 * (m->mean - asked->site.atmosphere) / set);
    } else if (r->judged.verdict == RECORD_QUIET || r->judged.verdict == RECORD_DRIFTING ||
               r->judged.verdict == RECORD_DYING) {
        snprintf(why, size,
                 "it shows no motion that lasts (%s); say so in a row of `observed`, seen: quiet",
                 record_verdict_name(r->judged.verdict));
    } else if (r->judged.doubts & DOUBT_FAST) {
        snprintf(why, size,
                 "one sample every %.2g s is faster than any logger: say the unit of the times in "
                 "its header",
                 r->judged.sampling.interval);
    } else if (r->judged.doubts & DOUBT_SLOW_SAMPLING) {
        snprintf(
            why, size,
            "it is sampled too slowly, once in %.3g s: the true motion may be faster than what "
            "it shows; take one with at least 20 samples a second",
            r->judged.sampling.interval);
    } else if (r->judged.verdict == RECORD_UNCLEAR || m->cycles < 3) {
        snprintf(why, size, "it does not tell how it moves: fewer than three whole cycles");
    } else {
        return true;
    }
    return false;
}

static bool take(struct match_record *r, const struct logger *logger, double rest,
                 struct diagnostics *list) {
    const size_t count = logger->count;
    double *time = malloc((count + 1) * sizeof *time);
    double *value = malloc((count + 1) * sizeof *value);
    double *work = malloc(3 * (count + 1) * sizeof *work);
    bool fine = time && value && work;
    if (fine) {
        memcpy(time, logger->time, count * sizeof *time);
        memcpy(value, logger->value[LOGGER_PRESSURE], count * sizeof *value);
        record_judge(time, value, count, rest, work, &r->judged);
    }
    if (fine && r->judged.enough) {
        const size_t evens = record_even(time, value, &r->judged.sampling, work, count);
        r->interval = r->judged.sampling.interval;
        r->quantum = r->judged.sampling.quantum;
        r->noise = noise_of(work, evens);
        match_record_measure(work, evens, r->interval, r);
        fine = match_beside_take(r, logger, work, evens, time[r->judged.sampling.first], list);
    }
    free(time);
    free(value);
    free(work);
    return fine;
}

bool match_record_read(struct match_record *record, const struct match_record_asked *asked,
                       char *why, size_t size, struct diagnostics *list) {
    struct logger logger;
    const struct logger_asked options = {.column = {[LOGGER_PRESSURE] = asked->column,
                                                    [LOGGER_CHAMBER] = asked->chamber,
                                                    [LOGGER_TRAVEL] = asked->travel},
                                         .unit = asked->unit,
                                         .site = asked->site};
    memset(record, 0, sizeof *record);
    record->path = asked->path;
    snprintf(why, size, "%s", "");
    if (!logger_read(asked->path, &options, &logger, list)) {
        logger_free(&logger);
        return false;
    }
    const double rest = 0.01 * fabs(asked->set_pressure - asked->site.atmosphere);
    record->us = logger.us;
    record->set_gauge = asked->set_pressure - asked->site.atmosphere;
    if (!take(record, &logger, rest, list)) {
        snprintf(why, size, "%s", list->errors > 0 ? "" : "out of memory");
    } else {
        record->enough = may_serve(record, asked, why, size);
        if (record->enough && !(record->feature[FEATURE_FREQUENCY] > 0.0)) {
            snprintf(why, size, "fewer than two whole cycles in a row");
            record->enough = false;
        }
    }
    logger_free(&logger);
    return record->enough;
}
