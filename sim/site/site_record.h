// SPDX-License-Identifier: MIT
// What a gauge and a logger saw of a regulator: one signal over uneven times, with gaps, spikes and
// a coarse last digit, and what can be said of its motion. Knows no model, no unit and no file: it
// would judge any signal in the same way.
#pragma once

#include <stdbool.h>
#include <stddef.h>

// How the samples are. All of the cleaned signal.
struct record_sampling {
    size_t count;       // samples used
    size_t dropped;     // not numbers, or out of order
    size_t spikes;      // single samples far from their neighbours, replaced by their median
    size_t gaps;        // longer than GAP_OVER_MEDIAN times the median interval
    double interval;    // median interval [s]
    double unevenness;  // interquartile range of the intervals over their median [-]
    double longest_gap; // [s]; 0: none
    double quantum;     // smallest step between different values [unit of the signal]
    double span;        // of the stretch analysed, the longest without a gap [s]
    size_t first, end;  // that stretch: samples first to end - 1
    double persistence; // correlation of neighbouring samples about the drift [-]
};

// The motion of that stretch. NaN where it cannot be said.
struct record_motion {
    double mean;      // [unit of the signal]
    double drift;     // change of the slow part from begin to end [unit of the signal]
    double swing;     // typical high less low of a cycle: median over the cycles
    double swing_low; // its 10 % and 90 % points over the cycles
    double swing_high;
    size_t cycles;     // whole cycles
    double frequency;  // of the cycles [Hz]
    double regularity; // mean over 3 standard deviations of the times between crossings [-]
    double shape;      // 1: triangular, 0: sinusoidal; needs SHAPE_CYCLES cycles [-]
    double rise;       // slope of the long straight rises [unit/s]
    double rising;     // share of the time spent in them [-]
};

enum record_verdict {
    RECORD_QUIET,     // moves by no more than the gauge can tell, or less than what counts as rest
    RECORD_DRIFTING,  // moves slowly, and does not come back
    RECORD_REPEATING, // the same swing again and again
    RECORD_RESTLESS,  // keeps moving without repeating
    RECORD_DYING,     // swings that die out
    RECORD_UNCLEAR,   // the record does not tell
    RECORD_VERDICT_COUNT
};

// What makes a record a poor witness.
enum record_doubt {
    DOUBT_SLOW_SAMPLING = 1, // the true motion may be faster than what is seen
    DOUBT_COARSE_GAUGE = 2,  // the swing is a few last digits
    DOUBT_FEW_CYCLES = 4,
    DOUBT_GAPS = 8,
    DOUBT_UNEVEN = 16,
    DOUBT_FAST = 32, // no logger of a pressure samples so fast: the times are of another unit
};

struct record_judgement {
    struct record_sampling sampling;
    struct record_motion motion;
    enum record_verdict verdict;
    unsigned doubts;   // bits of enum record_doubt
    double confidence; // of the verdict: 0 none, 1 as sure as such a record can make [-]
    bool enough;       // there were samples to look at
};

const char *record_verdict_name(enum record_verdict verdict);
const char *record_verdict_meaning(enum record_verdict verdict);

// Clean in place (values of spikes are replaced; bad samples are taken out) and judge. `rest` is
// the swing that counts as rest [unit of the signal]. `work` has room for 3 * count numbers.
void record_judge(double *time, double *value, size_t count, double rest, double *work,
                  struct record_judgement *out);

// Its steps, for tests and for signals beside the first.
size_t record_clean(double *time, double *value, size_t count, double *work,
                    struct record_sampling *sampling);

// The even signal of the stretch, at the median interval, into even[]; its count. The slow part,
// a centred mean over `width` samples, goes into slow[].
size_t record_even(const double *time, const double *value, const struct record_sampling *sampling,
                   double *even, size_t most);
void record_slow(const double *even, size_t count, size_t width, double *slow);
