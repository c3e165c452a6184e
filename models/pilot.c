// SPDX-License-Identifier: MIT
#include "pilot.h"

#include <math.h>

double pilot_seat_area(double diameter, double lift) {
    if (lift <= 0.0 || diameter <= 0.0) {
        return 0.0;
    }
    double s = 4.0 * lift / diameter;
    return 0.7853981633974483 * diameter * diameter * s / sqrt(1.0 + s * s);
}

double pilot_force(const struct pilot_forces *pilot, const struct pilot_pressures *p,
                   double set_force, double lift) {
    return pilot->sign * ((p->sensed - p->atmosphere) * pilot->diaphragm_area - set_force) -
           (p->chamber - p->exhaust) * pilot->feedback_area - pilot->spring_rate * lift +
           (p->supply - p->chamber) * pilot->unbalance_area;
}
