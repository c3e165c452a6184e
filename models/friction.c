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
