// SPDX-License-Identifier: MIT
#include "run/pipe_figure.h"

#include <math.h>

static const double TWO_PI = 6.283185307179586;

static bool has(const struct simulation *s, enum regulator_line line) {
    return s->start.regulator.has_line[line];
}

// High and low of a channel in the part that is judged, or the whole record where none is.
static void ends(const struct simulation *s, enum channel channel, double *low, double *high) {
    const double start = s->judged.figures.window_start;
    *low = *high = (double)NAN;
    for (size_t i = 0; i < s->count; i++) {
        if (!((double)i * s->step < start)) {
            *low = fmin(*low, s->channel[channel][i]);
            *high = fmax(*high, s->channel[channel][i]);
        }
    }
}

double pipe_figure_swing(const struct simulation *s, enum regulator_line line) {
    double low, high;
    ends(s, line == LINE_BEFORE ? CHANNEL_INLET_PRESSURE : CHANNEL_OUTLET_PRESSURE, &low, &high);
    return has(s, line) ? high - low : (double)NAN;
}

double pipe_figure_stop(const struct simulation *s, enum regulator_line line) {
    const struct pipe *pipe = &s->start.regulator.pipe[line];
    double flow = 0.0;
    for (size_t i = 0; i < s->count; i++) {
        flow = fmax(flow, s->channel[CHANNEL_TRIM_FLOW][i]);
    }
    return has(s, line) ? flow / pipe->area[pipe->cells - 1] * pipe->wave_speed : (double)NAN;
}

double pipe_figure_quarter(const struct simulation *s, enum regulator_line line) {
    const struct pipe *pipe = &s->start.regulator.pipe[line];
    return has(s, line) ? pipe->wave_speed / (4.0 * pipe->total_length) : (double)NAN;
}

double pipe_figure_low_supply(const struct simulation *s) {
    double low, high;
    ends(s, CHANNEL_FEED_PRESSURE, &low, &high);
    return has(s, LINE_SUPPLY) ? low : (double)NAN;
}

double pipe_figure_shaking(const struct simulation *s, enum regulator_line line) {
    double low, high;
    ends(s, line == LINE_BEFORE ? CHANNEL_SHAKING_BEFORE : CHANNEL_SHAKING_AFTER, &low, &high);
    return has(s, line) ? fmax(fabs(low), fabs(high)) : (double)NAN;
}

double pipe_figure_concern_speed(double frequency) {
    return 1e-3 * pow(10.0, (log10(frequency) + 0.48017) / 2.127612);
}

double pipe_figure_concern(const struct simulation *s, enum regulator_line line) {
    const double quarter = pipe_figure_quarter(s, line);
    const double judged = s->judged.figures.frequency;
    const double frequency = judged > quarter ? judged : quarter;
    const double rms = pipe_figure_shaking(s, line) / sqrt(2.0);
    return rms / (TWO_PI * frequency * pipe_figure_concern_speed(frequency));
}
