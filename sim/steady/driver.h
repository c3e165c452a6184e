// SPDX-License-Identifier: MIT
// What drives an oscillation: how fast it grows with one thing frozen at a time. The point of rest
// stays as it is; only the linear system about it is another. Does not simulate.
#pragma once

#include "steady/steadiness.h"

enum driver {
    DRIVER_NONE,         // nothing frozen
    DRIVER_FORCE_TRAVEL, // the push of the flow on the plug does not change with travel, dF/dx = 0
    DRIVER_FORCE_PRESSURE, // the same push does not change with pressure, dF/dp = 0
    DRIVER_CHAMBER_LAG,    // the loading chamber fills and empties at once
    DRIVER_SENSE_LAG,      // the held pressure is sensed at once
    DRIVER_SUPPLY_LAG,     // the pilot's supply line gives at once what it gives in the end
    DRIVER_SWEPT_VOLUME,   // moving parts displace no gas or liquid
    DRIVER_PILOT_INERTIA,  // the pilot has no mass
    DRIVER_PILOT_FEEDBACK, // the chamber pressure does not push back on the pilot
    DRIVER_PILOT_GAIN,     // the pilot stands still
    DRIVER_SEAT_LAND,      // the seat has no land
    DRIVER_HALF_GAIN,      // the flow through the trim changes half as much with travel
    DRIVER_CAPACITY_GAIN,  // ... and not at all: this opens the loop, so nothing can swing. Not a
                           // cause among others, but the check that the loop is what swings
    DRIVER_COUNT
};

// How each is frozen, J being the Jacobian of linearise.h with rows of rates and columns of states:
// * FORCE_TRAVEL: dF/dx at constant pressures, over the moving mass, is taken from J[speed,travel].
// * FORCE_PRESSURE: the rest of the force's gradient, over the moving mass, from row J[speed,.].
// * CHAMBER_LAG, SUPPLY_LAG: the states of the chamber, or of the line, are eliminated, their rates
//   set to zero.
// * SENSE_LAG, SWEPT_VOLUME, PILOT_INERTIA, SEAT_LAND: the regulator itself is changed (ideal sense
//   passage, no swept volume, massless pilot, a land of no width), at the same point of rest.
// * PILOT_FEEDBACK: the gradient of the chamber pressure times the feedback area, over the pilot's
//   mass (its damping when massless), is added to the row of the pilot's speed (its travel).
// * PILOT_GAIN: the pilot's rows and columns are left out.
// * CAPACITY_GAIN: the change of the flow through the trim with travel at constant pressures is
//   taken from column travel of all masses and energies; HALF_GAIN: half of that.
struct driver_growth {
    bool applies;     // the build has such a thing; if not, nothing else is set
    bool swings;      // false: nothing grows, and no oscillation within ten times the frequency of
                      // the untouched one is left
    double growth;    // [1/s]; NaN unless it swings
    double frequency; // [Hz]; 0: it runs away without swinging; NaN unless it swings
};

// Fill one result for each driver at a flow [kg/s]. The oscillation followed is steadiness_swing;
// with something frozen it is the fastest-growing mode if any grows, else the slowest-decaying
// oscillation near its frequency. Returns false without an open point of rest or any oscillation.
bool driver_find(const struct steadiness *subject, double flow,
                 struct driver_growth growth[DRIVER_COUNT]);

// One word for tables, such as "chamber-lag", and plain words that go on from "if", such as
// "the chamber filled and emptied at once".
const char *driver_name(enum driver driver);
const char *driver_words(enum driver driver);
