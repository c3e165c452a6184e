// SPDX-License-Identifier: MIT
// Cycles of a repeating motion, cut where a signal rises through its own middle, and whether they
// have converged to a limit cycle. Motion that changes size is the matter of turning.h.
#pragma once

#include "judge/series.h"
#include "judge/verdict_limits.h"

#include <stdbool.h>

enum { CYCLES_MAX = 128 };

struct cycle {
    double start;         // [s]
    double period;        // [s]
    double pressure_high; // [Pa]
    double pressure_low;  // [Pa]
    double travel_high;   // [m]
    double travel_low;    // [m]
    size_t seat_contacts;
    size_t stop_contacts;
    double seat_speed; // largest approach speed at the seat, 0 without contact [m/s]
};

struct cycles {
    size_t total; // cycles in the series; the last `count` of them are kept
    size_t count;
    struct cycle cycle[CYCLES_MAX];
};

struct contact_event {
    double time;  // [s]
    double speed; // of approach, positive [m/s]
    double mass;  // that is moving at contact [kg]
};

struct contact_list {
    const struct contact_event *event; // ascending in time; owned by the caller
    size_t count;
};

// The events whose times lie in [from, to).
struct contact_list contact_list_between(const struct contact_list *list, double from, double to);

// Largest and mean approach speed of a list [m/s]; 0 when empty.
double contact_list_speed(const struct contact_list *list);
double contact_list_mean_speed(const struct contact_list *list);

struct motion {
    struct series pressure; // [Pa]
    struct series travel;   // [m]; same times as pressure
    struct contact_list seat;
    struct contact_list stop;
};

// Cut the motion into cycles at the rises of `by`, one of its two series (or a part of it), through
// the middle of its range. A rise counts when the signal came from the share cycle_band of its
// range below the middle and goes on as far above, so that ripple does not make cycles.
void cycles_find(const struct motion *motion, const struct series *by,
                 const struct verdict_limits *limits, struct cycles *cycles);

struct cycles_tolerance {
    double share;          // of the swing of a cycle, of its period [-]
    double speed_share;    // of its contact speed [-]
    double pressure_floor; // differences below this are none [Pa]
    double travel_floor;   // [m]
    double time_floor;     // [s]
};

// Number of cycles after which the last cycle_repeats of the motion agree (1 for a plain limit
// cycle, 2 for a cycle of alternating size, up to cycle_pattern), or 0 when they do not. A trough
// at the seat and a crest at the stop are left out, because samples do not catch a corner; the
// contact speeds stand in for them.
size_t cycles_pattern(const struct cycles *cycles, const struct verdict_limits *limits,
                      const struct cycles_tolerance *tolerance);

// True while the swing still grows or shrinks steadily, which a slow enough change can do although
// neighbouring cycles agree. `pattern` is what cycles_pattern returned.
bool cycles_still_changing(const struct cycles *cycles, size_t pattern,
                           const struct verdict_limits *limits, bool by_travel);
