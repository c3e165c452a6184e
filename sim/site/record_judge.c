// SPDX-License-Identifier: MIT
// The motion of a cleaned signal: cycles, their regularity and shape, straight rises, the verdict.
#include "site/site_record.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

// A crossing of the slow part counts when the signal goes this share of its typical range beyond it
// on both sides: noise and last digits make no cycles.
static const double CROSSING_BAND = 0.2;
// Fewer samples a cycle than this may hide a faster motion; below two they always do (the sampling
// theorem). Eight is what it takes to see a shape; common practice, no source.
static const double SAMPLES_A_CYCLE = 8.0;
// Neighbouring samples of a motion that is followed go together.
static const double PERSISTENCE_LEAST = 0.5;
// A swing of fewer last digits than this has no shape.
static const double QUANTA_A_SWING = 5.0;
static const size_t CYCLES_LEAST = 5;
// No logger of a vessel's pressure samples faster [s].
static const double INTERVAL_LEAST = 1e-4;
// Moving by less than this share of its range from end to end, a record without a whole cycle may
// be a part of one.
static const double DRIFTS_ABOVE = 0.7;
// A record never makes certain: other days may differ.
static const double SUREST = 0.95;
static const size_t SHAPE_CYCLES = 10; // Q. P. He et al., Ind. Eng. Chem. Res. 46, 2007 (secondary)
// Times between crossings that scatter by less than a third of their mean are regular
// (N. F. Thornhill's regularity; a score, not a gate).
static const double REGULAR = 1.0;
// A swing whose later half is this share of its earlier half dies out.
static const double DYING = 0.5;
// A straight rise lasts at least this share of the mean cycle, and its slope is within this share
// of the typical one.
static const double RISE_LENGTH = 0.25;
static const double RISE_SLOPE = 0.5;
// It ends where it leaves its line by this share of its height.
static const double RISE_BEND = 0.01;

enum { CYCLES_MAX = 4096 };

struct cut {
    size_t count;              // crossings, alternately up and down
    double at[2 * CYCLES_MAX]; // in samples, between samples by a straight line
    double swing[CYCLES_MAX];  // of whole cycles
    size_t cycles;
};

static int ascending(const void *a, const void *b) {
    const double x = *(const double *)a;
    const double y = *(const double *)b;
    return (x > y) - (x < y);
}

// A quantile of values that are put in order.
static double quantile(double *value, size_t count, double share) {
    if (count == 0) {
        return (double)NAN;
    }
    qsort(value, count, sizeof *value, ascending);
    return value[(size_t)(share * (double)(count - 1) + 0.5)];
}

// The range without its outer twentieths.
static double typical_range(const double *fast, size_t count, double *work) {
    memcpy(work, fast, count * sizeof *work);
    const double high = quantile(work, count, 0.95);
    return high - work[(size_t)(0.05 * (double)(count - 1) + 0.5)];
}

static void cut_cycles(const double *fast, size_t count, double band, struct cut *cut) {
    double crossing = (double)NAN;
    int side = 0; // of the band on which the signal was last
    for (size_t i = 1; i < count && cut->count < 2 * CYCLES_MAX; i++) {
        if ((fast[i - 1] < 0.0) != (fast[i] < 0.0)) {
            crossing = (double)i - fast[i] / (fast[i] - fast[i - 1]);
        }
        const int now = fast[i] > band ? 1 : fast[i] < -band ? -1 : 0;
        if (now != 0 && side != 0 && now != side) {
            cut->at[cut->count++] = crossing;
        }
        side = now != 0 ? now : side;
    }
}

static void measure_cycles(const double *even, struct cut *cut) {
    for (size_t k = 0; k + 2 < cut->count && cut->cycles < CYCLES_MAX; k += 2) {
        const size_t from = (size_t)ceil(cut->at[k]);
        const size_t to = (size_t)floor(cut->at[k + 2]);
        double high = -HUGE_VAL;
        double low = HUGE_VAL;
        for (size_t i = from; i <= to; i++) {
            high = fmax(high, even[i]);
            low = fmin(low, even[i]);
        }
        cut->swing[cut->cycles++] = high - low;
    }
}

