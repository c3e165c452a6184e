// SPDX-License-Identifier: MIT
#include "regulator_events.h"

#include <math.h>

// Net force on the plug without friction and contact [N].
static double plug_force(const struct regulator *r, const struct regulator_mode *mode, double time,
                         const double *state) {
    double force;
    return regulator_free_forces(r, mode, time, state, &force, NULL) == 0 ? force : 0.0;
}

static double pilot_net_force(const struct regulator *r, const struct regulator_mode *mode,
                              double time, const double *state) {
    double force;
    return regulator_free_forces(r, mode, time, state, NULL, &force) == 0 ? force : 0.0;
}

// A force of one kilopascal on the diaphragm sets the scale of the release guards.
static double plug_scale(const struct regulator *r) {
    return 1e3 * r->parameters.actuator.diaphragm_area + 1.0;
}

static double pilot_scale(const struct regulator *r) {
    return 1e3 * r->parameters.pilot.diaphragm_area + 0.1;
}

void regulator_guards(const struct regulator *r, const struct regulator_mode *mode, double time,
                      const double *state, double guard[GUARD_COUNT]) {
    const struct regulator_parameters *p = &r->parameters;
    const struct regulator_layout *l = &r->layout;
    for (int i = 0; i < GUARD_COUNT; i++) {
        guard[i] = 1.0;
    }
    double rated = p->trim.rated_travel, x = state[l->travel];
    if (mode->plug == HOLD_LOW) {
        guard[GUARD_SEAT] = -plug_force(r, mode, time, state) / plug_scale(r);
    } else if (mode->plug == HOLD_HIGH) {
        guard[GUARD_STOP] = plug_force(r, mode, time, state) / plug_scale(r);
    } else {
        if (p->actuator.seat.law != CONTACT_NONE) {
            guard[GUARD_SEAT] = x / rated;
        }
        if (p->actuator.stop.law != CONTACT_NONE) {
            guard[GUARD_STOP] = (rated - x) / rated;
        }
        guard[GUARD_REVERSAL] = state[l->speed] / rated;
    }
    if (l->pilot_travel < 0 || p->pilot.stops.law != CONTACT_RIGID) {
        return;
    }
    double y = state[l->pilot_travel], end = p->pilot.travel;
    if (mode->pilot == HOLD_LOW) {
        guard[GUARD_PILOT_LOW] = -pilot_net_force(r, mode, time, state) / pilot_scale(r);
    } else if (mode->pilot == HOLD_HIGH) {
        guard[GUARD_PILOT_HIGH] = pilot_net_force(r, mode, time, state) / pilot_scale(r);
    } else {
        guard[GUARD_PILOT_LOW] = y / end;
        guard[GUARD_PILOT_HIGH] = (end - y) / end;
    }
}

// A part at a rigid stop: side +1 when motion towards the stop is positive. Returns whether it is
// held there. The bristle is let go when held, because friction cannot lift a part off its seat.
static bool rebound(const struct contact_parameters *law, double side, double force, double *speed,
                    double *bristle, struct regulator_transition *out) {
    double approach = fmax(0.0, side * *speed);
    out->approach_speed = approach;
    out->rebound_speed = law->restitution * approach;
    if (out->rebound_speed >= law->rest_speed && out->rebound_speed > 0.0) {
        *speed = -side * out->rebound_speed;
        return false;
    }
    out->rebound_speed = 0.0;
    *speed = 0.0;
    if (side * force < 0.0) { // already being pulled away
        return false;
    }
    if (bristle) {
        *bristle = 0.0;
    }
    return true;
}

static struct regulator_transition plug_contact(const struct regulator *r,
                                                struct regulator_mode *mode, double time,
                                                double *state, bool seat) {
    const struct actuator_parameters *a = &r->parameters.actuator;
    const struct regulator_layout *l = &r->layout;
    const struct contact_parameters *law = seat ? &a->seat : &a->stop;
    double side = seat ? -1.0 : 1.0;
    struct regulator_transition out = {.event = seat ? EVENT_SEAT_CONTACT : EVENT_STOP_CONTACT};
    if (law->law != CONTACT_RIGID) {
        out.approach_speed = fmax(0.0, side * state[l->speed]);
        return out;
    }
    state[l->travel] = seat ? 0.0 : r->parameters.trim.rated_travel;
    double force = plug_force(r, mode, time, state);
    double *bristle = l->bristle >= 0 ? &state[l->bristle] : NULL;
    if (rebound(law, side, force, &state[l->speed], bristle, &out)) {
        mode->plug = seat ? HOLD_LOW : HOLD_HIGH;
        out.event = seat ? EVENT_SEAT_HELD : EVENT_STOP_HELD;
    }
    out.changed = true;
    return out;
}

