// SPDX-License-Identifier: MIT
// Regulators drawn at random, and one that has several points of rest, for the tests of rest.
#pragma once

#include "fixtures.h"
#include "support.h"

#include "solve/equilibrium.h"

// Factor from 1/spread to spread, even in its logarithm.
static inline double build_factor(unsigned long long *seed, double spread) {
    return exp(log(spread) * (2.0 * fixture_random(seed) - 1.0));
}

// A direct-acting valve whose port is larger than its diaphragm, and whose flow pushes the plug
// shut: a bathtub stopper. It rests shut on its leak, however high the pressure, or far open.
static inline struct regulator_parameters build_stopper(double flow) {
    struct regulator_parameters p = fixture_pilot_gas(0.03, 0.0);
    p.actuation = ACTUATION_DIRECT;
    p.sense = (struct sense_parameters){.passage = SENSE_IDEAL};
    p.actuator.chamber.volume = 0.0;
    p.actuator.spring_rate = 1.1e4;
    p.actuator.diaphragm_area = 6e-4;
    p.actuator.case_reference = REFERENCE_ATMOSPHERE;
    p.trim.rated_travel = 0.008;
    p.trim.seat_leak = 0.1;
    p.trim.seat_land = 0.0;
    p.actuator.preload = 100.0;
    p.set_is_force = true; // the preload, and not the pressure at which it cracks
    p.boundary = schedule_constant(101325.0);
    p.flow = schedule_constant(flow);
    return p;
}

static inline struct regulator_parameters build_random(unsigned long long *seed) {
    bool any = fixture_random(seed) < 0.6;
    struct regulator_parameters p =
        any ? fixture_variant((int)(FIXTURE_VARIANTS * fixture_random(seed))) : build_stopper(0.4);
    double spread = any ? 2.5 : 1.03; // the second is delicate
    double *const scaled[] = {
        &p.trim.port_diameter,   &p.trim.rated_travel,     &p.trim.seat_land,
        &p.actuator.spring_rate, &p.actuator.preload,      &p.actuator.diaphragm_area,
        &p.pilot.feedback_area,  &p.pilot.supply_diameter, &p.pilot.bleed_diameter,
        &p.pilot.spring_rate,    &p.pilot.diaphragm_area,  &p.flow.base};
    for (size_t i = 0; i < sizeof scaled / sizeof scaled[0]; i++) {
        *scaled[i] *= build_factor(seed, spread);
    }
    p.trim.direction = any && fixture_random(seed) < 0.4 ? TRIM_FLOW_TO_OPEN : TRIM_FLOW_TO_CLOSE;
    p.trim.balance = any && fixture_random(seed) < 0.4 ? 0.9 : 0.0;
    return p;
}

static inline struct equilibria build_find(struct regulator *r,
                                           const struct regulator_parameters *p) {
    regulator_prepare(r, p);
    struct regulator_mode mode = regulator_mode_at(r, 0.0);
    return equilibrium_find(r, &mode, 0.0);
}
