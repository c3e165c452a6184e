// SPDX-License-Identifier: MIT
// One trim at one flow: where it rests, and what a kick does. Costs simulations.
#pragma once

#include "judge/verdict.h"
#include "steady/steadiness.h"

struct trim_point {
    double opening;       // at rest, share of travel; NaN without a point of rest
    double pressure;      // at rest, absolute [Pa]; NaN likewise
    enum verdict verdict; // the worse of a kick up and the same kick down
    double swing;         // of the pressure, the larger of the two runs [Pa]; NaN without a run
};

// At a flow [kg/s], kicked [Pa] both ways. Where nothing open is there to kick, the verdict says
// how it rests.
struct trim_point trim_point_at(const struct steadiness *subject, double flow, double kick);

// In one word, what a flow at which the trim does not stand the kick [Pa] leads to: the first of a
// kick up and one down that does not come to rest. Cheaper than the above: no run is tried twice;
// one that ends on the seat, however slowly the pressure still moves, is VERDICT_SHUT.
enum verdict trim_point_trouble(const struct steadiness *subject, double flow, double kick);

// Verdict of a case as it stands, with pressure swing [Pa] and seat contacts [1/min]. An undecided
// run is tried once more, four times as long.
enum verdict trim_point_run(const struct scenario_case *scenario, double *swing, double *seat_rate);
