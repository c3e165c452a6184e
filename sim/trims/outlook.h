// SPDX-License-Identifier: MIT
// A declining flow against the window of flows that a trim can serve: when the trim begins to pass
// the flow, and when the flow leaves the window at its lower end. Plain numbers; simulates nothing.
#pragma once

#include "trims/decline.h"

// Flows of one trim [kg/s]. A lower end at or below `looked_at` was not found: the trim is steady
// down to the lowest flow looked at.
struct outlook_window {
    double largest;   // flow passed; NaN: none
    double settled;   // lowest steady flow, left alone; NaN: none
    double kicked;    // the same when kicked; NaN: none
    double looked_at; // lowest flow of the search
};

enum outlook_when {
    OUTLOOK_ON,      // on the date
    OUTLOOK_LATER,   // not up to the horizon
    OUTLOOK_NEVER,   // not as far down as was looked
    OUTLOOK_BEFORE,  // already passed
    OUTLOOK_NO_FLOW, // there is no such flow
};

struct outlook_crossing {
    enum outlook_when when;
    double years;       // of a crossing ahead, or behind within a record; NaN otherwise
    double early, late; // bounds of one ahead, of a fitted decline, infinite when open; else NaN
};

enum outlook_state {
    OUTLOOK_INSIDE,    // steady today even when kicked
    OUTLOOK_DELICATE,  // steady today only if left alone
    OUTLOOK_BELOW,     // the flow is already below what the trim is steady at
    OUTLOOK_TOO_SMALL, // the trim does not pass today's flow
    OUTLOOK_EMPTY,     // not steady at any flow it passes
};

struct outlook {
    enum outlook_state state;
    struct outlook_crossing passes;  // the rate falls to the largest flow passed
    struct outlook_crossing kicked;  // the rate falls to the lowest flow steady when kicked
    struct outlook_crossing settled; // ... and left alone
};

// Outlook of one window, up to a horizon [yr of the decline].
struct outlook outlook_of(const struct decline *decline, const struct outlook_window *window,
                          double horizon);

// "in its window", "steady only if left alone", "below its window", "does not pass the flow",
// "steady at no flow".
const char *outlook_state_name(enum outlook_state state);

// "on", "after the horizon", "never", "already", "no such flow".
const char *outlook_when_name(enum outlook_when when);
