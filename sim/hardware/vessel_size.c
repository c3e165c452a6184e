// SPDX-License-Identifier: MIT
#include "hardware/vessel_size.h"

#include <math.h>

double vessel_gas_space(const struct vessel_size *size, double level) {
    const double pi = acos(-1.0), radius = 0.5 * size->diameter;
    const double whole = pi * radius * radius * size->length;
    if (!size->horizontal) {
        return (1.0 - level) * whole;
    }
    // The gas is the segment above the level. It spans the angle 2a as seen from the axis, where
    // cos a is the height of the level over the axis in radii:
    //
    //        .-gas-.
    //       /__2a___\      area = (a - sin a cos a) R^2
    //      |    .    |
    //       \       /
    //        '-----'
    const double angle = acos(fmax(-1.0, fmin(1.0, 2.0 * level - 1.0)));
    return (angle - sin(angle) * cos(angle)) / pi * whole;
}
