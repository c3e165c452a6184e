// SPDX-License-Identifier: MIT
// What the volumes hold: from the state to pressures, and from flows back to rates.
//
// The states are what is conserved, mass m and internal energy U, and not pressure and temperature:
// their rates are plain sums of flows, so that balances hold to rounding whatever the step. For a
// volume V whose walls move,
//     dm/dt = sum w,      dU/dt = sum w h + UA (T0 - T) - p dV/dt,
// and the pressure comes back from them. With c_v = Z R/(M (k - 1)) held constant, U = m c_v T, and
// p = m Z R T/(M V) turns into p = (k - 1) U/V and h = U/m + p V/m = k U/m: no temperature is
// needed on the way. A liquid's state is the volume that it holds in excess (volume.h).
#include "evaluation.h"

#include "actuator.h"
#include "volume.h"

#include <string.h>

// Room made by moving parts in each volume, and its rate of change.
//
//     pressure side | diaphragm | case        opening by x takes sigma_a S(x) from the case and
//         + sigma_a S(x)    - sigma_a S(x)    gives it to the chamber (or, direct, the cavity);
//                                             S(x) is the integral of A, so that p dV = force dx:
//     cavity + sigma_p A_p y                  what the gas does to the plug, the plug takes from
//     chamber - A_fb y                        the gas. The pilot sweeps likewise. A rising level
//                                             of liquid takes from the vessel.
static void sweep(struct evaluation *e, double room[NODE_COUNT]) {
    const struct regulator *r = e->regulator;
    const struct regulator_parameters *p = &r->parameters;
    const struct actuator_parameters *a = &p->actuator;
    if (p->level.kind != SCHEDULE_CONSTANT) {
        room[NODE_CONTROLLED] -= schedule_value(&p->level, e->mode->level_piece, e->time);
        e->volume_rate[NODE_CONTROLLED] -= schedule_slope(&p->level, e->mode->level_piece, e->time);
    }
    if (!a->swept_volume) {
        return;
    }
    double rated = p->trim.rated_travel;
    double swept = actuator_sweep(a->diaphragm_area, a->area_loss, rated, e->travel);
    double rate = actuator_area(a->diaphragm_area, a->area_loss, rated, e->travel) * e->speed;
    int pressure_side = r->source[r->has_pilot ? NODE_CHAMBER : NODE_CAVITY];
    int case_side = r->source[NODE_CASE];
    room[pressure_side] += r->action * swept;
    e->volume_rate[pressure_side] += r->action * rate;
    room[case_side] -= r->action * swept;
    e->volume_rate[case_side] -= r->action * rate;
    if (r->has_pilot) {
        const struct pilot_forces *f = &r->pilot_forces;
        int cavity = r->source[NODE_CAVITY], chamber = r->source[NODE_LOADING];
        room[cavity] += f->sign * f->diaphragm_area * e->lift;
        e->volume_rate[cavity] += f->sign * f->diaphragm_area * e->lift_speed;
        room[chamber] -= f->feedback_area * e->lift;
        e->volume_rate[chamber] -= f->feedback_area * e->lift_speed;
    }
}

static int read_volume(struct evaluation *e, int node, double room) {
    const struct regulator *r = e->regulator;
    const struct regulator_parameters *p = &r->parameters;
    double held = e->state[r->layout.mass[node]];
    if (r->liquid) {
        double excess = held - room;
        bool cap = node == NODE_CONTROLLED && p->gas_cap > 0.0;
        if (cap && excess >= p->gas_cap) {
            return 1;
        }
        double pressure = cap ? volume_gas_cap_pressure(excess, p->gas_cap_pressure, p->gas_cap)
                              : volume_liquid_pressure(excess, p->atmosphere, r->compliance[node]);
        e->side[node] = (struct flow_side){pressure, p->liquid.density};
        return 0;
    }
    double volume = r->size[node] + room;
    if (!(held > 0.0) || !(volume > 0.0)) {
        return 1;
    }
    if (r->thermal) {
        double energy = e->state[r->layout.energy[node]];
        if (!(energy > 0.0)) {
            return 1;
        }
        e->side[node] = volume_gas(held, energy, volume, p->gas.exponent);
        e->enthalpy[node] = p->gas.exponent * energy / held;
    } else {
        e->side[node] = volume_gas_isothermal(held, volume, r->pressure_per_density);
    }
    return 0;
}

static void set_boundary(struct evaluation *e) {
    const struct regulator *r = e->regulator;
    const struct schedule *boundary = &r->parameters.boundary;
    if (boundary->kind == SCHEDULE_CONSTANT) {
        return;
    }
    double pressure = schedule_value(boundary, e->mode->boundary_piece, e->time);
    e->side[NODE_BOUNDARY].pressure = pressure;
    if (!r->liquid) {
        e->side[NODE_BOUNDARY].density = pressure / r->pressure_per_density;
    }
}

