// SPDX-License-Identifier: MIT
// Derivation. A loss coefficient K at the area a of the body's bore means dp = K rho v^2/2 with
// v = w/(rho a), so that a valve alone has
//     w = A_v sqrt(rho dp)    ->    K_v = 2 a^2/A_v^2.
//
//          D1  \        / D2       reducer   K_1 = (1 - (d/D1)^2)^2/2
//     ==========\______/=====      expander  K_2 = (1 - (d/D2)^2)^2
//      ->        | d  |            speed     B_i = 1 - (d/D_i)^4, taken up before and given back
//     ==========/~~~~~~\=====                behind: K = K_1 + K_2 + B_1 - B_2
//
// The losses add, hence FP = sqrt(K_v/(K_v + K)) = 1/sqrt(1 + K A_v^2/(2 a^2)). The standard writes
// (C/d^2)^2/N2 for A_v^2/(2 a^2).
//
// Where the trim chokes, it passes w^2 = (4/9) F_gamma xT A_v^2 p1' rho1', p1' being the pressure
// behind the reducer. That lies lower by e p1 with e = (4/9) xT K_i A_v^2/(2 a^2), K_i = K_1 + B_1
// (air, F_gamma 1), and the density with it, so that w^2 falls to 1/(1 + 2 e). Written for the
// pressures before and behind the fittings and with FP beside A_v, that is
//     xTP = (xT/FP^2)/(1 + 2 e):
// N5 of the standard is 9/8 of its N2. In the same way FLP = FL/sqrt(1 + FL^2 K_i A_v^2/(2 a^2)).
#include "fittings.h"

#include <math.h>

#define QUARTER_PI 0.7853981633974483

static double share(double body, double pipe) {
    double ratio = pipe > body ? body / pipe : 1.0;
    return ratio * ratio;
}

// K_1 + B_1
static double inlet_coefficient(double area_ratio) {
    double step = 1.0 - area_ratio;
    return 0.5 * step * step + (1.0 - area_ratio * area_ratio);
}

double fittings_loss_coefficient(const struct fittings_parameters *p) {
    if (p->body <= 0.0) {
        return 0.0;
    }
    double before = share(p->body, p->inlet), behind = share(p->body, p->outlet);
    double step = 1.0 - behind;
    return inlet_coefficient(before) + step * step - (1.0 - behind * behind);
}

struct fittings fittings_prepare(const struct fittings_parameters *p) {
    if (p->body <= 0.0) {
        return (struct fittings){0.0, 0.0};
    }
    double area = QUARTER_PI * p->body * p->body, scale = 1.0 / (2.0 * area * area);
    return (struct fittings){fittings_loss_coefficient(p) * scale,
                             inlet_coefficient(share(p->body, p->inlet)) * scale};
}

double fittings_piping_factor(const struct fittings *fittings, double area) {
    return 1.0 / sqrt(1.0 + fittings->loss * area * area);
}

double fittings_choking_ratio(const struct fittings *fittings, double area, double choking_ratio) {
    double square = area * area;
    return choking_ratio * (1.0 + fittings->loss * square) /
           (1.0 + 8.0 / 9.0 * choking_ratio * fittings->inlet * square);
}

double fittings_recovery(const struct fittings *fittings, double area, double recovery_factor) {
    return recovery_factor /
           sqrt(1.0 + recovery_factor * recovery_factor * fittings->inlet * area * area);
}
