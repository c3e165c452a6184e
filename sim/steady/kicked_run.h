// SPDX-License-Identifier: MIT
// One run after a kick or a restart, and what it comes to: no longer than it takes to know.
#pragma once

#include "run/simulate.h"
#include "steady/steadiness.h"

struct kicked_run {
    struct simulation simulation; // to be freed
    enum steadiness_motion motion;
    enum verdict verdict; // undecided where it is only known that the swing lives
    bool foretold;        // it was closed because that is known
};

struct kicked_run_times {
    double first;  // what it takes in most cases [s]; it goes on to four times as long while that
                   // decides nothing, and so on up to the end of the case
    double period; // of the swing, which is looked at after each [s]; NaN: never
};

// A case that ends at four times the scenario's time.
void kicked_run(const struct scenario_case *begun, const struct kicked_run_times *times,
                struct kicked_run *out);

// Whether its motion hangs on nothing that came out just so far: a swing that has grown to nearly
// what counts after a kick [Pa].
bool kicked_run_is_sure(const struct kicked_run *run, double kick);