// Mean over three standard deviations of the times between crossings, whole cycles of both kinds.
static double regularity_of(const struct cut *cut) {
    double sum = 0.0;
    double squares = 0.0;
    size_t n = 0;
    for (size_t k = 0; k + 2 < cut->count; k++) {
        const double period = cut->at[k + 2] - cut->at[k];
        sum += period;
        squares += period * period;
        n++;
    }
    if (n < 2) {
        return (double)NAN;
    }
    const double mean = sum / (double)n;
    const double variance = fmax(squares / (double)n - mean * mean, 0.0);
    return mean / (3.0 * sqrt(variance + 1e-12 * mean * mean));
}

// Squared error of the best half wave a f(u) through samples first .. end - 1 of one half cycle.
static double error_of(const double *fast, size_t first, size_t end, double from, double to,
                       double peak) {
    double ff = 0.0;
    double fy = 0.0;
    double yy = 0.0;
    for (size_t i = first; i < end; i++) {
        const double u = ((double)i - from) / (to - from);
        const double f = peak < 0.0 ? sin(3.14159265358979323846 * u)
                         : u < peak ? u / peak
                                    : (1.0 - u) / (1.0 - peak);
        ff += f * f;
        fy += f * fast[i];
        yy += fast[i] * fast[i];
    }
    return ff > 0.0 ? fmax(yy - fy * fy / ff, 0.0) : yy;
}

// 1 when triangles fit all half cycles, 0 when sines do: error of the sine over the sum of both
// (after He et al. 2007, from a secondary source). The peak of a triangle is free.
static double shape_of(const double *fast, const struct cut *cut) {
    double sine = 0.0;
    double triangle = 0.0;
    for (size_t k = 0; k + 1 < cut->count; k++) {
        const size_t first = (size_t)ceil(cut->at[k]);
        const size_t end = (size_t)floor(cut->at[k + 1]) + 1;
        double best = HUGE_VAL;
        for (int p = 1; p < 20; p++) {
            best = fmin(best, error_of(fast, first, end, cut->at[k], cut->at[k + 1], p / 20.0));
        }
        triangle += best;
        sine += error_of(fast, first, end, cut->at[k], cut->at[k + 1], -1.0);
    }
    return sine + triangle > 0.0 ? sine / (sine + triangle) : (double)NAN;
}

// Long straight rises: what a vessel does while the regulator is shut. Each upward run from a low
// to a high is held against a line through the middle of its first part, which it leaves as the
// plug opens; the share of the time and the median slope of those that are long.
static void find_rises(const double *even, size_t count, double step, double least, double *work,
                       struct record_motion *m) {
    size_t rises = 0;
    size_t samples = 0;
    const size_t reach = least > 2.0 ? (size_t)least : 2;
    for (size_t i = 0; i + reach < count;) {
        // A run in which no sample falls below the one before it by more than the run's mean step.
        size_t end = i + 1;
        while (end < count && even[end] >= even[end - 1]) {
            end++;
        }
        const size_t length = end - 1 - i;
        if (length >= reach) {
            const size_t from = i + length / 10;
            const size_t to = i + (6 * length + 9) / 10;
            const double slope = (even[to] - even[from]) / (double)(to - from);
            const double height = even[end - 1] - even[i];
            size_t straight = to;
            double worst = 0.0;
            for (size_t k = i; k < end; k++) {
                const double off = fabs(even[k] - even[from] - slope * ((double)k - (double)from));
                worst = fmax(worst, off);
                straight = k == straight + 1 && off < RISE_BEND * height ? k : straight;
            }
            if (worst < 0.1 * height) {
                work[rises++] = slope / step;
                samples += straight - i;
            }
        }
        i = end;
    }
    m->rise = rises >= 3 ? quantile(work, rises, 0.5) : (double)NAN;
    const bool alike =
        rises >= 3 && work[rises - 1 - rises / 10] - work[rises / 10] < RISE_SLOPE * m->rise;
    m->rise = alike ? m->rise : (double)NAN;
    m->rising = alike ? (double)samples / (double)count : (double)NAN;
}

