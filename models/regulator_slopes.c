// SPDX-License-Identifier: MIT
// Slopes of the rates over the states, part 1: what the volumes hold, and how all is put together.
// Each function follows the one of the same name in regulator_volumes.c and regulator_rates.c.
#include "regulator_slopes.h"

#include "actuator.h"
#include "regulator_lines.h"

#include <string.h>

// Seven states of motion, mass and energy of each volume, the flow of the sense line.
_Static_assert(7 + 2 * NODE_VOLUMES + 1 <= SLOPES_OWN, "the largest build must fit");

static void clear_slopes(struct slopes *s, int node) {
    size_t size = (size_t)s->n * sizeof(double);
    memset(s->pressure[node], 0, size);
    memset(s->density[node], 0, size);
    memset(s->enthalpy[node], 0, size);
    memset(s->volume_rate[node], 0, size);
    memset(s->mass_rate[node], 0, size);
    memset(s->energy_rate[node], 0, size);
}

// What a part sweeps: `area` [m2] in a node, moving at the speed of a state (-1: not counted).
static void sweep_room(struct slopes *s, int node, double area, double area_slope, int travel,
                       int speed) {
    s->volume_rate[node][travel] += speed >= 0 ? area_slope * s->e.state[speed] : 0.0;
    if (speed >= 0) {
        s->volume_rate[node][speed] += area;
    }
}

static void sweep_slopes(struct slopes *s, struct room_slopes *size) {
    const struct regulator *r = s->e.regulator;
    const struct regulator_layout *l = &r->layout;
    const struct actuator_parameters *a = &r->parameters.actuator;
    memset(size, 0, sizeof *size);
    if (!a->swept_volume) {
        return;
    }
    double rated = r->parameters.trim.rated_travel;
    double area = actuator_area(a->diaphragm_area, a->area_loss, rated, s->e.travel);
    double bend = -a->diaphragm_area * a->area_loss / rated;
    int pressure_side = r->source[r->has_pilot ? NODE_CHAMBER : NODE_CAVITY];
    int case_side = r->source[NODE_CASE];
    size->travel[pressure_side] += r->action * area;
    size->travel[case_side] -= r->action * area;
    sweep_room(s, pressure_side, r->action * area, r->action * bend, l->travel, l->speed);
    sweep_room(s, case_side, -r->action * area, -r->action * bend, l->travel, l->speed);
    if (r->has_pilot) {
        const struct pilot_forces *f = &r->pilot_forces;
        int cavity = r->source[NODE_CAVITY], chamber = r->source[NODE_LOADING];
        size->lift[cavity] += f->sign * f->diaphragm_area;
        size->lift[chamber] -= f->feedback_area;
        sweep_room(s, cavity, f->sign * f->diaphragm_area, 0.0, l->pilot_travel, l->pilot_speed);
        sweep_room(s, chamber, -f->feedback_area, 0.0, l->pilot_travel, l->pilot_speed);
    }
}

// Rows of pressure, density and enthalpy of a volume from those of what it holds and of its size.
static void read_volume_slopes(struct slopes *s, int node, const struct room_slopes *size) {
    const struct regulator *r = s->e.regulator;
    const struct regulator_layout *l = &r->layout;
    const struct regulator_parameters *p = &r->parameters;
    struct flow_side side = s->e.side[node];
    double held = s->e.state[l->mass[node]];
    double by_room_pressure, by_room_density = 0.0;
    if (r->liquid) {
        bool cap = node == NODE_CONTROLLED && p->gas_cap > 0.0;
        double give = cap ? side.pressure * side.pressure / (p->gas_cap_pressure * p->gas_cap)
                          : 1.0 / r->compliance[node];
        s->pressure[node][l->mass[node]] = give;
        by_room_pressure = -give;
    } else {
        double inverse = side.density / held; // of the volume
        s->density[node][l->mass[node]] = inverse;
        by_room_density = -side.density * inverse;
        by_room_pressure = -side.pressure * inverse;
        if (r->thermal) {
            double k = p->gas.exponent, energy = s->e.state[l->energy[node]];
            s->pressure[node][l->energy[node]] = (k - 1.0) * inverse;
            s->enthalpy[node][l->mass[node]] = -k * energy / (held * held);
            s->enthalpy[node][l->energy[node]] = k / held;
        } else {
            s->pressure[node][l->mass[node]] = r->pressure_per_density * inverse;
        }
    }
    s->pressure[node][l->travel] += by_room_pressure * size->travel[node];
    s->density[node][l->travel] += by_room_density * size->travel[node];
    if (l->pilot_travel >= 0) {
        s->pressure[node][l->pilot_travel] += by_room_pressure * size->lift[node];
        s->density[node][l->pilot_travel] += by_room_density * size->lift[node];
    }
}

int slopes_pressures(struct slopes *s) {
    if (evaluation_pressures(&s->e) != 0) {
        return 1;
    }
    const struct regulator *r = s->e.regulator;
    struct room_slopes size;
    for (int n = 0; n < NODE_COUNT; n++) {
        if (r->source[n] == n) {
            clear_slopes(s, n);
        }
    }
    sweep_slopes(s, &size);
    for (int n = 0; n < NODE_VOLUMES; n++) {
        if (r->source[n] == n) {
            read_volume_slopes(s, n, &size);
        }
    }
    if (r->has_lines) {
        slopes_line_ends(s, &size);
    }
    return 0;
}

