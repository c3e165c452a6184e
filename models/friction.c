// SPDX-License-Identifier: MIT
#include "friction.h"

#include <math.h>

struct friction_result friction_lugre(const struct friction_parameters *friction, double speed,
                                      double bristle) {
    // dz/dt = v - sigma0 |v| z/g(v),  g(v) = Fc + (Fs - Fc) exp(-(v/vs)^2),
    // F = sigma0 z + sigma1 dz/dt + sigma2 v: equations 2 to 4 of the paper named in the header.
    double ratio = speed / friction->stribeck_speed;
    double square = ratio * ratio;
    double level = friction->kinetic_force;
    if (square < 40.0) { // beyond, the Stribeck term is below rounding
        level += (friction->static_force - friction->kinetic_force) * exp(-square);
    }
    double elastic = friction->bristle_stiffness * bristle;
    double rate = speed - fabs(speed) * elastic / level;
    return (struct friction_result){
        .force = elastic + friction->bristle_damping * rate + friction->viscous * speed,
        .bristle_rate = rate,
    };
}

void friction_lugre_slopes(const struct friction_parameters *friction, double speed, double bristle,
                           double slope[2]) {
    double ratio = speed / friction->stribeck_speed, square = ratio * ratio;
    double level = friction->kinetic_force, level_slope = 0.0;
    if (square < 40.0) {
        double more = (friction->static_force - friction->kinetic_force) * exp(-square);
        level += more;
        level_slope = -2.0 * ratio / friction->stribeck_speed * more;
    }
    double bent = friction->bristle_stiffness / level, share = bent * bristle;
    double side = speed < 0.0 ? -1.0 : 1.0;
    slope[0] = 1.0 - side * share + fabs(speed) * share * level_slope / level;
    slope[1] = -fabs(speed) * bent;
}
