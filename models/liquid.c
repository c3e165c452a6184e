// SPDX-License-Identifier: MIT
#include "liquid.h"

#include <math.h>

double liquid_critical_ratio_factor(const struct liquid_properties *liquid) {
    return 0.96 - 0.28 * sqrt(liquid->vapour_pressure / liquid->critical_pressure);
}

double liquid_surge_pressure(double density, double wave_speed, double velocity) {
    return density * wave_speed * velocity;
}