static double persistence_of(const double *fast, size_t count) {
    double product = 0.0;
    double squares = 0.0;
    for (size_t i = 1; i < count; i++) {
        product += fast[i] * fast[i - 1];
        squares += fast[i] * fast[i];
    }
    return squares > 0.0 ? product / squares : (double)NAN;
}

static bool dies_out(const struct cut *cut) {
    const size_t half = cut->cycles / 2;
    double early = 0.0;
    double late = 0.0;
    for (size_t k = 0; k < half; k++) {
        early += cut->swing[k];
        late += cut->swing[cut->cycles - 1 - k];
    }
    return half >= 2 && late < DYING * early;
}

// The record at even times, what is slow and what is fast of it, and room to work in.
struct lanes {
    double *even, *slow, *fast, *work;
    size_t count;
};

static void measure(const struct lanes *lanes, struct record_judgement *out, struct cut *cut) {
    struct record_motion *m = &out->motion;
    const double *even = lanes->even, *slow = lanes->slow;
    double *fast = lanes->fast, *work = lanes->work;
    const size_t count = lanes->count;
    for (size_t i = 0; i < count; i++) {
        fast[i] = even[i] - slow[i];
    }
    const double range = typical_range(fast, count, work);
    out->sampling.persistence = persistence_of(fast, count);
    cut_cycles(fast, count, CROSSING_BAND * fmax(range, out->sampling.quantum), cut);
    measure_cycles(even, cut);
    m->cycles = cut->cycles;
    m->regularity = regularity_of(cut);
    m->shape = cut->cycles >= SHAPE_CYCLES ? shape_of(fast, cut) : (double)NAN;
    if (cut->cycles > 0) {
        const double whole = cut->at[2 * cut->cycles] - cut->at[0];
        m->frequency = (double)cut->cycles / (whole * out->sampling.interval);
        memcpy(work, cut->swing, cut->cycles * sizeof *work);
        m->swing = quantile(work, cut->cycles, 0.5);
        m->swing_low = quantile(work, cut->cycles, 0.1);
        m->swing_high = quantile(work, cut->cycles, 0.9);
        find_rises(even, count, out->sampling.interval, RISE_LENGTH * whole / (double)cut->cycles,
                   work, m);
    } else {
        m->swing = range;
    }
}

// Least squares.
static void straight_line(const double *even, size_t count, double *slow) {
    const double middle = 0.5 * (double)(count - 1);
    double mean = 0.0;
    double tilt = 0.0;
    double squares = 0.0;
    for (size_t i = 0; i < count; i++) {
        mean += even[i] / (double)count;
        tilt += ((double)i - middle) * even[i];
        squares += ((double)i - middle) * ((double)i - middle);
    }
    for (size_t i = 0; i < count; i++) {
        slow[i] = mean + tilt / squares * ((double)i - middle);
    }
}

static void decide(struct record_judgement *out, double rest, double range, bool dying) {
    const struct record_sampling *s = &out->sampling;
    const struct record_motion *m = &out->motion;
    const double samples = m->frequency > 0.0 ? 1.0 / (m->frequency * s->interval) : 0.0;
    const bool quiet = !(m->swing > fmax(rest, 2.0 * s->quantum));
    if (!quiet && m->cycles > 0 &&
        (samples < SAMPLES_A_CYCLE || s->persistence < PERSISTENCE_LEAST)) {
        out->doubts |= DOUBT_SLOW_SAMPLING;
    }
    out->doubts |= !quiet && m->swing < QUANTA_A_SWING * s->quantum ? DOUBT_COARSE_GAUGE : 0U;
    out->doubts |= !quiet && m->cycles < CYCLES_LEAST ? DOUBT_FEW_CYCLES : 0U;
    out->doubts |= s->gaps > 0 ? DOUBT_GAPS : 0U;
    out->doubts |= s->unevenness > 0.5 ? DOUBT_UNEVEN : 0U;
    out->doubts |= s->interval < INTERVAL_LEAST ? DOUBT_FAST : 0U;
    if (quiet) {
        out->verdict =
            fabs(m->drift) > fmax(rest, 2.0 * s->quantum) ? RECORD_DRIFTING : RECORD_QUIET;
    } else if (m->cycles == 0) {
        out->verdict = fabs(m->drift) > DRIFTS_ABOVE * range ? RECORD_DRIFTING : RECORD_UNCLEAR;
    } else if (dying) {
        out->verdict = RECORD_DYING;
    } else if (m->cycles < 3) {
        out->verdict = RECORD_UNCLEAR;
    } else {
        out->verdict = m->regularity >= REGULAR ? RECORD_REPEATING : RECORD_RESTLESS;
    }
}

