// SPDX-License-Identifier: MIT
// From what a logger wrote to a signal that can be looked at.
#include "site/site_record.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

// An interval that is this many times the median is a gap.
static const double GAP_OVER_MEDIAN = 5.0;
// A sample further from the median of its window than this many scaled median deviations is a
// spike (the identifier of F. R. Hampel, J. Am. Stat. Assoc. 69, 1974; 3 is his choice, ours is
// wider because a slamming pressure has true corners).
static const double SPIKE_DEVIATIONS = 8.0;
enum { SPIKE_HALF = 4, SPIKE_WINDOW = 2 * SPIKE_HALF + 1 };
// A normal deviate's standard deviation over its median deviation.
static const double NORMAL_SCALE = 1.4826;

static int ascending(const void *a, const void *b) {
    const double x = *(const double *)a;
    const double y = *(const double *)b;
    return (x > y) - (x < y);
}

static double median_of(double *value, size_t count) {
    qsort(value, count, sizeof *value, ascending);
    return count % 2 ? value[count / 2] : 0.5 * (value[count / 2 - 1] + value[count / 2]);
}

// Takes out what is no number, or not later than the sample before it.
static size_t keep_good(double *time, double *value, size_t count, size_t *dropped) {
    size_t kept = 0;
    for (size_t i = 0; i < count; i++) {
        if (isfinite(time[i]) && isfinite(value[i]) && (kept == 0 || time[i] > time[kept - 1])) {
            time[kept] = time[i];
            value[kept++] = value[i];
        }
    }
    *dropped = count - kept;
    return kept;
}

// The smallest step between different values: what the last digit of the gauge is worth.
static double quantum_of(const double *value, size_t count, double *work) {
    double range = 0.0;
    double step = (double)INFINITY;
    memcpy(work, value, count * sizeof *work);
    qsort(work, count, sizeof *work, ascending);
    range = work[count - 1] - work[0];
    for (size_t i = 1; i < count; i++) {
        const double apart = work[i] - work[i - 1];
        // Rounding of a conversion makes no new value.
        if (apart > 1e-9 * fmax(range, fabs(work[i])) && apart < step) {
            step = apart;
        }
    }
    return isfinite(step) ? step : 0.0;
}

// A spike stands alone: its neighbours are near the median of the window. Two samples that are far
// off together are taken for true.
static size_t replace_spikes(double *value, size_t count, double quantum) {
    double window[SPIKE_WINDOW];
    size_t spikes = 0;
    for (size_t i = SPIKE_HALF; i + SPIKE_HALF < count; i++) {
        memcpy(window, value + i - SPIKE_HALF, sizeof window);
        const double middle = median_of(window, SPIKE_WINDOW);
        for (size_t k = 0; k < SPIKE_WINDOW; k++) {
            window[k] = fabs(value[i - SPIKE_HALF + k] - middle);
        }
        const double scale = NORMAL_SCALE * median_of(window, SPIKE_WINDOW);
        const double allowed = SPIKE_DEVIATIONS * fmax(scale, quantum);
        if (fabs(value[i] - middle) > allowed && fabs(value[i - 1] - middle) < allowed &&
            fabs(value[i + 1] - middle) < allowed) {
            value[i] = middle;
            spikes++;
        }
    }
    return spikes;
}

static void find_stretch(const double *time, size_t count, struct record_sampling *s) {
    size_t first = 0;
    for (size_t i = 1; i <= count; i++) {
        const bool gap = i < count && time[i] - time[i - 1] > GAP_OVER_MEDIAN * s->interval;
        if (gap) {
            s->gaps++;
            s->longest_gap = fmax(s->longest_gap, time[i] - time[i - 1]);
        }
        if (gap || i == count) {
            if (i - first > s->end - s->first) {
                s->first = first;
                s->end = i;
            }
            first = i;
        }
    }
    s->span = s->end > s->first ? time[s->end - 1] - time[s->first] : 0.0;
}

size_t record_clean(double *time, double *value, size_t count, double *work,
                    struct record_sampling *s) {
    memset(s, 0, sizeof *s);
    s->persistence = (double)NAN;
    count = keep_good(time, value, count, &s->dropped);
    s->count = count;
    if (count < 2) {
        return count;
    }
    for (size_t i = 1; i < count; i++) {
        work[i - 1] = time[i] - time[i - 1];
    }
    s->interval = median_of(work, count - 1);
    s->unevenness = (work[3 * (count - 1) / 4] - work[(count - 1) / 4]) / s->interval;
    s->quantum = quantum_of(value, count, work);
    s->spikes = replace_spikes(value, count, s->quantum);
    find_stretch(time, count, s);
    return count;
}

size_t record_even(const double *time, const double *value, const struct record_sampling *s,
                   double *even, size_t most) {
    size_t count = 0;
    size_t at = s->first;
    const double last = time[s->end - 1];
    for (double t = time[s->first]; t <= last + 1e-9 * s->interval && count < most;
         t = time[s->first] + (double)count * s->interval) {
        while (at + 2 < s->end && time[at + 1] < t) {
            at++;
        }
        const double share = (t - time[at]) / (time[at + 1] - time[at]);
        even[count++] = value[at] + fmin(share, 1.0) * (value[at + 1] - value[at]);
    }
    return count;
}

// Running sums; at the ends the window is cut on both sides alike, so that a straight line stays.
void record_slow(const double *even, size_t count, size_t width, double *slow) {
    const size_t half = width / 2;
    double sum = 0.0;
    size_t from = 0;
    size_t to = 0; // the sum is of from .. to - 1
    for (size_t i = 0; i < count; i++) {
        size_t reach = i < half ? i : half;
        reach = count - 1 - i < reach ? count - 1 - i : reach;
        while (to < i + reach + 1) {
            sum += even[to++];
        }
        while (from < i - reach) {
            sum -= even[from++];
        }
        while (to > i + reach + 1) {
            sum -= even[--to];
        }
        slow[i] = sum / (double)(to - from);
    }
}
