// SPDX-License-Identifier: MIT
// Forces and accelerations of plug and pilot: Newton's law for each, along its own travel.
#include "evaluation.h"

#include "actuator.h"
#include "either.h"

#include <math.h>

// Mean pressure over the seat land [Pa]: the gap between the space over the plug and `middle`, the
// pressure under it.
static double land_pressure(const struct evaluation *e, int over, int under, double middle) {
    const struct regulator *r = e->regulator;
    struct flow_side above = e->side[over], below = e->side[under];
    bool inward = above.pressure >= middle;
    struct flow_side from = inward ? above : below;
    struct seat_flow flow = {.entry = either_larger(above.pressure, middle),
                             .exit = either_smaller(above.pressure, middle),
                             .density = from.density,
                             .critical_ratio = r->liquid ? 0.0 : r->nozzle.critical_ratio,
                             .inward = inward};
    if (!r->liquid) { // a gas that the port has throttled: one stagnation temperature
        flow.density *= flow.entry / from.pressure;
    }
    return seat_land_pressure(&r->seat, e->opening_travel, &flow);
}

//     stem   | |  p_atm outside            p_over   on all of the plug's upper side,
//        ====| |====  packing              p_middle under it, inside the land,
//            | |      p_over               p_land   over the land
//         ___|_|___
//        |__plug___|                       F = (p_middle - p_over) A_in
//     land |     | land                        + (p_land - p_over) A_land      balanced: (1 - b)
//          |port |    p_under                  + (p_over - p_atm) A_stem
double evaluation_fluid_force(const struct evaluation *e, int up, int down, double share) {
    const struct regulator *r = e->regulator;
    const struct trim_parameters *t = &r->parameters.trim;
    bool closes = t->direction == TRIM_FLOW_TO_CLOSE;
    int over = closes ? up : down, under = closes ? down : up;
    double above = e->side[over].pressure;
    double force = (above - r->parameters.atmosphere) * r->stem_area;
    if (t->force_law == TRIM_FORCE_BALANCED) {
        return force;
    }
    if (t->force_law == TRIM_FORCE_TABLE) {
        share =
            trim_table_value(&r->trim.parameters.force_table, e->opening_travel / t->rated_travel);
    }
    double drop = share * (above - e->side[under].pressure); // across the curtain
    double shuts = drop * r->seat.inner_area;
    if (r->seat.land_area > 0.0) {
        shuts += (above - land_pressure(e, over, under, above - drop)) * r->seat.land_area;
    }
    return force - shuts * (1.0 - t->balance);
}

double evaluation_set_force(const struct evaluation *e) {
    const struct regulator_parameters *p = &e->regulator->parameters;
    if (p->set_is_force) {
        return p->actuator.preload;
    }
    double set = schedule_value(&p->set_point, e->mode->set_piece, e->time);
    if (e->regulator->has_pilot) {
        return (set - p->atmosphere) * p->pilot.diaphragm_area + p->set_offset;
    }
    return (set - e->regulator->set_reference) * p->actuator.diaphragm_area + p->set_offset;
}

// Bristle and friction of one moving part; a held part neither creeps nor rubs.
static double friction(const struct friction_parameters *f, double speed, double bristle,
                       bool present, bool held, double *bristle_rate) {
    *bristle_rate = 0.0;
    if (held) {
        return 0.0;
    }
    if (!present) {
        return f->viscous * speed;
    }
    struct friction_result result = friction_lugre(f, speed, bristle);
    *bristle_rate = result.bristle_rate;
    return result.force;
}

// A springy seat below travel 0 pushes back up, a springy stop beyond the end pushes back down;
// each only while it is touched, and never pulls. Rigid ones are no force but a jump
// (regulator_events).
static double compliant_contact(const struct contact_parameters *seat,
                                const struct contact_parameters *stop, double travel, double speed,
                                double end) {
    double force = 0.0;
    if (seat->law == CONTACT_COMPLIANT && travel < 0.0) {
        force += contact_force(seat, -travel, -speed);
    }
    if (stop->law == CONTACT_COMPLIANT && travel > end) {
        force -= contact_force(stop, travel - end, speed);
    }
    return force;
}

