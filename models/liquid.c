// SPDX-License-Identifier: MIT
#include "liquid.h"

#include <math.h>

double liquid_critical_ratio_factor(const struct liquid_properties *liquid) {
    return 0.96 - 0.28 * sqrt(liquid->vapour_pressure / liquid->critical_pressure);
}

double liquid_wave_speed(double density, double bulk_modulus, double bore, double wall,
                         double youngs_modulus) {
    return sqrt(bulk_modulus / density / (1.0 + bulk_modulus * bore / (youngs_modulus * wall)));
}

double liquid_surge_pressure(double density, double wave_speed, double velocity) {
    return density * wave_speed * velocity;
}
