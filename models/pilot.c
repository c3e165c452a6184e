// SPDX-License-Identifier: MIT
#include "pilot.h"

#include "either.h"
#include "root.h"

#include <math.h>
#include <stdbool.h>

#define EXHAUST_CORNER 0.02 // of the lap

double pilot_seat_area(double diameter, double lift) {
    if (lift <= 0.0 || diameter <= 0.0) {
        return 0.0;
    }
    double s = 4.0 * lift / diameter;
    return 0.7853981633974483 * diameter * diameter * s / sqrt(1.0 + s * s);
}

double pilot_exhaust_lift(double lap, double lift) {
    double corner = EXHAUST_CORNER * lap, open = lap - lift;
    if (open >= corner) {
        return open;
    }
    return open <= -corner ? 0.0 : (open + corner) * (open + corner) / (4.0 * corner);
}

// Share of its drop that an unbalanced flat seat feels at a lift: curtain and port in series, as
// under the plug, and as for a liquid (a gas differs by a few per cent).
static double seat_share(double diameter, double lift) {
    double s = diameter > 0.0 ? 4.0 * either_larger(lift, 0.0) / diameter : 0.0;
    return 1.0 / (1.0 + s * s);
}

//      p_sup  ->|supply seat|  chamber  |exhaust seat|-> p_exh
//                      [== member ==]                         y ->  opens the supply,
//               |<- y ->|            |<- lap - y ->|                shuts the exhaust
//
// One member stands in the chamber between two seats that face each other. At y = 0 it shuts the
// supply, at y = lap the exhaust; between, both are open and gas passes from supply to exhaust, and
// the chamber rests where both pass the same. For a liquid that is
//
//     p_ch = (a_s^2 p_sup + a_e^2 p_exh)/(a_s^2 + a_e^2),     a = Cd x seat area,
//
// for a gas with both seats choked p_ch = p_sup a_s/a_e. Each seat shields the member's end from
// the chamber: supply pressure pushes that end open, and the exhaust end, which lacks the chamber's
// pressure, is drawn towards its seat. Both push the same way, +y. The chamber's pressure turned on
// the exhaust seat thus works against the feedback area: an unbalanced exhaust seat makes the band
// narrower, and a pilot without feedback snap. `lap` must be above zero: with none the exhaust
// would be shut at every lift from the supply seat on, and the chamber could never empty.
double pilot_force(const struct pilot_forces *pilot, const struct pilot_pressures *p,
                   double set_force, double lift) {
    double exhaust_lift = pilot_exhaust_lift(pilot->lap, lift);
    return pilot->sign * ((p->sensed - p->atmosphere) * pilot->diaphragm_area - set_force) -
           (p->chamber - p->exhaust) * pilot->feedback_area - pilot->spring_rate * lift +
           (p->supply - p->chamber) * pilot->supply_area *
               seat_share(pilot->supply_diameter, lift) +
           (p->chamber - p->exhaust) * pilot->exhaust_area *
               seat_share(pilot->exhaust_diameter, exhaust_lift);
}

struct balance {
    const struct pilot_forces *pilot;
    const struct pilot_pressures *pressures;
    double set_force;
};

static double balance_miss(void *context, double lift) {
    const struct balance *b = context;
    return pilot_force(b->pilot, b->pressures, b->set_force, lift);
}

double pilot_rest_lift(const struct pilot_forces *pilot, const struct pilot_pressures *pressures,
                       double set_force, double travel) {
    struct balance b = {pilot, pressures, set_force};
    double shut = balance_miss(&b, 0.0);
    bool straight = pilot->supply_area == 0.0 && pilot->exhaust_area == 0.0;
    if (straight || shut <= 0.0) {
        return shut / pilot->spring_rate;
    }
    return balance_miss(&b, travel) >= 0.0 ? travel
                                           : root_bracketed(balance_miss, &b, 0.0, travel, 1e-16);
}

double pilot_seat_slope(double diameter, double lift) {
    if (lift <= 0.0 || diameter <= 0.0) {
        return 0.0;
    }
    double s = 4.0 * lift / diameter, square = 1.0 + s * s;
    return 3.141592653589793 * diameter / (square * sqrt(square));
}

double pilot_exhaust_slope(double lap, double lift) {
    double corner = EXHAUST_CORNER * lap, open = lap - lift;
    if (open >= corner) {
        return -1.0;
    }
    return open <= -corner ? 0.0 : -(open + corner) / (2.0 * corner);
}

static double seat_share_slope(double diameter, double lift) {
    if (diameter <= 0.0 || lift <= 0.0) {
        return 0.0;
    }
    double s = 4.0 * lift / diameter, square = 1.0 + s * s;
    return -2.0 * s / (square * square) * 4.0 / diameter;
}

struct pilot_slopes pilot_force_slopes(const struct pilot_forces *pilot,
                                       const struct pilot_pressures *p, double lift) {
    double exhaust_lift = pilot_exhaust_lift(pilot->lap, lift);
    double supply = pilot->supply_area * seat_share(pilot->supply_diameter, lift);
    double exhaust = pilot->exhaust_area * seat_share(pilot->exhaust_diameter, exhaust_lift);
    return (struct pilot_slopes){
        .sensed = pilot->sign * pilot->diaphragm_area,
        .chamber = -pilot->feedback_area - supply + exhaust,
        .exhaust = pilot->feedback_area - exhaust,
        .supply = supply,
        .lift = -pilot->spring_rate +
                (p->supply - p->chamber) * pilot->supply_area *
                    seat_share_slope(pilot->supply_diameter, lift) +
                (p->chamber - p->exhaust) * pilot->exhaust_area *
                    seat_share_slope(pilot->exhaust_diameter, exhaust_lift) *
                    pilot_exhaust_slope(pilot->lap, lift),
    };
}
