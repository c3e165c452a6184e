// SPDX-License-Identifier: MIT
// Turning points of a signal, and the decay or growth of their swings. This is for oscillations
// whose size changes from one swing to the next; repeating motion is the matter of cycles.h.
#pragma once

#include "judge/series.h"
#include "judge/verdict_limits.h"

enum { TURNING_POINTS_MAX = 128 };

struct turning_points {
    size_t count;
    double time[TURNING_POINTS_MAX];  // ascending, between samples by a parabola [s]
    double value[TURNING_POINTS_MAX]; // alternating highs and lows [unit of the signal]
};

// The last turning points of a series, at most TURNING_POINTS_MAX. They are looked for from the
// end backward: a swing counts when it is larger than `floor` and than the share trend_ripple of
// the swing that follows it in time. A decaying oscillation is therefore followed back into its
// large swings, and a ripple on a large swing is not.
void turning_points_find(const struct series *series, double floor,
                         const struct verdict_limits *limits, struct turning_points *points);

// The swing at a turning point, measured to the mean of its two neighbours, which takes a
// straight drift of the middle line out. Valid for 0 < index < count - 1.
double turning_points_swing(const struct turning_points *points, size_t index);

struct trend {
    size_t swings;        // swings used; 0: fewer than three turning points, nothing else is set
    double rate;          // d ln(swing)/dt; negative decays [1/s]
    double early_rate;    // the same of the first half
    double late_rate;     // the same of the second half
    double scatter;       // root mean square of ln(swing) about the line [-]
    double change;        // change of ln(swing) over the swings used [-]
    double frequency;     // of the oscillation, two swings a period [Hz]
    double spacing;       // relative standard deviation of the times between turning points [-]
    double damping_ratio; // -rate/sqrt(rate^2 + omega^2); negative grows [-]
    double swing;         // swing that the line gives at `time` [unit of the signal]
    double time;          // of the last turning point [s]
    double start;         // of the first turning point used [s]
    double centre_change; // change of the middle line over the swings used [unit of the signal]
};

// Straight line through ln(swing) over time, of at most the last `swings_max` swings.
struct trend trend_find(const struct turning_points *points, size_t swings_max);
