// SPDX-License-Identifier: MIT
// A state at rest, and what a state holds in total.
#include "regulator.h"

#include "actuator.h"

#include <string.h>

// Volume at rest including what travel has swept [m3].
static double volume_at_rest(const struct regulator *r, const struct regulator_mode *mode,
                             double time, int node, const struct regulator_rest *rest) {
    const struct regulator_parameters *p = &r->parameters;
    double volume = regulator_volume(p, node)->volume;
    if (node == NODE_CONTROLLED) {
        volume -= schedule_value(&p->level, mode->level_piece, time);
    }
    if (!p->actuator.swept_volume) {
        return volume;
    }
    double swept = r->action * actuator_sweep(p->actuator.diaphragm_area, p->actuator.area_loss,
                                              p->trim.rated_travel, rest->travel);
    if (node == r->source[r->has_pilot ? NODE_CHAMBER : NODE_CAVITY]) {
        volume += swept;
    }
    if (node == r->source[NODE_CASE]) {
        volume -= swept;
    }
    if (r->has_pilot && node == r->source[NODE_CAVITY]) {
        volume += r->pilot_forces.sign * r->pilot_forces.diaphragm_area * rest->pilot_travel;
    }
    if (r->has_pilot && node == r->source[NODE_CHAMBER]) {
        volume -= r->pilot_forces.feedback_area * rest->pilot_travel;
    }
    return volume;
}

void regulator_rest_state(const struct regulator *r, const struct regulator_mode *mode, double time,
                          const struct regulator_rest *rest, double *state) {
    const struct regulator_parameters *p = &r->parameters;
    const struct regulator_layout *l = &r->layout;
    const double *pressure = rest->pressure;
    memset(state, 0, (size_t)l->count * sizeof *state);
    state[l->travel] = rest->travel;
    if (l->plug >= 0) {
        state[l->plug] = rest->travel;
    }
    if (l->pilot_travel >= 0) {
        state[l->pilot_travel] = rest->pilot_travel;
    }
    for (int n = 0; n < NODE_VOLUMES; n++) {
        if (l->mass[n] < 0) {
            continue;
        }
        double volume = volume_at_rest(r, mode, time, n, rest);
        double room = volume - regulator_volume(p, n)->volume;
        if (!r->liquid) {
            state[l->mass[n]] = pressure[n] * volume / r->pressure_per_density;
        } else if (n == NODE_CONTROLLED && p->gas_cap > 0.0) {
            state[l->mass[n]] = room + p->gas_cap * (1.0 - p->gas_cap_pressure / pressure[n]);
        } else {
            state[l->mass[n]] = room + (pressure[n] - p->atmosphere) * r->compliance[n];
        }
        if (l->energy[n] >= 0) {
            state[l->energy[n]] = pressure[n] * volume / (p->gas.exponent - 1.0);
        }
    }
}

double regulator_stored_mass(const struct regulator *r, const double *state) {
    double sum = 0.0;
    for (int n = 0; n < NODE_VOLUMES; n++) {
        if (r->layout.mass[n] >= 0) {
            sum += state[r->layout.mass[n]];
        }
    }
    return r->liquid ? sum * r->parameters.liquid.density : sum;
}

double regulator_stored_energy(const struct regulator *r, const double *state) {
    double sum = 0.0;
    for (int n = 0; n < NODE_VOLUMES; n++) {
        if (r->layout.energy[n] >= 0) {
            sum += state[r->layout.energy[n]];
        }
    }
    return sum;
}
