// SPDX-License-Identifier: MIT
#include "run/start.h"

#include <math.h>
#include <string.h>

// Pressures of a regulator that has been shut in: the controlled volume at the stated pressure,
// chamber exhausted, everything else at its boundary.
static void shut_pressures(const struct regulator *r, const struct regulator_mode *mode,
                           double controlled, double pressure[NODE_COUNT]) {
    const struct regulator_parameters *p = &r->parameters;
    bool back = p->duty == DUTY_BACK_PRESSURE;
    double boundary = schedule_value(&p->boundary, mode->boundary_piece, 0.0);
    for (int n = 0; n < NODE_COUNT; n++) {
        pressure[n] = controlled;
    }
    double downstream = back ? boundary : controlled;
    double exhaust = p->pilot.exhaust_to == REFERENCE_ATMOSPHERE ? p->atmosphere : downstream;
    pressure[NODE_DOWNSTREAM] = downstream;
    pressure[NODE_INLET] = back ? controlled : boundary;
    pressure[NODE_OUTLET] = downstream;
    pressure[NODE_CHAMBER] = exhaust;
    pressure[NODE_CASE] =
        p->actuator.case_reference == REFERENCE_ATMOSPHERE ? p->atmosphere : downstream;
    pressure[NODE_SUPPLY] = p->pilot.supply_from == SUPPLY_STATED ? p->pilot_supply_pressure
                            : back                                ? controlled
                                                                  : boundary;
    pressure[NODE_FEED] = pressure[NODE_SUPPLY];
}

// On a rigid seat a plug that is pushed shut starts held there.
static void hold_if_shut(struct start *s) {
    const struct regulator *r = &s->regulator;
    struct regulator_observation o;
    if (r->parameters.actuator.seat.law == CONTACT_RIGID && s->state[r->layout.travel] <= 0.0 &&
        regulator_observe(r, &s->mode, 0.0, s->state, &o) == 0 && o.free_force <= 0.0) {
        s->mode.plug = HOLD_LOW;
    }
    if (r->parameters.actuator.stop.law == CONTACT_RIGID &&
        s->state[r->layout.travel] >= r->parameters.trim.rated_travel &&
        regulator_observe(r, &s->mode, 0.0, s->state, &o) == 0 && o.free_force >= 0.0) {
        s->mode.plug = HOLD_HIGH;
    }
    if (!r->has_pilot || r->parameters.pilot.stops.law != CONTACT_RIGID) {
        return;
    }
    double lift = s->state[r->layout.pilot_travel];
    if (regulator_observe(r, &s->mode, 0.0, s->state, &o) != 0) {
        return;
    }
    if (lift <= 0.0 && o.pilot_free_force <= 0.0) {
        s->mode.pilot = HOLD_LOW;
    } else if (lift >= r->parameters.pilot.travel && o.pilot_free_force >= 0.0) {
        s->mode.pilot = HOLD_HIGH;
    }
}

static double last_break(const struct schedule *schedule) {
    switch (schedule->kind) {
    case SCHEDULE_POINTS:
        return fmax(0.0, schedule->time[schedule->count - 1]);
    case SCHEDULE_SLUG:
    case SCHEDULE_SINE:
        return fmax(0.0, schedule->start);
    case SCHEDULE_CONSTANT:
        break;
    }
    return 0.0;
}

// `from` is the point of rest started from; NULL: shut in, or there is none.
static void place(struct start *s, const struct scenario_case *scenario,
                  const struct equilibrium *from) {
    const struct regulator *r = &s->regulator;
    const struct start_options *o = &scenario->start;
    double pressure[NODE_COUNT], travel = 0.0, lift = 0.0;
    if (from) {
        memcpy(pressure, from->pressure, sizeof pressure);
        travel = from->travel;
        lift = from->pilot_travel;
    } else {
        shut_pressures(r, &s->mode, o->from == START_SHUT ? o->pressure : scenario->set_pressure,
                       pressure);
    }
    pressure[NODE_CONTROLLED] += o->kick_pressure;
    double rated = r->parameters.trim.rated_travel;
    travel += o->kick_travel * rated;
    if (r->parameters.actuator.seat.law != CONTACT_NONE) {
        travel = fmax(travel, 0.0);
    }
    if (r->parameters.actuator.stop.law != CONTACT_NONE) {
        travel = fmin(travel, rated);
    }
    struct regulator_rest rest = {travel, lift, pressure};
    if (from) {
        regulator_rest_state_flowing(r, &s->mode, 0.0, &rest, from->line_flow, s->state);
    } else {
        regulator_rest_state(r, &s->mode, 0.0, &rest, s->state);
    }
}

enum start_outcome start_prepare(const struct scenario_case *scenario, struct start *out) {
    memset(out, 0, sizeof *out);
    enum start_outcome outcome = START_READY;
    regulator_prepare(&out->regulator, &scenario->model);
    out->mode = regulator_mode_at(&out->regulator, 0.0);
    if (scenario->set_at_flow) {
        double offset = regulator_static_set_offset(&out->regulator, &out->mode, 0.0);
        if (isfinite(offset)) {
            struct regulator_parameters set = scenario->model;
            set.set_offset = offset;
            const struct nozzle nozzle = out->regulator.nozzle;
            regulator_prepare_with(&out->regulator, &set, &nozzle);
        } else { // all the same a run can show what happens with the screw where it cracks
            outcome = START_SET_OUT_OF_REACH;
        }
    }
    out->rest = equilibrium_find(&out->regulator, &out->mode, 0.0);
    const bool rests = scenario->start.from == START_EQUILIBRIUM;
    place(out, scenario, rests ? equilibrium_choose(&out->rest) : NULL);
    hold_if_shut(out);
    const struct regulator_parameters *p = &out->regulator.parameters;
    out->kick_end = fmax(fmax(last_break(&p->flow), last_break(&p->boundary)),
                         fmax(last_break(&p->set_point), last_break(&p->level)));
    return outcome;
}
