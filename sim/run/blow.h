// SPDX-License-Identifier: MIT
// How bad a blow on the seat is: its peak force against the load with which the plug rests there
// when shut. Below that load it is hardly heard, whatever the verdict is called.
#pragma once

#include "run/simulate.h"

enum blow {
    BLOW_NONE,   // the seat is not touched, or rests without load
    BLOW_TOUCH,  // lighter than the load at rest
    BLOW_BLOW,   // heavier
    BLOW_HAMMER, // many times as heavy
};

// Load on the seat with the plug shut and still [N]: drop times port area, spring and weight, with
// the pressure a tenth to the closing side and the chamber exhausted (regulator_static.h); NaN when
// it cannot shut.
double blow_load(const struct simulation *simulation);

// Peak force of the hardest contact judged over that load [-]; NaN without a contact.
double blow_share(const struct simulation *simulation);

enum blow blow_grade(const struct simulation *simulation);

// "touch", "blow", "hammer"; "" for none.
const char *blow_name(enum blow blow);

// Largest approach speed of the whole run, the first kick too [m/s]; NaN without a contact.
double blow_fastest(const struct simulation *simulation);

// Share of the time that the plug spends on its seat in the part that is judged [-].
double blow_seated(const struct simulation *simulation);

// Says in the reason of a slamming or chattering run what its blows are.
void blow_say(struct simulation *simulation);
