// SPDX-License-Identifier: MIT
// A state at rest, and what a state holds in total.
#include "regulator.h"

#include "actuator.h"
#include "regulator_lines.h"
#include "regulator_search.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

// What moving parts leave of a volume at rest [m3].
static double volume_at_rest(const struct regulator *r, const struct regulator_mode *mode,
                             double time, int node, const struct regulator_rest *rest) {
    const struct regulator_parameters *p = &r->parameters;
    double volume =
        node < NODE_VOLUMES ? regulator_volume(p, node)->volume + r->line_share[node] : 0.0;
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
    if (r->has_pilot && node == r->source[NODE_LOADING]) {
        volume -= r->pilot_forces.feedback_area * rest->pilot_travel;
    }
    return volume;
}

// Flow toward the regulator at the near end of each line [kg/s]: what trim and pilot pass at these
// pressures.
void regulator_line_flows(const struct regulator *r, const struct regulator_mode *mode, double time,
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
        if (r->has_line[line] && regulator_line_flows_at_rest(line)) {
            search_put(&s, near, rest->pressure[near]);
        }
    }
    search_place_plug(&s, rest->travel);
    s.e.lift = rest->pilot_travel;
    double choked;
    int up = r->ends.trim_up, down = r->ends.trim_down;
    evaluation_pass(&s.e, up, down, evaluation_trim(&s.e, up, down, NULL, &choked));
    if (r->has_pilot) {
        search_pilot_draws(&s);
    }
    flow[LINE_SUPPLY] = -s.e.mass_rate[NODE_FEED];
    flow[LINE_BEFORE] = -s.e.mass_rate[NODE_INLET];
    flow[LINE_AFTER] = -s.e.mass_rate[NODE_OUTLET];
    flow[LINE_SENSE] = flow[LINE_LOADING] = 0.0;
}

// Moving parts have made room in a node: it holds so much more at the same pressure.
static void make_room(const struct pipe *pipe, int i, double room, double *state) {
    double *cell = state + (ptrdiff_t)i * pipe->stride;
    if (pipe->fluid.liquid) {
        cell[1] += room;
        return;
    }
    for (int k = 1; k < pipe->stride; k++) {
        cell[k] *= 1.0 + room / pipe->volume[i];
    }
}

// A line carries what its near end passes; one that cannot, stands still.
static void fill_line(const struct regulator *r, int line, double far_pressure, double flow,
                      const double room[2], double *state) {
    const struct pipe *pipe = &r->pipe[line];
    if (!isfinite(pipe_rest(pipe, far_pressure, flow, state, NULL))) {
        pipe_rest(pipe, far_pressure, 0.0, state, NULL);
    }
    make_room(pipe, pipe->cells - 1, room[0], state);
    if (room[1] != 0.0 && line == regulator_line_held(&r->parameters)) {
        make_room(pipe, r->tap_cell + 1, r->tap_share * room[1], state);
        make_room(pipe, r->tap_cell < 0 ? 0 : r->tap_cell, (1.0 - r->tap_share) * room[1], state);
    }
}

static void fill_volumes(const struct regulator *r, const struct regulator_mode *mode, double time,
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
}

static double far_pressure(const struct regulator *r, const struct regulator_mode *mode,
                           double time, const double *pressure, int line) {
    int far = r->line_far[line];
    if (far == NODE_STATED_SUPPLY) {
        return r->parameters.pilot_supply_pressure;
    }
    return far == NODE_BOUNDARY
               ? schedule_value(&r->parameters.boundary, mode->boundary_piece, time)
               : pressure[far];
}

// Where a line begins that may do so at a place on another one.
static double branch_pressure(const struct regulator *r, const struct regulator_mode *mode,
                              double time, const struct regulator_rest *rest,
                              const double line_flow[LINE_COUNT], int branch) {
    int tap = r->line_far[branch];
    if (tap < NODE_INLET) {
        return far_pressure(r, mode, time, rest->pressure, branch);
    }
    int line = regulator_line_beneath(r, branch);
    double far = far_pressure(r, mode, time, rest->pressure, line);
    struct pipe_view view;
    if (!isfinite(pipe_rest(&r->pipe[line], far, line_flow[line], NULL, &view))) {
        return far;
    }
    if (tap != NODE_TAP) {
        return view.pressure[r->pipe[line].cells - 1];
    }
    double before = r->tap_cell < 0 ? far : view.pressure[r->tap_cell];
    return before + r->tap_share * (view.pressure[r->tap_cell + 1] - before);
}

void regulator_rest_state_flowing(const struct regulator *r, const struct regulator_mode *mode,
                                  double time, const struct regulator_rest *rest,
                                  const double line_flow[LINE_COUNT], double *state) {
    fill_volumes(r, mode, time, rest, state);
    for (int line = 0; line < LINE_COUNT; line++) {
        if (r->has_line[line]) {
            double pressure = regulator_line_branches(line)
                                  ? branch_pressure(r, mode, time, rest, line_flow, line)
                                  : far_pressure(r, mode, time, rest->pressure, line);
            int near = regulator_line_near(line);
            const double room[2] = {volume_at_rest(r, mode, time, near, rest),
                                    volume_at_rest(r, mode, time, NODE_TAP, rest)};
            fill_line(r, line, pressure, line_flow[line], room, state + r->layout.line[line]);
        }
    }
}

void regulator_rest_state(const struct regulator *r, const struct regulator_mode *mode, double time,
                          const struct regulator_rest *rest, double *state) {
    double flow[LINE_COUNT] = {0.0};
    if (r->has_lines) {
        regulator_line_flows(r, mode, time, rest, flow);
    }
    regulator_rest_state_flowing(r, mode, time, rest, flow, state);
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