//         p_case                     free = sigma_a (p_l - p_case) A(x)      diaphragm
//      ___________  spring                  - sigma_s F0 - k x                main spring
//     |   /////   |                         + F_fluid + weight
//     |===========| diaphragm        m dv/dt = free - friction - c v - oil + contact
//     |___________| p_l              dx/dt = v
//           | stem, friction
//           |                        p_l is the chamber's pressure, or the sensed one
//         plug  x up: open           when direct; F0 lies on the spring's own side.
//
// Opening always costs k x: it squeezes a spring that closes the plug and slackens one that opens
// it.
double evaluation_plug_force(const struct evaluation *e, double fluid_force, double sensed) {
    const struct regulator *r = e->regulator;
    const struct actuator_parameters *a = &r->parameters.actuator;
    double rated = r->parameters.trim.rated_travel;
    double loading = r->has_pilot ? e->side[r->source[NODE_CHAMBER]].pressure : sensed;
    double area = actuator_area(a->diaphragm_area, a->area_loss, rated, e->travel);
    double preload = r->has_pilot ? a->preload : evaluation_set_force(e);
    return r->action * (loading - e->side[r->source[NODE_CASE]].pressure) * area -
           r->spring_side * preload - a->spring_rate * e->travel + fluid_force + r->weight;
}

// A held plug has speed and acceleration zero: seat or stop take up what is left, so that contact =
// -free. Behind a backlash b the plug at x_p follows the actuator at x when one of two faces
// touches:
//     x - x_p < 0: pushed shut,    x - x_p > b: pulled open,    between: left where it is.
void evaluation_plug(struct evaluation *e, double fluid_force, double sensed, double *rate) {
    const struct regulator *r = e->regulator;
    const struct actuator_parameters *a = &r->parameters.actuator;
    const struct regulator_layout *l = &r->layout;
    double rated = r->parameters.trim.rated_travel;
    double free = evaluation_plug_force(e, fluid_force, sensed);
    bool held = e->mode->plug != HOLD_FREE;
    double bristle_rate;
    double rubbing = friction(&a->friction, e->speed, l->bristle >= 0 ? e->state[l->bristle] : 0.0,
                              r->has_friction, held, &bristle_rate);
    double contact = compliant_contact(&a->seat, &a->stop, e->travel, e->speed, rated);
    rate[l->travel] = held ? 0.0 : e->speed;
    rate[l->speed] = held ? 0.0
                          : (free - rubbing - a->damping * e->speed -
                             damper_oil_force(&a->oil, e->speed) + contact) /
                                r->moving_mass;
    if (l->bristle >= 0) {
        rate[l->bristle] = bristle_rate;
    }
    if (l->plug >= 0) { // the plug lies between the actuator's push and its lifting lug
        double gap = e->travel - e->opening_travel;
        double pull = gap < 0.0 ? gap : gap > a->backlash ? gap - a->backlash : 0.0;
        rate[l->plug] = pull / a->backlash_time;
    }
    if (e->out) {
        e->out->free_force = free;
        e->out->friction_force = rubbing;
        e->out->contact_force = held ? -free : contact;
    }
}

//     p_sense A_p up against the set spring; the chamber's feedback and the spring rate down; the
//     supply seat's unbalanced area up (pilot.h):
//     m_p dw/dt = free - friction - c_p w + contact,  dy/dt = w.
// Without mass the left side is zero and leaves w = (free - friction + contact)/c_p.
double evaluation_pilot_force(const struct evaluation *e, double sensed, double exhaust) {
    const struct regulator *r = e->regulator;
    struct pilot_pressures pressures = {sensed, r->parameters.atmosphere,
                                        e->side[r->source[NODE_LOADING]].pressure, exhaust,
                                        e->side[r->source[NODE_SUPPLY]].pressure};
    return pilot_force(&r->pilot_forces, &pressures, evaluation_set_force(e), e->lift);
}

void evaluation_pilot(struct evaluation *e, double sensed, double exhaust, double *rate) {
    const struct regulator *r = e->regulator;
    const struct pilot_parameters *p = &r->parameters.pilot;
    const struct regulator_layout *l = &r->layout;
    double free = evaluation_pilot_force(e, sensed, exhaust);
    bool held = e->mode->pilot != HOLD_FREE;
    double bristle_rate;
    double rubbing = friction(&p->friction, e->lift_speed,
                              l->pilot_bristle >= 0 ? e->state[l->pilot_bristle] : 0.0,
                              r->has_pilot_friction, held, &bristle_rate);
    double contact = compliant_contact(&p->stops, &p->stops, e->lift, e->lift_speed, p->travel);
    double net = free - rubbing + contact;
    if (l->pilot_speed >= 0) {
        rate[l->pilot_travel] = held ? 0.0 : e->lift_speed;
        rate[l->pilot_speed] = held ? 0.0 : (net - p->damping * e->lift_speed) / p->moving_mass;
    } else {
        rate[l->pilot_travel] = held ? 0.0 : net / p->damping;
    }
    if (l->pilot_bristle >= 0) {
        rate[l->pilot_bristle] = bristle_rate;
    }
    if (e->out) {
        e->out->pilot_free_force = free;
    }
}
