// SPDX-License-Identifier: MIT
#include "damper.h"

#include <math.h>

#define QUARTER_PI 0.7853981633974483

double damper_fill(const struct oil_damper_parameters *oil) {
    if (oil->displaced_area <= 0.0) {
        return 0.0;
    }
    return fmin(fmax(oil->level / oil->hole_diameter, 0.0), 1.0);
}

double damper_oil_force(const struct oil_damper_parameters *oil, double speed) {
    double fill = damper_fill(oil);
    if (fill == 0.0) {
        return 0.0;
    }
    double d = oil->hole_diameter;
    double u = speed * oil->displaced_area / (QUARTER_PI * d * d);
    double laminar = 32.0 * oil->oil_viscosity * oil->hole_length * u / (d * d);
    double entrance = oil->oil_density * u * fabs(u) / (2.0 * oil->discharge * oil->discharge);
    return fill * oil->displaced_area * (laminar + entrance);
}

double damper_oil_mass(const struct oil_damper_parameters *oil) {
    double fill = damper_fill(oil);
    if (fill == 0.0) {
        return 0.0;
    }
    double hole = QUARTER_PI * oil->hole_diameter * oil->hole_diameter;
    return fill * oil->oil_density * oil->hole_length * oil->displaced_area * oil->displaced_area /
           hole;
}

double damper_oil_slope(const struct oil_damper_parameters *oil, double speed) {
    double fill = damper_fill(oil);
    if (fill == 0.0) {
        return 0.0;
    }
    double d = oil->hole_diameter;
    double per_speed = oil->displaced_area / (QUARTER_PI * d * d);
    double laminar = 32.0 * oil->oil_viscosity * oil->hole_length / (d * d);
    double entrance =
        oil->oil_density * fabs(speed * per_speed) / (oil->discharge * oil->discharge);
    return fill * oil->displaced_area * (laminar + entrance) * per_speed;
}
