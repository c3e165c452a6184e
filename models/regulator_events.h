// SPDX-License-Identifier: MIT
// What can happen to a regulator between smooth motions. One function alone changes the state or
// the mode discontinuously.
#pragma once

#include "regulator.h"

enum regulator_guard {
    GUARD_SEAT,       // contact with the seat, or lift from it
    GUARD_STOP,       // contact with the upper stop, or leaving it
    GUARD_REVERSAL,   // plug speed passes zero: an extreme of travel; also catches grazing contact
    GUARD_PILOT_LOW,  // pilot shuts or lifts
    GUARD_PILOT_HIGH, // pilot reaches its stop or leaves it
    GUARD_COUNT,
};

enum regulator_event {
    EVENT_NONE,
    EVENT_SEAT_CONTACT,
    EVENT_SEAT_HELD, // contact after which the plug stays on the seat
    EVENT_SEAT_LIFT,
    EVENT_STOP_CONTACT,
    EVENT_STOP_HELD,
    EVENT_STOP_LEAVE,
    EVENT_TRAVEL_REVERSAL,
    EVENT_PILOT_SHUT,
    EVENT_PILOT_LIFT,
    EVENT_PILOT_STOP,
    EVENT_PILOT_LEAVE,
};

struct regulator_transition {
    enum regulator_event event;
    bool changed;          // state or mode jumped: the integration must restart
    double approach_speed; // of a contact [m/s]
    double rebound_speed;  // [m/s]
};

// Guard values, each O(1) and finite for any state. Every guard but REVERSAL fires when it falls
// through zero; REVERSAL fires either way.
void regulator_guards(const struct regulator *regulator, const struct regulator_mode *mode,
                      double time, const double *state, double guard[GUARD_COUNT]);

// Carry out what a guard that fired means: snap to the stop, rebound, hold or release.
struct regulator_transition regulator_transition(const struct regulator *regulator,
                                                 struct regulator_mode *mode, double time,
                                                 double *state, enum regulator_guard guard);

// Whether a rigid seat or stop has been passed without an event (a contact that began exactly at
// a restart); returns the guard to apply, or GUARD_COUNT.
enum regulator_guard regulator_penetration(const struct regulator *regulator,
                                           const struct regulator_mode *mode, const double *state);

const char *regulator_event_name(enum regulator_event event);
