// SPDX-License-Identifier: MIT
// What a simulated record shows: steady, ringing, hunting, slamming ... and how badly, in numbers.
// Pure analysis of a finished or growing record, linear in its length and without allocation. It
// knows no model and no solver; the outcomes of an equilibrium (shut, wide open, cannot
// open, cannot shut) are
// set by whoever computed it.
#pragma once

#include "judge/cycles.h"
#include "judge/verdict_limits.h"

#include <stdbool.h>

// In order of severity.
enum verdict {
    VERDICT_STEADY,      // comes to rest
    VERDICT_RINGING,     // dies away, but slowly
    VERDICT_FORCED,      // repeats its schedule, and nothing else
    VERDICT_HUNTING,     // keeps oscillating by itself, the seat is never touched
    VERDICT_IRREGULAR,   // keeps moving within bounds without repeating, the seat is never touched
    VERDICT_SLAMMING,    // keeps hitting its seat
    VERDICT_CHATTER,     // keeps hitting its seat at a high rate
    VERDICT_UNDECIDED,   // the record does not tell
    VERDICT_SHUT,        // stays on its seat
    VERDICT_WIDE_OPEN,   // the trim cannot pass the flow
    VERDICT_CANNOT_OPEN, // nothing lifts the plug as far as the flow needs
    VERDICT_CANNOT_SHUT  // the build cannot close against its pressure drop
};

enum { VERDICT_COUNT = VERDICT_CANNOT_SHUT + 1 };

// Name as printed, such as "wide open", and one plain sentence of what it means.
const char *verdict_name(enum verdict verdict);
const char *verdict_meaning(enum verdict verdict);

// Verdict of a printed name; false when there is none.
bool verdict_parse(const char *name, enum verdict *verdict);

struct verdict_input {
    struct motion motion;   // the whole record: pressure absolute [Pa], travel [m], contacts
    double set_pressure;    // absolute [Pa]
    double pressure_scale;  // what 1 % of pressure refers to: the set pressure, gauge [Pa]
    double rated_travel;    // [m]
    double from;            // no step, ramp or kick acts after this; start of a slug schedule [s]
    double limit;           // time at which the run ends anyway [s]
    bool goes_on;           // beyond that, if nothing is decided by then
    double schedule_period; // of a repeating schedule [s]; 0: none
    bool schedule_changing; // part of the schedule lies ahead: nothing can be decided yet
    double period_hint;     // slowest period expected, from the eigenvalues [s]; 0: unknown
};

// NaN stands for a figure the record does not have.
struct verdict_figures {
    double window_start;    // the figures of motion are of the record from here ...
    double window_end;      // ... to here [s]
    double pressure_swing;  // high less low [Pa]
    double pressure_mean;   // less the set pressure [Pa]
    double pressure_peak;   // highest of the whole record, absolute [Pa]
    double travel_swing;    // high less low [m]
    double travel_mean;     // [m]
    double travel_worn;     // way of the plug in a day of this motion [m/day]
    double frequency;       // [Hz]
    double growth_rate;     // of the swing, negative decays [1/s]
    double log_decrement;   // ln of one swing over the next on the same side [-]
    double damping_ratio;   // share of critical damping, negative grows [-]
    double settling_time;   // from `from` until at rest [s]
    double seat_rate;       // contacts [1/min]
    double seat_speed;      // largest approach speed [m/s]
    double seat_speed_mean; // [m/s]
    double seat_energy;     // largest m v^2/2 at contact [J]
    double stop_rate;       // contacts with the upper stop [1/min]
    size_t seat_contacts;   // of the whole record
    size_t stop_contacts;
    size_t cycles;  // cycles seen after `from`
    size_t pattern; // cycles after which the motion repeats; 0: it does not
    bool periodic;  // the motion repeats
};

struct verdict_result {
    enum verdict verdict;
    bool decided; // the run may stop here; a longer record would say the same
    char reason[200];
    struct verdict_figures figures;
};

// Whether a plug that stays on its seat is stuck there: the pressure, less the set pressure [Pa],
// is past it on the side on which the regulator opens, by more than its share of the scale [Pa].
// Above it a back-pressure regulator opens (`opens_above`), below it a reducing one.
bool verdict_is_stuck(double offset, double scale, bool opens_above,
                      const struct verdict_limits *limits);

// Judge the record so far. Returns false when the input cannot be judged (a sample that is not a
// number, no travel or pressure scale, times out of order): the verdict is then undecided and the
// reason says what is wrong.
bool verdict_judge(const struct verdict_input *input, const struct verdict_limits *limits,
                   struct verdict_result *result);
