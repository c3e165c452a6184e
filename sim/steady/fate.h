// SPDX-License-Identifier: MIT
// What will become of the swing after a kick, told from its crests while the run goes on. Judges
// nothing: it says whether the run has to go on before it is known that the swing lives.
//
// Why that can be known early: some swings after a kick all faster motions have died out, and what
// is left is one oscillation whose size alone says how it goes on, d(size)/dt = f(size). Such a
// size never turns round: once it grows it grows until it meets a cycle that lives, or the seat.
// A fall tells nothing, not even one that gathers pace: there may be a smaller cycle below, which
// dry friction makes, and which is seen only when it is reached.
#pragma once

#include "judge/series.h"

#include <stdbool.h>
#include <stddef.h>

// Crests and troughs that are kept.
enum { FATE_CRESTS = 12 };

struct fate_watch {
    double floor; // smallest swing that makes a crest [Pa]
    double least; // size from which on a swing may be growing [Pa]
    // The last crests and troughs in turn
    size_t count;
    double value[FATE_CRESTS]; // [Pa]
    double largest;            // size of those no longer kept [Pa]
    size_t gone;               // how many of them
    // Where the search stands
    size_t seen;      // samples looked at
    size_t high, low; // samples that are the candidates
    int direction;    // +1: a crest is looked for, -1: a trough, 0: either
    double threshold; // how far it must have come back [Pa]
};

// Of a run that begins with a kick of the pressure [Pa; of either sign]; `rest` is the swing that
// counts as rest [Pa].
struct fate_watch fate_begin(double rest, double kick);

// Look at what has been added to a growing record of the pressure [Pa], from its first sample on:
// whether the swing lives, growing from cycle to cycle beyond every size it had. Once it is told,
// ask no more.
bool fate_lives(struct fate_watch *watch, const struct series *pressure);