// Row of an energy: what flows bring, heat through the wall, less the work on moving parts.
static void energy_slopes(struct slopes *s, int node, double *heat, double *work) {
    const struct regulator *r = s->e.regulator;
    struct flow_side side = s->e.side[node];
    double *row = slopes_row(s, r->layout.energy[node]);
    double pushed[SLOPES_MAX] = {0.0}, warmed[SLOPES_MAX] = {0.0};
    double conductance = r->wall[node];
    if (conductance != 0.0) { // T = p/rho T0/(Z R T0/M)
        double scale = -conductance * r->parameters.temperature / r->pressure_per_density;
        slopes_add(warmed, scale / side.density, s->pressure[node], s->n);
        slopes_add(warmed, -scale * side.pressure / (side.density * side.density), s->density[node],
                   s->n);
    }
    slopes_add(pushed, side.pressure, s->volume_rate[node], s->n);
    slopes_add(pushed, s->e.volume_rate[node], s->pressure[node], s->n);
    for (int i = 0; i < s->n; i++) {
        row[i] = s->energy_rate[node][i] + warmed[i] - pushed[i];
        heat[i] += warmed[i];
        work[i] += pushed[i];
    }
}

static void totals_slopes(struct slopes *s, const double *heat, const double *work) {
    const struct regulator *r = s->e.regulator;
    const struct regulator_layout *l = &r->layout;
    bool back = r->parameters.duty == DUTY_BACK_PRESSURE;
    for (int i = 0; i < s->n; i++) {
        double edge = s->mass_rate[NODE_BOUNDARY][i];
        slopes_row(s, l->mass_in)[i] =
            -s->mass_rate[NODE_WELL][i] - s->mass_rate[NODE_STATED_SUPPLY][i] - (back ? 0.0 : edge);
        slopes_row(s, l->mass_out)[i] =
            s->mass_rate[NODE_ATMOSPHERE][i] + s->mass_rate[NODE_DEMAND][i] + (back ? edge : 0.0);
        if (r->thermal) {
            edge = s->energy_rate[NODE_BOUNDARY][i];
            slopes_row(s, l->energy_in)[i] = -s->energy_rate[NODE_WELL][i] -
                                             s->energy_rate[NODE_STATED_SUPPLY][i] + heat[i] -
                                             (back ? 0.0 : edge);
            slopes_row(s, l->energy_out)[i] = s->energy_rate[NODE_ATMOSPHERE][i] +
                                              s->energy_rate[NODE_DEMAND][i] + work[i] +
                                              (back ? edge : 0.0);
        }
    }
}

void slopes_volumes(struct slopes *s) {
    const struct regulator *r = s->e.regulator;
    const struct regulator_layout *l = &r->layout;
    double per_density = r->liquid ? 1.0 / r->parameters.liquid.density : 1.0;
    double heat[SLOPES_MAX] = {0.0}, work[SLOPES_MAX] = {0.0};
    if (r->has_lines) {
        memcpy(work, s->line_work, (size_t)s->n * sizeof *work);
    }
    for (int n = 0; n < NODE_VOLUMES; n++) {
        if (l->mass[n] < 0) {
            continue;
        }
        slopes_add(slopes_row(s, l->mass[n]), per_density, s->mass_rate[n], s->n);
        if (l->energy[n] >= 0) {
            energy_slopes(s, n, heat, work);
        }
    }
    totals_slopes(s, heat, work);
}

// From rows over what is felt to rows of the whole matrix.
static void spread(const struct slopes *s, double *row) {
    const struct regulator_layout *l = &s->e.regulator->layout;
    for (int i = 0; i < l->count; i++) {
        double *to = row + i * l->mass_in;
        if (i >= s->own && i < l->mass_in) {
            continue;
        }
        const double *of = s->row[i < s->own ? i : i - s->lines];
        memcpy(to, of, (size_t)s->own * sizeof *row);
        for (int k = 0; k < s->felt_count; k++) {
            to[s->felt[k]] = of[s->own + k];
        }
    }
}

static void slopes_begin(struct slopes *s) {
    const struct regulator_layout *l = &s->e.regulator->layout;
    const double *state = s->e.state;
    s->lines = regulator_line_states(s->e.regulator);
    s->own = l->mass_in - s->lines;
    s->felt_count = 0;
    if (s->e.regulator->has_lines) {
        slopes_lines_find(s);
    }
    s->n = (s->own + s->felt_count + SLOPES_LANE - 1) / SLOPES_LANE * SLOPES_LANE;
    s->opening = l->plug >= 0 ? l->plug : l->travel;
    s->e.travel = state[l->travel];
    s->e.speed = state[l->speed];
    s->e.opening_travel = state[s->opening];
    if (l->pilot_travel >= 0) {
        s->e.lift = state[l->pilot_travel];
        s->e.lift_speed = l->pilot_speed >= 0 ? state[l->pilot_speed] : 0.0;
    }
}

int regulator_slopes(const struct regulator *r, const struct regulator_mode *mode, double time,
                     const double *state, double *row) {
    const struct regulator_layout *l = &r->layout;
    struct pipe_view pipes[LINE_COUNT]; // written before they are read
    struct slopes_line lines[LINE_COUNT];
    struct slopes s;
    evaluation_begin(&s.e, r, mode, time, state);
    s.e.pipes = pipes;
    s.line = lines;
    slopes_begin(&s);
    if (slopes_pressures(&s) != 0) {
        return 1;
    }
    for (int i = 0; i < l->count - s.lines; i++) {
        memset(s.row[i], 0, (size_t)s.n * sizeof s.row[i][0]);
    }
    slopes_trim_and_force(&s);
    slopes_other_flows(&s);
    slopes_plug(&s);
    if (r->has_pilot) {
        slopes_pilot(&s);
    }
    if (!r->has_lines) {
        slopes_volumes(&s);
        spread(&s, row);
        return 0;
    }
    memset(row, 0, (size_t)(l->count * l->mass_in) * sizeof *row);
    slopes_lines_gather(&s);
    slopes_volumes(&s);
    spread(&s, row);
    slopes_lines_rates(&s, row);
    return 0;
}
