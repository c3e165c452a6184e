// SPDX-License-Identifier: MIT
// The regulator at rest with the plug held at a given travel: what all pressures settle to, and the
// net force that is then left on the plug. A root of that force in travel is an equilibrium.
#pragma once

#include "regulator.h"
#include "root.h"

struct regulator_static {
    double travel;               // given [m]
    double pilot_travel;         // [m], within its stops
    double pressure[NODE_COUNT]; // [Pa]
    double sensed;               // [Pa]
    double flow;                 // through the controlled volume [kg/s]
    double force;                // net on the plug, opening positive [N]
    bool balanced;               // false: no pressure passes the flow at this travel
    bool pilot_at_stop;          // the pilot lies on one of its stops
};

// Everything at rest for a travel [m] at a time [s].
struct regulator_static regulator_static_at(const struct regulator *regulator,
                                            const struct regulator_mode *mode, double time,
                                            double travel);

// What a row of searches at neighbouring travels remembers, to start each from the one before. All
// zero bytes: nothing yet. Belongs to one regulator, mode and time.
struct regulator_static_memory {
    struct root_memory controlled, downstream, chamber, supply, flowline, inlet, outlet, feed;
    double travel[2], pressure[2]; // of the last two, newest first [m], [Pa]
    int known;                     // of those
    double sensed, chamber_gain;   // last sensed pressure [Pa], and chamber's change with it [-]
};

// The same as regulator_static_at but for rounding, several times faster along a row of travels.
struct regulator_static regulator_static_next(const struct regulator *regulator,
                                              const struct regulator_mode *mode, double time,
                                              double travel,
                                              struct regulator_static_memory *memory);

// Start a row of searches near a result known already; two results are better than one.
void regulator_static_remember(const struct regulator_static *known,
                               struct regulator_static_memory *memory);

// Net force on the shut plug [N] when the controlled pressure has moved to the closing side, by 10
// % of how far the set pressure lies above or below the atmosphere (or of 1 % of the atmosphere,
// where that is more), and the chamber is exhausted. Positive: this build cannot shut.
double regulator_static_shut_force(const struct regulator *regulator,
                                   const struct regulator_mode *mode, double time);

// Whether some travel passes the present flow at the set pressure, if only the plug got there.
// Where none does, the trim is too small (or the pilot alone passes more); where one does and the
// set pressure cannot be held, the actuator is too weak.
bool regulator_static_passes(const struct regulator *regulator, const struct regulator_mode *mode,
                             double time);

// Force that the set screw must add [N] so that the controlled pressure at rest is the set
// pressure at the present flow; NaN when no travel passes that flow at the set pressure, or the
// pilot cannot put the plug there.
double regulator_static_set_offset(const struct regulator *regulator,
                                   const struct regulator_mode *mode, double time);
