// SPDX-License-Identifier: MIT
// Strokes, build-up and droop of a regulator by hand, apart from the program's own equations: the
// chamber fills isothermally, the plug stays at balance, and holes are nozzles of a gas dynamics
// text.
#pragma once

#include "support.h"

#include "hardware/hardware.h"

#include <math.h>

// Pressures around the plug.
struct service {
    double up, down, out; // out: what case and pilot's exhaust see
};

// Isothermal quasi-static; the nozzle of a gas dynamics text, for a hole of area `hole` [m2].
static inline double nozzle(const struct regulator_parameters *m, double hole, double p1,
                            double p2) {
    if (p1 < p2) {
        return -nozzle(m, hole, p2, p1);
    }
    const double k = m->gas.exponent;
    const double r = fmax(p2 / p1, pow(2.0 / (k + 1.0), k / (k - 1.0)));
    const double rho = p1 * m->gas.molar_mass / (8.314462618 * m->temperature);
    return hole * sqrt(2.0 * k / (k - 1.0) * p1 * rho * (pow(r, 2.0 / k) - pow(r, 1.0 + 1.0 / k)));
}

static inline double disc(double diameter) {
    return 0.25 * 3.14159265358979 * diameter * diameter;
}

// Closing force of the drop on the plug: curtain and port in series.
static inline double plug_force(const struct regulator_parameters *m, const struct service *at,
                                double x) {
    const double s = 4.0 * x / m->trim.port_diameter;
    return (at->up - at->down) * disc(m->trim.port_diameter) / (1.0 + s * s);
}

// Chamber pressure that holds the plug at a travel; friction opposes with sign +1 when opening.
static inline double chamber(const struct regulator_parameters *m, const struct service *at,
                             double x, double friction) {
    const struct actuator_parameters *a = &m->actuator;
    return at->out +
           (a->preload + a->spring_rate * x + plug_force(m, at, x) + friction) / a->diaphragm_area;
}

static inline double seat_area(const struct regulator_parameters *m, double lift) {
    const double s = 4.0 * lift / m->pilot.supply_diameter;
    return m->pilot.supply_discharge * disc(m->pilot.supply_diameter) * s / sqrt(1.0 + s * s);
}

// Area by which the chamber empties with the pilot at a lift.
static inline double exhaust_area(const struct regulator_parameters *m, double lift) {
    const struct pilot_parameters *p = &m->pilot;
    double open = 1.0;
    if (p->exhaust == EXHAUST_THREE_WAY) {
        const double s = 4.0 * fmax(p->exhaust_lap - lift, 0.0) / p->bleed_diameter;
        open = s / sqrt(1.0 + s * s);
    }
    return p->bleed_discharge * disc(p->bleed_diameter) * open;
}

// Lift of the pilot that holds a chamber pressure.
static inline double lift_for(const struct regulator_parameters *m, const struct service *at,
                              double p) {
    double low = 0.0, high = m->pilot.travel;
    for (int i = 0; i < 60; i++) {
        const double y = 0.5 * (low + high);
        const double net =
            nozzle(m, seat_area(m, y), at->up, p) - nozzle(m, exhaust_area(m, y), p, at->out);
        *(net > 0.0 ? &high : &low) = y;
    }
    return high;
}

// Seconds of a full stroke with the pilot on its stop; infinite when it does not get there.
static inline double stroke(const struct regulator_parameters *m, const struct service *at,
                            bool opens) {
    enum { STEPS = 60 };
    const double friction = m->actuator.friction.kinetic_force * (opens ? 1.0 : -1.0);
    const double lift = opens ? m->pilot.travel : 0.0;
    const double molar = m->gas.molar_mass / (8.314462618 * m->temperature);
    double time = 0.0, before = 0.0;
    for (int i = 0; i <= STEPS; i++) {
        const double share = (double)i / STEPS,
                     x = m->trim.rated_travel * (opens ? share : 1 - share);
        const double p = chamber(m, at, x, friction);
        const double mass =
            p * molar * (m->actuator.chamber.volume + m->actuator.diaphragm_area * x);
        const double flow =
            nozzle(m, seat_area(m, lift), at->up, p) - nozzle(m, exhaust_area(m, lift), p, at->out);
        if (opens ? flow <= 0.0 : flow >= 0.0) {
            return (double)INFINITY;
        }
        time += i > 0 ? fmax((mass - before) / flow, 0.0) : 0.0;
        before = mass;
    }
    return time;
}

static inline bool opens_at_lowest(const struct regulator_parameters *m, double set) {
    const double static_force = m->actuator.friction.static_force;
    const double lowest = fmin(HARDWARE_LOWEST_SET, set);
    const struct service at = {m->atmosphere + lowest, m->atmosphere, m->atmosphere};
    for (int i = 0; i <= 20; i++) {
        const double p = chamber(m, &at, m->trim.rated_travel * i / 20.0, static_force);
        if (nozzle(m, seat_area(m, m->pilot.travel), at.up, p) <
            nozzle(m, exhaust_area(m, m->pilot.travel), p, at.out)) {
            return false;
        }
    }
    return true;
}

// Change of the held pressure from just open to fully open, share of the gauge set pressure.
static inline double build_up(const struct regulator_parameters *m, const struct service *at,
                              double set) {
    const double x = m->trim.rated_travel;
    if (m->actuation == ACTUATION_DIRECT) {
        const double relief = plug_force(m, at, 0.0) - plug_force(m, at, x);
        return (m->actuator.spring_rate * x - relief) / m->actuator.diaphragm_area / set;
    }
    const double shut = chamber(m, at, 0.0, 0.0), open = chamber(m, at, x, 0.0);
    const double lift = lift_for(m, at, open) - lift_for(m, at, shut);
    return (m->pilot.feedback_area * (open - shut) + m->pilot.spring_rate * lift) /
           m->pilot.diaphragm_area / set;
}