// Each doubt takes away from what the number of cycles gives. Our judgement, no source.
static double confidence_of(const struct record_judgement *out) {
    const struct record_motion *m = &out->motion;
    double sure = out->verdict == RECORD_QUIET || out->verdict == RECORD_DRIFTING
                      ? 1.0
                      : 1.0 - exp(-(double)m->cycles / (double)CYCLES_LEAST);
    sure *= out->verdict == RECORD_UNCLEAR ? 0.0 : SUREST;
    sure *= out->doubts & DOUBT_SLOW_SAMPLING ? 0.3 : 1.0;
    sure *= out->doubts & DOUBT_COARSE_GAUGE ? 0.7 : 1.0;
    sure *= out->doubts & DOUBT_FAST ? 0.1 : 1.0;
    sure *= out->doubts & DOUBT_GAPS ? 0.9 : 1.0;
    return sure;
}

void record_judge(double *time, double *value, size_t count, double rest, double *work,
                  struct record_judgement *out) {
    memset(out, 0, sizeof *out);
    const double none = (double)NAN;
    out->motion =
        (struct record_motion){none, none, none, none, none, 0, none, none, none, none, none};
    out->verdict = RECORD_UNCLEAR;
    const size_t most = count;
    count = record_clean(time, value, count, work, &out->sampling);
    struct cut *cut = calloc(1, sizeof *cut);
    if (count < 8 || out->sampling.end - out->sampling.first < 8 || !cut) {
        free(cut);
        return;
    }
    double *even = work;
    double *slow = work + most;
    double *fast = work + 2 * most;
    out->enough = true;
    const size_t evens = record_even(time, value, &out->sampling, even, most);
    double sum = 0.0;
    double low = HUGE_VAL;
    double high = -HUGE_VAL;
    for (size_t i = 0; i < evens; i++) {
        sum += even[i];
        low = fmin(low, even[i]);
        high = fmax(high, even[i]);
    }
    out->motion.mean = sum / (double)evens;
    // First about a straight line, to find how long a cycle is; then about a mean over three.
    straight_line(even, evens, slow);
    out->motion.drift = slow[evens - 1] - slow[0];
    double *scratch = malloc((evens + 1) * sizeof *scratch);
    if (!scratch) {
        out->enough = false;
        free(cut);
        return;
    }
    const struct lanes lanes = {even, slow, fast, scratch, evens};
    measure(&lanes, out, cut);
    if (cut->cycles >= 3) {
        const double width = 3.0 * (cut->at[2 * cut->cycles] - cut->at[0]) / (double)cut->cycles;
        memset(cut, 0, sizeof *cut);
        record_slow(even, evens, (size_t)width | 1U, slow);
        measure(&lanes, out, cut);
    }
    decide(out, rest, high - low, dies_out(cut));
    out->confidence = confidence_of(out);
    free(scratch);
    free(cut);
}

const char *record_verdict_name(enum record_verdict verdict) {
    static const char *const names[] = {"quiet",    "drifting",  "repeating",
                                        "restless", "dying out", "unclear"};
    return names[verdict];
}

const char *record_verdict_meaning(enum record_verdict verdict) {
    static const char *const meanings[] = {
        "It moves by less than counts as rest, or than the gauge can tell.",
        "It moves slowly and does not come back.",
        "It makes the same swing again and again.",
        "It keeps moving without repeating.",
        "It swings, and the swings die out.",
        "The record does not tell."};
    return meanings[verdict];
}
