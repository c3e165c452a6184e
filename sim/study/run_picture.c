// SPDX-License-Identifier: MIT
#include "study/run_picture.h"

#include <math.h>

// A picture some 1000 dots wide shows no more stretches or samples than these.
enum { STRETCHES = 1000, SAMPLES = 6000, CONTACTS = 400 };

enum { CHANNELS = 4, COLUMNS = CHANNELS + 1 };

static double channel_value(const struct run_curve *curve, int channel, size_t i) {
    const double *values[CHANNELS] = {curve->pressure, curve->travel, curve->chamber, curve->flow};
    return values[channel] ? values[channel][i] : (double)NAN;
}

static void add_sample(struct picture_data *data, const struct run_curve *curve, size_t i) {
    double row[COLUMNS] = {curve->time[i]};
    for (int channel = 0; channel < CHANNELS; channel++) {
        row[channel + 1] = channel_value(curve, channel, i);
    }
    picture_row(data, NULL, row);
}

// Two rows for the samples first..end-1: each channel's extremes, in the order they occur.
static void add_stretch(struct picture_data *data, const struct run_curve *curve, size_t first,
                        size_t end) {
    double early[COLUMNS] = {curve->time[first]};
    double late[COLUMNS] = {curve->time[end - 1]};
    for (int channel = 0; channel < CHANNELS; channel++) {
        size_t low = first;
        size_t high = first;
        for (size_t i = first + 1; i < end; i++) {
            const double value = channel_value(curve, channel, i);
            low = value < channel_value(curve, channel, low) ? i : low;
            high = value > channel_value(curve, channel, high) ? i : high;
        }
        early[channel + 1] = channel_value(curve, channel, low < high ? low : high);
        late[channel + 1] = channel_value(curve, channel, low < high ? high : low);
    }
    picture_row(data, NULL, early);
    picture_row(data, NULL, late);
}

// An empty set holds one undefined row, so that the numbers of the others stay.
static void end_set(struct picture_data *data, bool empty) {
    const double none = (double)NAN;
    const double nothing[COLUMNS] = {none, none, none, none, none};
    if (empty) {
        picture_row(data, NULL, nothing);
    }
    picture_next_set(data);
}

static void add_extremes(struct picture_data *data, const struct run_curve *curve, size_t first) {
    const size_t count = curve->count - first;
    for (size_t i = first; i < curve->count && count <= 2 * STRETCHES; i++) {
        add_sample(data, curve, i);
    }
    for (size_t k = 0; k < STRETCHES && count > 2 * STRETCHES; k++) {
        add_stretch(data, curve, first + count * k / STRETCHES,
                    first + count * (k + 1) / STRETCHES);
    }
    end_set(data, count == 0);
}

static void add_samples(struct picture_data *data, const struct run_curve *curve, size_t first) {
    const size_t stride = (curve->count - first) / SAMPLES + 1;
    for (size_t i = first; i < curve->count; i += stride) {
        add_sample(data, curve, i);
    }
    end_set(data, first == curve->count);
}

// Contacts closer together than the dots of the picture are drawn once.
static void add_contacts(struct picture_data *data, const struct run_curve *curve, double from) {
    const double end = curve->count > 0 ? curve->time[curve->count - 1] : from;
    const double apart = (end - from) / CONTACTS;
    const double none = (double)NAN;
    double last = -HUGE_VAL;
    for (size_t i = 0; i < curve->contact_count; i++) {
        const double row[COLUMNS] = {curve->contact[i], none, none, none, none};
        if (row[0] >= from && row[0] - last >= apart) {
            picture_row(data, NULL, row);
            last = row[0];
        }
    }
    end_set(data, isinf(last));
}

// Sets that the scripts select by `index`; columns time, pressure, travel, chamber pressure, flow:
//   0 the whole run, thinned to its extremes in each of some thousand stretches
//   1 the part from `close_from`, thinned likewise
//   2 the whole run, thinned to every n-th sample, for the phase portrait
//   3 the part from `close_from`, thinned to every n-th sample
//   4 times of seat contact, whole run;  5 from `close_from`
static void add_curve(struct answer *answer, const struct run_curve *curve, double close_from) {
    struct picture_data *data = picture_data(answer, COLUMNS);
    size_t close = 0;
    while (close < curve->count && curve->time[close] < close_from) {
        close++;
    }
    add_extremes(data, curve, 0);
    add_extremes(data, curve, close);
    add_samples(data, curve, 0);
    add_samples(data, curve, close);
    add_contacts(data, curve, curve->time[0]);
    add_contacts(data, curve, close_from);
}

bool run_picture_add(struct answer *answer, const struct run_page *page) {
    double start = HUGE_VAL;
    double end = -HUGE_VAL;
    bool chamber = false;
    for (size_t i = 0; i < page->count; i++) {
        const struct run_curve *curve = &page->curve[i];
        if (curve->count < 2) {
            return false;
        }
        chamber = chamber || curve->chamber;
        start = fmin(start, curve->time[0]);
        end = fmax(end, curve->time[curve->count - 1]);
    }
    picture_begin(answer, page->count == 1 ? "run.gp" : "compare.gp", page->title);
    answer->picture.sketch = "text.gp";
    for (size_t i = 0; i < page->count; i++) {
        picture_title(answer, "%s", page->curve[i].title);
        add_curve(answer, &page->curve[i], page->close_from);
    }
    picture_axis(answer, "controlled pressure", UNIT_PRESSURE_LEVEL);
    picture_axis(answer, "plug travel", UNIT_LENGTH);
    picture_axis(answer, "chamber pressure", UNIT_PRESSURE_LEVEL);
    picture_axis(answer, "flow", UNIT_FLOW);
    const double number[] = {(double)page->count, start, end, page->close_from, page->set_pressure,
                             chamber ? 1.0 : 0.0};
    for (size_t i = 0; i < sizeof number / sizeof number[0]; i++) {
        picture_number(answer, number[i]);
    }
    return true;
}
