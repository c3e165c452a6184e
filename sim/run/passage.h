// SPDX-License-Identifier: MIT
// What a run did between the steps of its schedules. Its verdict is of the time after the last one;
// a regulator that settles there may have hammered on the way.
#pragma once

#include "run/simulate.h"

struct passage {
    double from, to;              // of the schedules' pieces [s]
    struct verdict_result judged; // of that time alone
};

// The worst passage in which it kept moving by itself: hunting, irregular, slamming or chatter.
// False when there is none, or only what its verdict says already.
bool passage_worst(const struct simulation *simulation, struct passage *out);
