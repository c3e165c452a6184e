// SPDX-License-Identifier: MIT
// Slopes of the rates over the states, part 4: forces on plug and pilot. Follows
// regulator_motion.c.
#include "regulator_slopes.h"

#include "actuator.h"

// Friction of one part: slopes of force and bristle rate over speed and bristle.
struct rubbing {
    double force_speed, force_bristle, rate_speed, rate_bristle;
};

static struct rubbing rub_slopes(const struct friction_parameters *f, double speed, double bristle,
                                 bool present, bool held) {
    struct rubbing out = {0};
    if (!held && !present) {
        out.force_speed = f->viscous;
    } else if (!held) {
        double slope[2];
        friction_lugre_slopes(f, speed, bristle, slope);
        out = (struct rubbing){f->bristle_damping * slope[0] + f->viscous,
                               f->bristle_stiffness + f->bristle_damping * slope[1], slope[0],
                               slope[1]};
    }
    return out;
}

// compliant_contact: slopes over travel and speed.
static void compliant_slopes(const struct contact_parameters *seat,
                             const struct contact_parameters *stop, const double motion[2],
                             double end, double out[2]) {
    double slope[2];
    out[0] = out[1] = 0.0;
    if (seat->law == CONTACT_COMPLIANT && motion[0] < 0.0) {
        contact_force_slopes(seat, -motion[0], -motion[1], slope);
        out[0] -= slope[0];
        out[1] -= slope[1];
    }
    if (stop->law == CONTACT_COMPLIANT && motion[0] > end) {
        contact_force_slopes(stop, motion[0] - end, motion[1], slope);
        out[0] -= slope[0];
        out[1] -= slope[1];
    }
}

static void backlash_slopes(struct slopes *s) {
    const struct regulator *r = s->e.regulator;
    const struct regulator_layout *l = &r->layout;
    const struct actuator_parameters *a = &r->parameters.actuator;
    double gap = s->e.travel - s->e.opening_travel;
    if (gap < 0.0 || gap > a->backlash) {
        slopes_row(s, l->plug)[l->travel] = 1.0 / a->backlash_time;
        slopes_row(s, l->plug)[l->plug] = -1.0 / a->backlash_time;
    }
}

void slopes_plug(struct slopes *s) {
    const struct regulator *r = s->e.regulator;
    const struct regulator_layout *l = &r->layout;
    const struct actuator_parameters *a = &r->parameters.actuator;
    if (l->plug >= 0) {
        backlash_slopes(s);
    }
    if (s->e.mode->plug != HOLD_FREE) {
        return;
    }
    double rated = r->parameters.trim.rated_travel, contact[2];
    int chamber = r->source[NODE_CHAMBER], outside = r->source[NODE_CASE];
    double loading = r->has_pilot ? s->e.side[chamber].pressure : s->sensed_pressure;
    double area = actuator_area(a->diaphragm_area, a->area_loss, rated, s->e.travel);
    double *row = slopes_row(s, l->speed);
    slopes_add(row, r->action * area, r->has_pilot ? s->pressure[chamber] : s->sensed, s->n);
    slopes_add(row, -r->action * area, s->pressure[outside], s->n);
    slopes_add(row, 1.0, s->force, s->n);
    double bristle = l->bristle >= 0 ? s->e.state[l->bristle] : 0.0;
    struct rubbing rubs = rub_slopes(&a->friction, s->e.speed, bristle, r->has_friction, false);
    compliant_slopes(&a->seat, &a->stop, (const double[2]){s->e.travel, s->e.speed}, rated,
                     contact);
    row[l->travel] += -r->action * (loading - s->e.side[outside].pressure) * a->diaphragm_area *
                          a->area_loss / rated -
                      a->spring_rate + contact[0];
    row[l->speed] +=
        contact[1] - rubs.force_speed - a->damping - damper_oil_slope(&a->oil, s->e.speed);
    if (l->bristle >= 0) {
        row[l->bristle] -= rubs.force_bristle;
        slopes_row(s, l->bristle)[l->speed] = rubs.rate_speed;
        slopes_row(s, l->bristle)[l->bristle] = rubs.rate_bristle;
    }
    for (int i = 0; i < s->n; i++) {
        row[i] /= r->moving_mass;
    }
    slopes_row(s, l->travel)[l->speed] = 1.0;
}

void slopes_pilot(struct slopes *s) {
    const struct regulator *r = s->e.regulator;
    const struct regulator_layout *l = &r->layout;
    const struct pilot_parameters *p = &r->parameters.pilot;
    if (s->e.mode->pilot != HOLD_FREE) {
        return;
    }
    int chamber = r->source[NODE_LOADING], supply = r->source[NODE_SUPPLY];
    int exhaust = r->ends.pilot_exhaust;
    struct pilot_pressures pressures = {s->sensed_pressure, r->parameters.atmosphere,
                                        s->e.side[chamber].pressure, s->e.side[exhaust].pressure,
                                        s->e.side[supply].pressure};
    struct pilot_slopes law = pilot_force_slopes(&r->pilot_forces, &pressures, s->e.lift);
    bool massive = l->pilot_speed >= 0;
    double *row = slopes_row(s, massive ? l->pilot_speed : l->pilot_travel), contact[2];
    slopes_add(row, law.sensed, s->sensed, s->n);
    slopes_add(row, law.chamber, s->pressure[chamber], s->n);
    slopes_add(row, law.exhaust, s->pressure[exhaust], s->n);
    slopes_add(row, law.supply, s->pressure[supply], s->n);
    double bristle = l->pilot_bristle >= 0 ? s->e.state[l->pilot_bristle] : 0.0;
    struct rubbing rubs =
        rub_slopes(&p->friction, s->e.lift_speed, bristle, r->has_pilot_friction, false);
    compliant_slopes(&p->stops, &p->stops, (const double[2]){s->e.lift, s->e.lift_speed}, p->travel,
                     contact);
    row[l->pilot_travel] += law.lift + contact[0];
    if (massive) {
        row[l->pilot_speed] += contact[1] - rubs.force_speed - p->damping;
        slopes_row(s, l->pilot_travel)[l->pilot_speed] = 1.0;
    }
    if (l->pilot_bristle >= 0) {
        row[l->pilot_bristle] -= rubs.force_bristle;
        slopes_row(s, l->pilot_bristle)[l->pilot_speed] = rubs.rate_speed;
        slopes_row(s, l->pilot_bristle)[l->pilot_bristle] = rubs.rate_bristle;
    }
    double inverse = 1.0 / (massive ? p->moving_mass : p->damping);
    for (int i = 0; i < s->n; i++) {
        row[i] *= inverse;
    }
}
