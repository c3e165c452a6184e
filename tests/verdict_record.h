// SPDX-License-Identifier: MIT
// A synthetic record for the tests of the verdict: 20 mm of travel, 50 psi of set pressure, signals
// given as functions of time.
#pragma once

#include "judge/verdict.h"
#include "support.h"

static const double PI = 3.14159265358979323846;

enum { SAMPLES_MAX = 200000, CONTACTS_MAX = 20000 };

// One record under construction: 50 psig-like scales, 20 mm of travel.
struct record {
    double pressure[SAMPLES_MAX];
    double travel[SAMPLES_MAX];
    struct contact_event seat[CONTACTS_MAX];
    struct verdict_input input;
    struct verdict_result result;
};

static struct record record;

static const double SET = 445000.0;   // [Pa] absolute
static const double SCALE = 345000.0; // [Pa] gauge
static const double RATED = 0.020;    // [m]

typedef double signal(double time);

static inline void record_make(signal *pressure, signal *travel, double step, double end) {
    size_t count = (size_t)lround(end / step) + 1;
    assert_true(count <= SAMPLES_MAX);
    for (size_t i = 0; i < count; ++i) {
        double time = step * (double)i;
        record.pressure[i] = SET + SCALE * pressure(time);
        record.travel[i] = RATED * travel(time);
    }
    record.input = (struct verdict_input){
        .motion = {.pressure = {record.pressure, count, 0.0, step},
                   .travel = {record.travel, count, 0.0, step},
                   .seat = {record.seat, 0}},
        .set_pressure = SET,
        .pressure_scale = SCALE,
        .rated_travel = RATED,
        .limit = 1000.0,
    };
}

static inline void record_add_contact(double time, double speed) {
    size_t count = record.input.motion.seat.count++;
    assert_true(count < CONTACTS_MAX);
    record.seat[count] = (struct contact_event){time, speed, 2.5};
}

static inline enum verdict record_judge(void) {
    struct verdict_limits limits = verdict_limits_default();
    assert_true(verdict_judge(&record.input, &limits, &record.result));
    return record.result.verdict;
}

static inline void assert_verdict(enum verdict expected, bool decided) {
    enum verdict actual = record_judge();
    if (actual != expected || record.result.decided != decided) {
        fail_msg("%s%s (%s), expected %s%s", verdict_name(actual),
                 record.result.decided ? "" : " so far", record.result.reason,
                 verdict_name(expected), decided ? "" : " so far");
    }
}

static inline double half_open(double time) {
    (void)time;
    return 0.5;
}

static inline double zero(double time) {
    (void)time;
    return 0.0;
}

static inline double noise(double time) {
    return 1e-8 * sin(1e7 * time * time);
}
