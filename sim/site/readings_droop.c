// SPDX-License-Identifier: MIT
#include "site/readings_droop.h"

#include "models/regulator.h"
#include "models/root.h"
#include "steady/steadiness.h"

#include <math.h>

// Where "just open" and "fully open" are, share of the travel: off the seat's land, and short of
// the stop.
#define JUST_OPEN 0.01
#define FULLY_OPEN 0.99
// With back-pressure looked for up to so many times what it is set to hold above the line.
#define FAR_ABOVE 20.0

struct droop {
    struct regulator regulator;
    struct regulator_mode mode;
    double travel;
};

// Net force on the plug at a travel, nothing moving, with a controlled pressure.
static double force_at(void *context, double controlled) {
    const struct droop *d = context;
    const struct regulator *r = &d->regulator;
    const struct regulator_parameters *p = &r->parameters;
    const bool back = p->duty == DUTY_BACK_PRESSURE;
    const double boundary = schedule_value(&p->boundary, d->mode.boundary_piece, 0.0);
    double pressure[NODE_COUNT];
    double state[REGULATOR_STATES_MAX];
    for (int n = 0; n < NODE_COUNT; n++) {
        pressure[n] = controlled;
    }
    pressure[NODE_DOWNSTREAM] = pressure[NODE_OUTLET] = back ? boundary : controlled;
    pressure[NODE_INLET] = back ? controlled : boundary;
    pressure[NODE_CASE] = p->actuator.case_reference == REFERENCE_ATMOSPHERE
                              ? p->atmosphere
                              : pressure[NODE_DOWNSTREAM];
    regulator_rest_state(r, &d->mode, 0.0, &(struct regulator_rest){d->travel, 0.0, pressure},
                         state);
    struct regulator_observation seen;
    return regulator_observe(r, &d->mode, 0.0, state, &seen) == 0 ? seen.free_force : (double)NAN;
}

static double held_at(struct droop *d, const struct scenario_case *c, double share) {
    const double boundary = schedule_value(&c->model.boundary, 0, 0.0);
    const bool back = c->model.duty == DUTY_BACK_PRESSURE;
    const double low = back ? boundary : 1.0;
    const double high = back ? boundary + FAR_ABOVE * (c->set_pressure - boundary) : boundary;
    d->travel = share * c->model.trim.rated_travel;
    if (!((force_at(d, low) < 0.0) == back && (force_at(d, high) > 0.0) == back)) {
        return (double)NAN;
    }
    return root_bracketed(force_at, d, low, high, 1e-3);
}

double readings_droop(const struct scenario_case *resolved) {
    struct steadiness subject;
    struct droop d;
    steadiness_prepare(resolved, &subject);
    regulator_prepare_with(&d.regulator, &subject.held.model, &subject.nozzle);
    d.mode = regulator_mode_at(&d.regulator, 0.0);
    const double moved = held_at(&d, resolved, FULLY_OPEN) - held_at(&d, resolved, JUST_OPEN);
    return resolved->model.duty == DUTY_BACK_PRESSURE ? moved : -moved;
}
