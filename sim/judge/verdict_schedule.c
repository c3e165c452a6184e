// SPDX-License-Identifier: MIT
#include "judge/verdict_schedule.h"

#include "judge/turning.h"

#include <math.h>

// Swings that make an oscillation within one schedule period, how even their spacing must be, and
// the share of the ringing damping below which it counts as sustained.
enum { SUSTAINED_SWINGS = 8 };
static const double SUSTAINED_SPACING = 0.2;
static const double SUSTAINED_DAMPING = 0.1;

// Turning points in a window are sought down to this share of its swing.
static const double WINDOW_FLOOR = 0.05;

// A schedule may be answered in every period or, alternating, in every second one.
enum { SCHEDULE_PATTERN_MAX = 2 };

static double series_at(const struct series *series, double time) {
    double place = (time - series->start) / series->step;
    place = fmin(fmax(place, 0.0), (double)(series->count - 1));
    size_t i = (size_t)place;
    if (i + 1 >= series->count) {
        return series->value[series->count - 1];
    }
    double share = place - (double)i;
    return series->value[i] + share * (series->value[i + 1] - series->value[i]);
}

// Root mean square of the difference between the last window and the one `shift` before it. A root
// mean square, because at a jump the samples of two periods differ by where they happen to lie.
static bool window_agrees(const struct series *series, double end, double window, double shift,
                          double share, double rest) {
    struct series last = series_between(series, end - window, end);
    double square = 0.0;
    for (size_t i = 0; i < last.count; ++i) {
        double off = last.value[i] - series_at(series, series_time(&last, i) - shift);
        square += off * off;
    }
    double difference = sqrt(square / (double)last.count);
    return difference <= fmax(share * series_swing(&last), 0.1 * rest);
}

bool verdict_schedule_repeats(const struct verdict_schedule_view *view, double period,
                              const struct verdict_limits *limits, double *window) {
    const struct series *pressure = &view->motion.pressure;
    int repeats = (int)limits->schedule_periods;
    for (int pattern = 1; pattern <= SCHEDULE_PATTERN_MAX; ++pattern) {
        *window = pattern * period;
        if (*window * repeats > view->end - pressure->start + 0.5 * pressure->step) {
            return false;
        }
        bool agrees = true;
        for (int back = 1; agrees && back < repeats; ++back) {
            agrees = window_agrees(pressure, view->end, *window, back * *window,
                                   limits->cycle_tolerance, view->pressure_rest) &&
                     window_agrees(&view->motion.travel, view->end, *window, back * *window,
                                   limits->cycle_tolerance, view->travel_rest);
        }
        if (agrees) {
            return true;
        }
    }
    return false;
}

static double series_sustained(const struct series *series, double rest,
                               const struct verdict_limits *limits) {
    struct turning_points points;
    turning_points_find(series, fmax(rest, WINDOW_FLOOR * series_swing(series)), &points);
    for (size_t first = 0; first + SUSTAINED_SWINGS + 2 <= points.count; ++first) {
        struct turning_points part = {.count = SUSTAINED_SWINGS + 2};
        for (size_t i = 0; i < part.count; ++i) {
            part.time[i] = points.time[first + i];
            part.value[i] = points.value[first + i];
        }
        struct trend trend = trend_find(&part, SUSTAINED_SWINGS);
        if (trend.spacing < SUSTAINED_SPACING &&
            trend.damping_ratio < SUSTAINED_DAMPING * limits->ringing_damping) {
            return trend.frequency;
        }
    }
    return 0.0;
}

double verdict_schedule_sustained(const struct verdict_schedule_view *view, double window,
                                  const struct verdict_limits *limits) {
    struct series pressure = series_last(&view->motion.pressure, window);
    struct series travel = series_last(&view->motion.travel, window);
    double frequency = series_sustained(&pressure, view->pressure_rest, limits);
    return frequency > 0.0 ? frequency : series_sustained(&travel, view->travel_rest, limits);
}