static struct regulator_transition pilot_contact(const struct regulator *r,
                                                 struct regulator_mode *mode, double time,
                                                 double *state, bool low) {
    const struct regulator_layout *l = &r->layout;
    double side = low ? -1.0 : 1.0, still = 0.0;
    struct regulator_transition out = {.event = low ? EVENT_PILOT_SHUT : EVENT_PILOT_STOP,
                                       .changed = true};
    state[l->pilot_travel] = low ? 0.0 : r->parameters.pilot.travel;
    double force = pilot_net_force(r, mode, time, state);
    double *speed = l->pilot_speed >= 0 ? &state[l->pilot_speed] : &still;
    double *bristle = l->pilot_bristle >= 0 ? &state[l->pilot_bristle] : NULL;
    if (rebound(&r->parameters.pilot.stops, side, force, speed, bristle, &out)) {
        mode->pilot = low ? HOLD_LOW : HOLD_HIGH;
    }
    return out;
}

struct regulator_transition regulator_transition(const struct regulator *r,
                                                 struct regulator_mode *mode, double time,
                                                 double *state, enum regulator_guard guard) {
    struct regulator_transition out = {.event = EVENT_NONE};
    switch (guard) {
    case GUARD_SEAT:
    case GUARD_STOP:
        if (mode->plug == HOLD_FREE) {
            return plug_contact(r, mode, time, state, guard == GUARD_SEAT);
        }
        mode->plug = HOLD_FREE;
        out.changed = true;
        out.event = guard == GUARD_SEAT ? EVENT_SEAT_LIFT : EVENT_STOP_LEAVE;
        break;
    case GUARD_PILOT_LOW:
    case GUARD_PILOT_HIGH:
        if (mode->pilot == HOLD_FREE) {
            return pilot_contact(r, mode, time, state, guard == GUARD_PILOT_LOW);
        }
        mode->pilot = HOLD_FREE;
        out.changed = true;
        out.event = guard == GUARD_PILOT_LOW ? EVENT_PILOT_LIFT : EVENT_PILOT_LEAVE;
        break;
    case GUARD_REVERSAL:
        out.event = EVENT_TRAVEL_REVERSAL;
        break;
    case GUARD_COUNT:
        break;
    }
    return out;
}

enum regulator_guard regulator_penetration(const struct regulator *r,
                                           const struct regulator_mode *mode, const double *state) {
    const struct regulator_parameters *p = &r->parameters;
    const struct regulator_layout *l = &r->layout;
    double x = state[l->travel] / p->trim.rated_travel, v = state[l->speed];
    const double skin = 1e-9; // of the travel; rounding of a snapped contact lies far below
    if (mode->plug == HOLD_FREE) {
        if (p->actuator.seat.law == CONTACT_RIGID && x < -skin && v < 0.0) {
            return GUARD_SEAT;
        }
        if (p->actuator.stop.law == CONTACT_RIGID && x > 1.0 + skin && v > 0.0) {
            return GUARD_STOP;
        }
    }
    if (l->pilot_travel >= 0 && p->pilot.stops.law == CONTACT_RIGID && mode->pilot == HOLD_FREE) {
        double y = state[l->pilot_travel] / p->pilot.travel;
        if (y < -skin) {
            return GUARD_PILOT_LOW;
        }
        if (y > 1.0 + skin) {
            return GUARD_PILOT_HIGH;
        }
    }
    return GUARD_COUNT;
}

const char *regulator_event_name(enum regulator_event event) {
    static const char *const name[] = {
        [EVENT_NONE] = "",
        [EVENT_SEAT_CONTACT] = "seat contact",
        [EVENT_SEAT_HELD] = "seat contact, held",
        [EVENT_SEAT_LIFT] = "seat lift",
        [EVENT_STOP_CONTACT] = "stop contact",
        [EVENT_STOP_HELD] = "stop contact, held",
        [EVENT_STOP_LEAVE] = "stop leave",
        [EVENT_TRAVEL_REVERSAL] = "travel reversal",
        [EVENT_PILOT_SHUT] = "pilot shut",
        [EVENT_PILOT_LIFT] = "pilot lift",
        [EVENT_PILOT_STOP] = "pilot stop",
        [EVENT_PILOT_LEAVE] = "pilot leave",
    };
    return name[event];
}
