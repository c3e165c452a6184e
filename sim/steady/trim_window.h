// SPDX-License-Identifier: MIT
// The window of flows one trim can serve: the largest flow it passes, and from which flow up to
// which it is steady, left alone and kicked. A trim may have several windows: this is the one that
// holds the largest flow of interest, else the next above it. Built on sim/steady/steadiness.h;
// prints nothing.
#pragma once

#include "judge/verdict.h"
#include "steady/steadiness.h"

// The scenario's own first flow [kg/s].
double trim_window_own_flow(const struct scenario_case *scenario);

// Turn the set screw of a trim and hold the schedules, as steadiness_prepare does. Where no travel
// holds the set pressure at the scenario's own flow, it is turned at the half, the quarter ... down
// to `lowest` [kg/s], as it would be when such a trim is fitted later. Returns the flow at which it
// was turned [kg/s], or NaN.
double trim_window_prepare(const struct scenario_case *scenario, double lowest,
                           struct steadiness *out);

struct trim_window_search {
    double lowest;  // flow to look down to [kg/s]
    double upper;   // largest flow of interest [kg/s]
    double ceiling; // flow to look up to [kg/s]
    double limit;   // of the pressure, absolute [Pa]; NaN: none
    double kick;    // [Pa]; 0: left alone
    bool brief; // without the reasons why it ends, and look further down only where none is found
};

struct trim_window {
    enum steadiness_bound bound; // what ends the flow passed
    double largest;              // flow passed [kg/s]; NaN: not even the lowest
    double travel, pressure;     // there [m], [Pa]
    double top;                  // upper end of the window [kg/s]; below `largest` if the trim is
                                 // unsteady again before that
    enum steadiness_range settled_range, kicked_range;
    double settled, kicked; // lowest steady flow, left alone and kicked [kg/s]; NaN: none
    enum verdict below_settled, below_kicked; // what a kick leads to a little below these two;
                                              // without meaning at `looked_at` and below
    double again;     // highest flow below the window from which down it stands the kick again, to
                      // a third [kg/s]; NaN: none
    double looked_at; // lowest flow of the search [kg/s]
};

enum { TRIM_WINDOW_NUMBERS = 13 };

struct trim_window trim_window_find(const struct steadiness *subject,
                                    const struct trim_window_search *search);

// A window of nothing, for a trim that cannot even hold its set pressure.
struct trim_window trim_window_none(const struct trim_window_search *search);

// What both windows have in common: the regulator must serve the flows at either of two pressures.
struct trim_window trim_window_common(const struct trim_window *a, const struct trim_window *b);

// What a kick a little below the lowest steady flow, kicked or left alone, leads to in a few words,
// such as "hunting"; NULL where there is no such end.
const char *trim_window_below(const struct trim_window *window, bool kicked);
const char *trim_window_reason(enum verdict verdict);

// What "passes a flow" means: within the share of travel and, where one is given, the limit.
const char *trim_window_bounds(bool limited);

// To and from a row of numbers, as a study hands results over.
void trim_window_pack(const struct trim_window *window, double number[TRIM_WINDOW_NUMBERS]);
struct trim_window trim_window_unpack(const double number[TRIM_WINDOW_NUMBERS]);

// The kick that a trim must stand: the size of the scenario's own, or 2 % of the set pressure above
// atmosphere, as a run takes it, where it asks for none [Pa].
double trim_window_kick(const struct scenario_case *scenario);