// What `sweep` makes of one volume.
static double room_in(const struct evaluation *e, int node) {
    const struct regulator *r = e->regulator;
    const struct regulator_parameters *p = &r->parameters;
    const struct actuator_parameters *a = &p->actuator;
    double room = 0.0;
    if (node == NODE_CONTROLLED && p->level.kind != SCHEDULE_CONSTANT) {
        room -= schedule_value(&p->level, e->mode->level_piece, e->time);
    }
    if (!a->swept_volume) {
        return room;
    }
    double swept = actuator_sweep(a->diaphragm_area, a->area_loss, p->trim.rated_travel, e->travel);
    room += node == r->source[r->has_pilot ? NODE_CHAMBER : NODE_CAVITY] ? r->action * swept : 0.0;
    room -= node == r->source[NODE_CASE] ? r->action * swept : 0.0;
    if (r->has_pilot) {
        const struct pilot_forces *f = &r->pilot_forces;
        double lifted = f->sign * f->diaphragm_area * e->lift;
        room += node == r->source[NODE_CAVITY] ? lifted : 0.0;
        room -= node == r->source[NODE_LOADING] ? f->feedback_area * e->lift : 0.0;
    }
    return room;
}

int evaluation_controlled(struct evaluation *e) {
    return read_volume(e, NODE_CONTROLLED, room_in(e, NODE_CONTROLLED));
}

int evaluation_pressures(struct evaluation *e) {
    const struct regulator *r = e->regulator;
    double room[NODE_COUNT] = {0.0};
    memcpy(&e->side[NODE_VOLUMES], r->edge, sizeof r->edge);
    memcpy(&e->enthalpy[NODE_VOLUMES], r->edge_enthalpy, sizeof r->edge_enthalpy);
    set_boundary(e);
    sweep(e, room);
    for (int i = 0; i < r->volumes; i++) {
        int node = r->volume[i];
        if (read_volume(e, node, room[node]) != 0) {
            return 1;
        }
    }
    return r->has_lines ? evaluation_lines(e, room) : 0;
}

// Heat through a volume's wall [W].
static double warming(const struct evaluation *e, int node) {
    const struct regulator *r = e->regulator;
    double temperature = e->side[node].pressure / e->side[node].density / r->pressure_per_density *
                         r->parameters.temperature;
    return r->wall[node] * (r->parameters.temperature - temperature);
}

// Rates of the states, and the running totals: what crossed the border of the whole, so that
//     held(t) = held(0) + in - out
// for mass and for energy is true at any time and can be checked. Heat through walls counts as
// energy in, work done by the gas on moving parts as energy out. The boundary lies behind a
// back-pressure regulator (its flow goes out) and before a reducing one (its flow comes in).
void evaluation_volumes(struct evaluation *e, double *rate) {
    const struct regulator *r = e->regulator;
    const struct regulator_layout *l = &r->layout;
    double work = e->line_work, heat = e->line_heat;
    double per_density = r->liquid ? 1.0 / r->parameters.liquid.density : 1.0;
    for (int i = 0; i < r->volumes; i++) {
        int n = r->volume[i];
        rate[l->mass[n]] = e->mass_rate[n] * per_density;
        if (l->energy[n] >= 0) {
            double pushed = e->side[n].pressure * e->volume_rate[n];
            double warmed = r->wall[n] != 0.0 ? warming(e, n) : 0.0;
            rate[l->energy[n]] = e->energy_rate[n] + warmed - pushed;
            heat += warmed;
            work += pushed;
        }
    }
    double in = -(e->mass_rate[NODE_WELL] + e->mass_rate[NODE_STATED_SUPPLY]);
    double out = e->mass_rate[NODE_ATMOSPHERE] + e->mass_rate[NODE_DEMAND];
    double energy_in = -(e->energy_rate[NODE_WELL] + e->energy_rate[NODE_STATED_SUPPLY]) + heat;
    double energy_out = e->energy_rate[NODE_ATMOSPHERE] + e->energy_rate[NODE_DEMAND] + work;
    if (r->parameters.duty == DUTY_BACK_PRESSURE) {
        out += e->mass_rate[NODE_BOUNDARY];
        energy_out += e->energy_rate[NODE_BOUNDARY];
    } else {
        in -= e->mass_rate[NODE_BOUNDARY];
        energy_in -= e->energy_rate[NODE_BOUNDARY];
    }
    rate[l->mass_in] = in;
    rate[l->mass_out] = out;
    if (r->thermal) {
        rate[l->energy_in] = energy_in;
        rate[l->energy_out] = energy_out;
    }
}
