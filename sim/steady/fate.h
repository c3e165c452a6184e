// SPDX-License-Identifier: MIT
// What will become of the swing after a kick, told from its crests while the run goes on. Judges
// nothing: it says whether the run has to go on before it is known that the swing lives or dies.
//
// Why that can be known early: some swings after a kick all faster motions have died out, and what
// is left is one oscillation whose size alone says how it goes on, d(size)/dt = f(size). Such a
// size never turns round. Once it grows it grows until it meets a cycle that lives, or the seat;
// and one that falls faster and faster has the place behind it where it would have stayed.
#pragma once

#include "judge/series.h"

#include <stdbool.h>
#include <stddef.h>

enum fate {
    FATE_UNTOLD, // let it run on
    FATE_LIVES,  // grows from cycle to cycle, beyond every size it had
    FATE_DIES,   // falls faster with every cycle, and is at rest before the run ends
};

// Crests and troughs that are kept.
enum { FATE_CRESTS = 16 };

struct fate_watch {
    double floor; // smallest swing that makes a crest [Pa]
    double end;   // when the run ends [s]
    double least; // size from which on a swing may be growing [Pa]
    bool alone;   // nothing else swings near the same frequency
    // The last crests and troughs in turn
    size_t count;
    double time[FATE_CRESTS], value[FATE_CRESTS]; // [s], [Pa]
    double largest;                               // size of those no longer kept [Pa]
    size_t gone;                                  // how many of them
    // Where the search stands
    size_t seen;      // samples looked at
    size_t high, low; // samples that are the candidates
    int direction;    // +1: a crest is looked for, -1: a trough, 0: either
    double threshold; // how far it must have come back [Pa]
};

// Of a run that begins with a kick of the pressure [Pa; of either sign] and ends at a time [s]
// anyway; `rest` is the swing that counts as rest [Pa]. Where the swing is not alone, a fall may be
// a beat of two, and is not told.
struct fate_watch fate_begin(double rest, double kick, double end, bool alone);

// Look at what has been added to a growing record of the pressure [Pa], from its first sample on,
// with the last contact at a seat or stop [s; below 0: none]. Once it is told, ask no more.
enum fate fate_look(struct fate_watch *watch, const struct series *pressure, double contact);
