// SPDX-License-Identifier: MIT
#include "schedule.h"

#include <math.h>

#define TWO_PI 6.283185307179586

struct schedule schedule_constant(double value) {
    return (struct schedule){.kind = SCHEDULE_CONSTANT, .base = value};
}

// Piece i of a list of points runs from point i-1 to point i; piece 0 and piece `count` hold the
// first and the last value.
static double points_slope(const struct schedule *s, size_t piece) {
    if (piece == 0 || piece >= s->count) {
        return 0.0;
    }
    double span = s->time[piece] - s->time[piece - 1];
    return span > 0.0 ? (s->value[piece] - s->value[piece - 1]) / span : 0.0;
}

static double points_value(const struct schedule *s, size_t piece, double time) {
    if (piece == 0) {
        return s->value[0];
    }
    size_t left = piece < s->count ? piece - 1 : s->count - 1;
    return s->value[left] + points_slope(s, piece) * (time - s->time[left]);
}

double schedule_value(const struct schedule *s, size_t piece, double time) {
    switch (s->kind) {
    case SCHEDULE_POINTS:
        return points_value(s, piece, time);
    case SCHEDULE_SLUG:
        return piece % 2 == 1 ? s->peak : s->base;
    case SCHEDULE_SINE:
        return s->base + s->peak * cos(TWO_PI * (time - s->start) / s->period);
    case SCHEDULE_CONSTANT:
        break;
    }
    return s->base;
}

double schedule_slope(const struct schedule *s, size_t piece, double time) {
    if (s->kind == SCHEDULE_POINTS) {
        return points_slope(s, piece);
    }
    if (s->kind == SCHEDULE_SINE) {
        double rate = TWO_PI / s->period;
        return -s->peak * rate * sin(rate * (time - s->start));
    }
    return 0.0;
}

double schedule_piece_end(const struct schedule *s, size_t piece) {
    if (s->kind == SCHEDULE_POINTS && piece < s->count) {
        return s->time[piece];
    }
    if (s->kind == SCHEDULE_SLUG) {
        size_t slug = piece / 2;
        double begin = s->start + (double)slug * s->period;
        return piece % 2 == 0 ? begin : begin + s->duration;
    }
    return (double)INFINITY;
}

size_t schedule_piece(const struct schedule *s, double time) {
    size_t piece = 0;
    if (s->kind == SCHEDULE_SLUG && time > s->start) {
        piece = 2 * (size_t)floor((time - s->start) / s->period);
    }
    while (schedule_piece_end(s, piece) <= time) {
        piece++;
    }
    return piece;
}
