// SPDX-License-Identifier: MIT
// A quantity given over time, in pieces. The integrator tells which piece is in force, so that the
// value is a smooth function on both sides of a jump; the model never looks for the piece itself.
#pragma once

#include <stdbool.h>
#include <stddef.h>

enum schedule_kind {
    SCHEDULE_CONSTANT, // base
    SCHEDULE_POINTS,   // straight between points; two points at one time make a step
    SCHEDULE_SLUG,     // base, and peak during each repeating slug
    SCHEDULE_SINE,     // base + peak cos(2 pi (t - start)/period): pulsation
};

struct schedule {
    enum schedule_kind kind;
    double base;         // [unit of the quantity]
    double peak;         // slug: value during a slug; sine: amplitude
    double start;        // first slug, or the sine's first crest [s]
    double period;       // slug or sine period [s]
    double duration;     // slug length, less than the period [s]
    size_t count;        // points, at least 1
    const double *time;  // ascending, owned by the caller [s]
    const double *value; // owned by the caller
};

// A schedule that holds one value.
struct schedule schedule_constant(double value);

// Value at a time [s] in the piece with the given index (extended smoothly beyond the piece).
double schedule_value(const struct schedule *schedule, size_t piece, double time);

// Rate of change [unit/s] in that piece.
double schedule_slope(const struct schedule *schedule, size_t piece, double time);

// Index of the piece in force just after a time [s].
size_t schedule_piece(const struct schedule *schedule, double time);

// Time at which the given piece ends [s]; INFINITY for the last.
double schedule_piece_end(const struct schedule *schedule, size_t piece);
