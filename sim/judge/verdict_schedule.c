// SPDX-License-Identifier: MIT
#include "judge/verdict_schedule.h"

#include "judge/turning.h"

#include <math.h>

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
                          const struct verdict_limits *limits, double rest) {
    struct series last = series_between(series, end - window, end);
    double square = 0.0;
    for (size_t i = 0; i < last.count; i++) {
        double off = last.value[i] - series_at(series, series_time(&last, i) - shift);
        square += off * off;
    }
    double difference = sqrt(square / (double)last.count);
    return difference <=
           fmax(limits->cycle_tolerance * series_swing(&last), limits->cycle_floor * rest);
}

bool verdict_schedule_repeats(const struct verdict_schedule_view *view, double period,
                              const struct verdict_limits *limits, double *window) {
    const struct series *pressure = &view->motion.pressure;
    int repeats = (int)limits->schedule_periods;
    for (int pattern = 1; pattern <= (int)limits->schedule_pattern; pattern++) {
        *window = pattern * period;
        if (*window * repeats > view->end - pressure->start + 0.5 * pressure->step) {
            return false;
        }
        bool agrees = true;
        for (int back = 1; agrees && back < repeats; back++) {
            agrees = window_agrees(pressure, view->end, *window, back * *window, limits,
                                   view->pressure_rest) &&
                     window_agrees(&view->motion.travel, view->end, *window, back * *window, limits,
                                   view->travel_rest);
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
    size_t swings = (size_t)limits->sustained_swings;
    double floor = fmax(rest, limits->sustained_floor * series_swing(series));
    turning_points_find(series, floor, limits, &points);
    for (size_t first = 0; first + swings + 2 <= points.count; first++) {
        struct turning_points part = {.count = swings + 2};
        for (size_t i = 0; i < part.count; i++) {
            part.time[i] = points.time[first + i];
            part.value[i] = points.value[first + i];
        }
        struct trend trend = trend_find(&part, swings);
        if (trend.spacing < limits->sustained_spacing &&
            trend.damping_ratio < limits->sustained_damping * limits->ringing_damping) {
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
