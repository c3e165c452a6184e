// SPDX-License-Identifier: MIT
// A state at rest, and what a state holds in total.
#include "regulator.h"

#include "actuator.h"
#include "regulator_lines.h"
#include "regulator_search.h"

#include <math.h>
#include <string.h>

// Volume at rest including what travel has swept [m3].
static double volume_at_rest(const struct regulator *r, const struct regulator_mode *mode,
                             double time, int node, const struct regulator_rest *rest) {
    const struct regulator_parameters *p = &r->parameters;
    double volume = regulator_volume(p, node)->volume + r->line_share[node];
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

// Flow toward the regulator at the near end of each line [kg/s]: what trim and pilot pass at these
// pressures.
static void line_flows(const struct regulator *r, const struct regulator_mode *mode, double time,
                       const struct regulator_rest *rest, double flow[LINE_COUNT]) {
    struct search s;
    struct regulator_static_memory memory = {0};
    search_begin(&s, r, mode, time, &memory);
    for (int n = 0; n < NODE_VOLUMES; n++) {
        if (r->source[n] == n) {
            search_put(&s, n, rest->pressure[n]);
        }
    }
    for (int line = 0; line < LINE_COUNT; line++) {
        int near = regulator_line_near(line);
        if (r->has_line[line]) {
            search_put(&s, near, rest->pressure[near]);
        }
    }
    search_place_plug(&s, rest->travel);
    s.e.lift = rest->pilot_travel;
    double choked;
    int up = r->ends.trim_up, down = r->ends.trim_down;
    evaluation_pass(&s.e, up, down, evaluation_trim(&s.e, up, down, NULL, &choked));
    if (r->has_pilot) {
        evaluation_pilot_flows(&s.e);
    }
    flow[LINE_BEFORE] = -s.e.mass_rate[NODE_INLET];
    flow[LINE_AFTER] = -s.e.mass_rate[NODE_OUTLET];
}

// A line carries what its near end passes; one that cannot, stands still.
static void fill_line(const struct regulator *r, const struct regulator_mode *mode, double time,
                      const struct regulator_rest *rest, int line, double *state) {
    double flow[LINE_COUNT];
    line_flows(r, mode, time, rest, flow);
    int far = r->line_far[line];
    double pressure = far == NODE_BOUNDARY
                          ? schedule_value(&r->parameters.boundary, mode->boundary_piece, time)
                          : rest->pressure[far];
    double *at = state + r->layout.line[line];
    if (!isfinite(pipe_rest(&r->pipe[line], pressure, flow[line], at, NULL))) {
        pipe_rest(&r->pipe[line], pressure, 0.0, at, NULL);
    }
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
        double room = volume - (regulator_volume(p, n)->volume + r->line_share[n]);
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
    for (int line = 0; line < LINE_COUNT && r->has_lines; line++) {
        if (r->has_line[line]) {
            fill_line(r, mode, time, rest, line, state);
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
    sum = r->liquid ? sum * r->parameters.liquid.density : sum;
    for (int line = 0; line < LINE_COUNT; line++) {
        sum += r->has_line[line] ? pipe_mass(&r->pipe[line], state + r->layout.line[line]) : 0.0;
    }
    return sum;
}

double regulator_stored_energy(const struct regulator *r, const double *state) {
    double sum = 0.0;
    for (int n = 0; n < NODE_VOLUMES; n++) {
        if (r->layout.energy[n] >= 0) {
            sum += state[r->layout.energy[n]];
        }
    }
    for (int line = 0; line < LINE_COUNT; line++) {
        sum += r->has_line[line] ? pipe_energy(&r->pipe[line], state + r->layout.line[line]) : 0.0;
    }
    return sum;
}
