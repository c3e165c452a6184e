// SPDX-License-Identifier: MIT
#include "show/plot_data.h"

#include <math.h>

// A picture 1200 dots wide shows no more stretches or samples than these.
enum { STRETCHES = 1000, SAMPLES = 6000, CONTACTS = 400 };

enum { CHANNELS = 4 };

static const char UNDEFINED[] = "NaN NaN NaN NaN NaN\n";

static double channel_value(const struct plot_series *series, int channel, size_t i) {
    const double *values[CHANNELS] = {series->pressure, series->travel, series->chamber,
                                      series->flow};
    return values[channel] != NULL ? values[channel][i] : (double)NAN;
}

static void write_row(FILE *stream, double time, const double *values) {
    fprintf(stream, "%.9g", time);
    for (int channel = 0; channel < CHANNELS; ++channel) {
        fprintf(stream, " %.9g", values[channel]);
    }
    fputc('\n', stream);
}

static void write_sample(FILE *stream, const struct plot_series *series, size_t i) {
    double values[CHANNELS];
    for (int channel = 0; channel < CHANNELS; ++channel) {
        values[channel] = channel_value(series, channel, i);
    }
    write_row(stream, series->time[i], values);
}

// Two rows for the samples first..end-1: each channel's extremes, in the order they occur.
static void write_stretch(FILE *stream, const struct plot_series *series, size_t first,
                          size_t end) {
    double early[CHANNELS];
    double late[CHANNELS];
    for (int channel = 0; channel < CHANNELS; ++channel) {
        size_t low = first;
        size_t high = first;
        for (size_t i = first + 1; i < end; ++i) {
            double value = channel_value(series, channel, i);
            low = value < channel_value(series, channel, low) ? i : low;
            high = value > channel_value(series, channel, high) ? i : high;
        }
        early[channel] = channel_value(series, channel, low < high ? low : high);
        late[channel] = channel_value(series, channel, low < high ? high : low);
    }
    write_row(stream, series->time[first], early);
    write_row(stream, series->time[end - 1], late);
}

static void end_block(FILE *stream, bool empty) {
    fputs(empty ? UNDEFINED : "", stream);
    fputs("\n\n", stream);
}

static void write_extremes(FILE *stream, const struct plot_series *series, size_t first) {
    size_t count = series->count - first;
    if (count <= 2 * STRETCHES) {
        for (size_t i = first; i < series->count; ++i) {
            write_sample(stream, series, i);
        }
    } else {
        for (size_t k = 0; k < STRETCHES; ++k) {
            write_stretch(stream, series, first + count * k / STRETCHES,
                          first + count * (k + 1) / STRETCHES);
        }
    }
    end_block(stream, count == 0);
}

static void write_samples(FILE *stream, const struct plot_series *series, size_t first) {
    size_t stride = (series->count - first) / SAMPLES + 1;
    for (size_t i = first; i < series->count; i += stride) {
        write_sample(stream, series, i);
    }
    end_block(stream, first == series->count);
}

// Contacts closer together than the dots of the picture are drawn once.
static void write_contacts(FILE *stream, const struct plot_series *series, double from) {
    double end = series->count > 0 ? series->time[series->count - 1] : from;
    double apart = (end - from) / CONTACTS;
    double last = -HUGE_VAL;
    for (size_t i = 0; i < series->contact_count; ++i) {
        double time = series->contact[i];
        if (time >= from && time - last >= apart) {
            fprintf(stream, "%.9g\n", time);
            last = time;
        }
    }
    end_block(stream, isinf(last));
}

bool plot_data_write(FILE *stream, const struct plot_series *series, double close_from) {
    size_t close = 0;
    while (close < series->count && series->time[close] < close_from) {
        ++close;
    }
    write_extremes(stream, series, 0);
    write_extremes(stream, series, close);
    write_samples(stream, series, 0);
    write_samples(stream, series, close);
    write_contacts(stream, series, series->count > 0 ? series->time[0] : 0.0);
    write_contacts(stream, series, close_from);
    return fflush(stream) == 0 && !ferror(stream);
}
