// SPDX-License-Identifier: MIT
#include "judge/verdict_figures.h"

#include <math.h>

static const double SECONDS_A_DAY = 86400.0;

struct verdict_figures verdict_figures_none(void) {
    return (struct verdict_figures){
        .window_start = (double)NAN,
        .window_end = (double)NAN,
        .pressure_swing = (double)NAN,
        .pressure_mean = (double)NAN,
        .pressure_peak = (double)NAN,
        .travel_swing = (double)NAN,
        .travel_mean = (double)NAN,
        .travel_worn = (double)NAN,
        .frequency = (double)NAN,
        .growth_rate = (double)NAN,
        .log_decrement = (double)NAN,
        .damping_ratio = (double)NAN,
        .settling_time = (double)NAN,
        .seat_rate = (double)NAN,
        .seat_speed = (double)NAN,
        .seat_speed_mean = (double)NAN,
        .seat_energy = (double)NAN,
        .stop_rate = (double)NAN,
    };
}

static double contact_list_energy(const struct contact_list *list) {
    double energy = 0.0;
    for (size_t i = 0; i < list->count; i++) {
        double speed = list->event[i].speed;
        energy = fmax(energy, 0.5 * list->event[i].mass * speed * speed);
    }
    return energy;
}

void verdict_figures_measure(const struct verdict_input *input, double from, double to,
                             struct verdict_figures *figures) {
    const struct motion *motion = &input->motion;
    struct series pressure = series_between(&motion->pressure, from, to);
    struct series travel = series_between(&motion->travel, from, to);
    struct contact_list seat = contact_list_between(&motion->seat, from, to);
    struct contact_list stop = contact_list_between(&motion->stop, from, to);
    double span = series_span(&travel);
    double minutes = (to - from) / 60.0;
    figures->window_start = from;
    figures->window_end = to;
    figures->pressure_swing = series_swing(&pressure);
    figures->pressure_mean = series_mean(&pressure) - input->set_pressure;
    figures->pressure_peak = series_high(&motion->pressure);
    figures->travel_swing = series_swing(&travel);
    figures->travel_mean = series_mean(&travel);
    figures->travel_worn = span > 0.0 ? series_path(&travel) / span * SECONDS_A_DAY : (double)NAN;
    figures->seat_rate = minutes > 0.0 ? (double)seat.count / minutes : (double)NAN;
    figures->stop_rate = minutes > 0.0 ? (double)stop.count / minutes : (double)NAN;
    figures->seat_speed = contact_list_speed(&seat);
    figures->seat_speed_mean = contact_list_mean_speed(&seat);
    figures->seat_energy = contact_list_energy(&seat);
    figures->seat_contacts = motion->seat.count;
    figures->stop_contacts = motion->stop.count;
}
