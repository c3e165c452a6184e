// SPDX-License-Identifier: MIT
// Records by recipe for the tests of pinned verdicts: multiples of 2^-10 Pa and 2^-30 m, so that
// what is judged is the same everywhere to the last bit. Made-up signals.
#pragma once

#include "fixture_pinned.h"
#include "fixtures.h"
#include "verdict_record.h"

// Shapes of a record.
enum shape {
    SINE,
    DAMPED,
    GROWN,
    TWO_SIZES,
    DRIFT,
    RAMP,
    NOISE,
    PULSES,
    STEPS,
    BEAT,
    TOWARD,
    WEARS,
    SHAPES
};

struct recipe {
    enum shape shape;
    double size, travel; // amplitudes: of pressure, of travel
    double rate;         // of decay or growth, of drift [1/s]
    double frequency, step, end;
    double from, limit, period, hint;
    double level;    // of the cycle that a decay ends in, share of its beginning
    double contacts; // a second
    double unevenly; // share of the contacts that come early in the record
    bool changing;
};

static unsigned long long record_seed;

static inline double shape_at(const struct recipe *r, double time) {
    const double turn = r->frequency * time, part = turn - floor(turn);
    const double sine = sin(2.0 * PI * turn);
    switch (r->shape) {
    case DAMPED:
        return exp(-r->rate * time) * sine;
    case GROWN:
        return sine / sqrt(1.0 + 1e4 * exp(-2.0 * r->rate * time));
    case TWO_SIZES:
        return ((long)floor(turn) % 2 ? 1.0 : 1.0 - r->rate) * sine;
    case DRIFT:
        return r->rate * time + sine;
    case RAMP:
        return r->rate * time;
    case NOISE:
        return sine * fixture_random(&record_seed);
    case PULSES:
        return part < 0.5 ? sin(16.0 * PI * part) * exp(-r->rate * part) : 0.0;
    case STEPS:
        return part < 0.25 ? 1.0 : part < 0.5 ? -r->rate : 0.0;
    case BEAT:
        return sine * (1.0 + r->rate * sin(0.38 * PI * turn));
    case TOWARD:
        return (r->level + (1.0 - r->level) * exp(-r->rate * time)) * sine;
    case WEARS:
        return fmax(1.0 - 0.2 * r->rate * time, r->level) * sine;
    default:
        return sine;
    }
}

// To a multiple of 2^-10 of a pascal, of 2^-10 of a micrometre.
static inline double coarse(double value, double unit) {
    return nearbyint(value / unit) * unit;
}

static inline void cook(const struct recipe *r) {
    const size_t count = (size_t)lround(r->end / r->step) + 1;
    record_seed = 5;
    assert_true(count <= SAMPLES_MAX);
    for (size_t i = 0; i < count; i++) {
        const double time = r->step * (double)i, value = shape_at(r, time);
        record.pressure[i] = 445000.0 + coarse(345000.0 * r->size * value, 0x1p-10);
        record.travel[i] = coarse(0.01 + 0.02 * r->travel * value, 0x1p-30);
    }
    record.input = (struct verdict_input){
        .motion = {.pressure = {record.pressure, count, 0.0, r->step},
                   .travel = {record.travel, count, 0.0, r->step},
                   .seat = {record.seat, 0}},
        .set_pressure = 444000.0,
        .pressure_scale = 345000.0,
        .rated_travel = 0.02,
        .from = r->from,
        .limit = r->limit,
        .schedule_period = r->period,
        .schedule_changing = r->changing,
        .period_hint = r->hint,
    };
    const double begin = r->unevenly * r->end;
    for (int i = 0; r->contacts > 0.0 && begin + i / r->contacts < r->end; i++) {
        record_add_contact(begin + i / r->contacts, 0.125 * (1 + i % 3));
    }
    record.input.motion.stop = record.input.motion.seat;
    record.input.motion.stop.count /= 3;
}

static inline void add_result(struct bits *b, const struct verdict_result *result) {
    const struct verdict_figures *f = &result->figures;
    bits_add(b, (int)result->verdict + 100 * result->decided);
    for (const char *c = result->reason; *c; c++) {
        bits_add(b, *c);
    }
    bits_add(b, (double)(f->cycles + 1000 * f->pattern + 100000 * f->periodic));
    bits_add(b, (double)(f->seat_contacts + 1000 * f->stop_contacts));
}
