// SPDX-License-Identifier: MIT
// Each function follows the one of pipe.c that it differentiates; numbers are named as there. A
// place before the first node is the far one, a face behind the last is the opening.
#include "pipe_slopes.h"

#include "pipe_inside.h"

#include <math.h>
#include <string.h>

static double density_at(const struct pipe_slopes *s, int i) {
    return i < 0 ? s->far.density : s->view->density[i];
}

static double flow_at(const struct pipe_slopes *s, int i) {
    return i < s->pipe->cells ? s->state[i * s->pipe->stride] : s->out;
}

static double density_of_face(const struct pipe_slopes *s, int i) {
    return i < s->pipe->cells ? 0.5 * (density_at(s, i - 1) + density_at(s, i))
                              : density_at(s, i - 1);
}

static void add_flow(const struct pipe_slopes *s, int i, double factor, struct pipe_row *row) {
    *(i < s->pipe->cells ? &row->own[i * s->pipe->stride] : &row->outside[PIPE_OUT]) += factor;
}

// --- Nodes

static void gas_node(struct pipe_node_slopes *n, const struct pipe_slopes *s, int i) {
    const struct pipe *pipe = s->pipe;
    const struct pipe_fluid *f = &pipe->fluid;
    const double *cell = s->state + i * pipe->stride;
    double volume = pipe->volume[i] + s->view->room[i], inverse = 1.0 / volume;
    double density = s->view->density[i], pressure = s->view->pressure[i];
    n->density_content = inverse;
    n->density_room = -density * inverse;
    if (!f->thermal) {
        n->pressure_content = f->pressure_per_density * inverse;
        n->pressure_room = -pressure * inverse;
        return;
    }
    bool last = i + 1 == pipe->cells;
    double through = last ? cell[0] : 0.5 * (cell[0] + cell[pipe->stride]);
    double mass_flux = through * pipe->slender[i];
    double moving = 0.5 * mass_flux * mass_flux * volume / density;
    double scale = (f->exponent - 1.0) * inverse;
    n->pressure_energy = scale;
    n->pressure_content = scale * moving / cell[1];
    n->pressure_flow =
        -scale * mass_flux * pipe->slender[i] * volume / density * (last ? 1.0 : 0.5);
    n->pressure_room = -(pressure + 2.0 * scale * moving) * inverse;
    n->enthalpy_energy = f->exponent / cell[1];
    n->enthalpy_content = (volume * n->pressure_content - s->view->enthalpy[i]) / cell[1];
    n->enthalpy_flow = volume * n->pressure_flow / cell[1];
    n->enthalpy_room = -2.0 * scale * moving / cell[1];
}

void pipe_slopes_nodes(struct pipe_slopes *s, const struct pipe *pipe, const double *state,
                       const struct pipe_view *view, const int room[PIPE_ROOMS]) {
    s->pipe = pipe;
    s->state = state;
    s->view = view;
    for (int i = 0; i < pipe->cells; i++) {
        struct pipe_node_slopes *n = &s->node[i];
        *n = (struct pipe_node_slopes){.room = -1};
        for (int k = 0; k < PIPE_ROOMS; k++) {
            n->room = room[k] == i ? k : n->room;
        }
        if (pipe->fluid.liquid) {
            n->pressure_content = pipe->fluid.modulus / pipe->volume[i];
            n->pressure_room = -n->pressure_content;
        } else {
            gas_node(n, s, i);
        }
    }
}

static void add_room(const struct pipe_node_slopes *n, double slope, struct pipe_row *row) {
    if (n->room >= 0) {
        row->outside[PIPE_ROOM + n->room] += slope;
    }
}

// The flows of a node's two sides count alike; of the last node's only its one face does.
static void add_sides(const struct pipe_slopes *s, int i, double factor, struct pipe_row *row) {
    add_flow(s, i, factor, row);
    if (i + 1 < s->pipe->cells) {
        add_flow(s, i + 1, factor, row);
    }
}

void pipe_slopes_density(const struct pipe_slopes *s, int i, double factor, struct pipe_row *row) {
    if (i < 0) {
        row->outside[PIPE_FAR_DENSITY] += factor;
        return;
    }
    const struct pipe_node_slopes *n = &s->node[i];
    row->own[i * s->pipe->stride + 1] += factor * n->density_content;
    add_room(n, factor * n->density_room, row);
}

void pipe_slopes_pressure(const struct pipe_slopes *s, int i, double factor, struct pipe_row *row) {
    if (i < 0) {
        row->outside[PIPE_FAR_PRESSURE] += factor;
        return;
    }
    const struct pipe_node_slopes *n = &s->node[i];
    double *cell = row->own + i * s->pipe->stride;
    cell[1] += factor * n->pressure_content;
    add_room(n, factor * n->pressure_room, row);
    if (s->pipe->fluid.thermal) {
        cell[2] += factor * n->pressure_energy;
        add_sides(s, i, factor * n->pressure_flow, row);
    }
}

void pipe_slopes_enthalpy(const struct pipe_slopes *s, int i, double factor, struct pipe_row *row) {
    const struct pipe_node_slopes *n = &s->node[i];
    double *cell = row->own + i * s->pipe->stride;
    cell[1] += factor * n->enthalpy_content;
    cell[2] += factor * n->enthalpy_energy;
    add_room(n, factor * n->enthalpy_room, row);
    add_sides(s, i, factor * n->enthalpy_flow, row);
}

// --- The added pressure

// What comes in at the far face of a node in volume, less what goes out, and in mass over density.
static void added_by_fronts(struct pipe_slopes *s, int i, double *gaining) {
    struct pipe_node_slopes *n = &s->node[i];
    double slender = s->pipe->slender[i], density = density_at(s, i);
    double in = flow_at(s, i), onward = flow_at(s, i + 1);
    double before = 1.0 / density_of_face(s, i), behind = 1.0 / density_of_face(s, i + 1);
    double volume = in * before, next_volume = onward * behind;
    double closing = (volume - next_volume) * slender, gap = (in - onward) * slender;
    *gaining = gap / density;
    if (s->pipe->fluid.liquid || !(closing > 0.0) || !(*gaining > 0.0)) {
        return;
    }
    bool last = i + 1 == s->pipe->cells;
    double scale = PIPE_FRONT_PRESSURE * slender; // q = scale (in - onward) closing
    n->added = PIPE_FRONT_PRESSURE * closing * gap;
    n->added_flow[1] += scale * closing + PIPE_FRONT_PRESSURE * gap * slender * before;
    n->added_flow[2] -= scale * closing + PIPE_FRONT_PRESSURE * gap * slender * behind;
    double into = -0.5 * scale * gap * volume * before;
    double out = (last ? 1.0 : 0.5) * scale * gap * next_volume * behind;
    n->added_density[0] += into;
    n->added_density[1] += into + out;
    n->added_density[2] += last ? 0.0 : out;
}

// What flattens a change of the gaining speed between two nodes: flows of faces i to i + 2,
// densities of both.
static void added_by_grid(struct pipe_slopes *s, int i, const double *gaining) {
    struct pipe_node_slopes *here = &s->node[i], *next = &s->node[i + 1];
    double scale = PIPE_GRID_DAMPING * s->pipe->wave_speed;
    double bend = scale * (gaining[i + 1] - gaining[i]);
    double of_here = density_at(s, i), of_next = density_at(s, i + 1);
    double slope[3] = {-scale * s->pipe->slender[i] / of_here, 0.0,
                       -scale * s->pipe->slender[i + 1] / of_next};
    slope[1] = -slope[0] - slope[2];
    double by_here = scale * gaining[i] / of_here, by_next = -scale * gaining[i + 1] / of_next;
    for (int k = 0; k < 3; k++) {
        here->added_flow[k + 1] -= of_here * slope[k];
        next->added_flow[k] += of_next * slope[k];
    }
    here->added -= of_here * bend;
    here->added_density[1] -= of_here * by_here + bend;
    here->added_density[2] -= of_here * by_next;
    next->added += of_next * bend;
    next->added_density[0] += of_next * by_here;
    next->added_density[1] += of_next * by_next + bend;
}

void pipe_slopes_ends(struct pipe_slopes *s, struct flow_side far, double far_enthalpy,
                      double out) {
    double gaining[PIPE_CELLS_MAX];
    s->far = far;
    s->far_enthalpy = far_enthalpy;
    s->out = out;
    for (int i = 0; i < s->pipe->cells; i++) {
        added_by_fronts(s, i, &gaining[i]);
    }
    for (int i = 0; i + 2 < s->pipe->cells; i++) {
        added_by_grid(s, i, gaining);
    }
}

static void add_added(const struct pipe_slopes *s, int i, double factor, struct pipe_row *row) {
    const struct pipe_node_slopes *n = &s->node[i];
    for (int k = 0; k < 4; k++) {
        if (n->added_flow[k] != 0.0) {
            add_flow(s, i + k - 1, factor * n->added_flow[k], row);
        }
    }
    for (int k = 0; k < 3; k++) {
        if (n->added_density[k] != 0.0) {
            pipe_slopes_density(s, i + k - 1, factor * n->added_density[k], row);
        }
    }
}

// --- Rates

// Momentum that passes a node, or enters at the far end.
static void add_flux(const struct pipe_slopes *s, int i, double factor, struct pipe_row *row) {
    if (i >= 0) {
        bool last = i + 1 == s->pipe->cells;
        double through = last ? s->out : 0.5 * (flow_at(s, i) + flow_at(s, i + 1));
        double per = through * s->pipe->slender[i] / density_at(s, i);
        add_flow(s, i + 1, factor * per * (last ? 2.0 : 1.0), row);
        if (!last) {
            add_flow(s, i, factor * per, row);
        }
        pipe_slopes_density(s, i, -factor * per * through / density_at(s, i), row);
        return;
    }
    double flow = flow_at(s, 0);
    double share = flow >= 0.0 ? 0.5 * (1.0 - s->pipe->entrance_loss) : 1.0;
    int from = flow >= 0.0 ? -1 : 0;
    double per = share * flow / s->pipe->area[0] / density_at(s, from);
    add_flow(s, 0, factor * 2.0 * per, row);
    pipe_slopes_density(s, from, -factor * per * flow / density_at(s, from), row);
}

static void add_loss(const struct pipe_slopes *s, int i, double factor, struct pipe_row *row) {
    const struct pipe *pipe = s->pipe;
    double flow = flow_at(s, i), inverse = 1.0 / density_of_face(s, i);
    double turbulent = pipe->drag[i] * fabs(flow) / pipe->area[i];
    double laminar = pipe->slow[i] * pipe->fluid.viscosity;
    double per = factor * pipe->span[i] * inverse;
    add_flow(s, i, per * (2.0 * turbulent + laminar), row);
    double by_density = -0.5 * per * flow * (turbulent + laminar) * inverse;
    pipe_slopes_density(s, i - 1, by_density, row);
    pipe_slopes_density(s, i, by_density, row);
}

static void flow_rate(const struct pipe_slopes *s, int i, struct pipe_row *row) {
    double inverse = 1.0 / s->pipe->span[i], area = s->pipe->area[i] * inverse;
    pipe_slopes_pressure(s, i - 1, area, row);
    pipe_slopes_pressure(s, i, -area, row);
    if (i > 0) {
        add_added(s, i - 1, area, row);
    }
    add_added(s, i, -area, row);
    add_flux(s, i - 1, inverse, row);
    add_flux(s, i, -inverse, row);
    add_loss(s, i, -inverse, row);
}

// Energy through a face: its flow times the mean of what both sides have.
static void add_power(const struct pipe_slopes *s, int i, double factor, struct pipe_row *row) {
    double half = 0.5 * factor * flow_at(s, i), mean = 0.0;
    for (int k = i - 1; k <= i; k++) {
        double work = s->node[k].added / density_at(s, k);
        mean += 0.5 * (s->view->enthalpy[k] + work);
        pipe_slopes_enthalpy(s, k, half, row);
        add_added(s, k, half / density_at(s, k), row);
        pipe_slopes_density(s, k, -half * work / density_at(s, k), row);
    }
    add_flow(s, i, factor * mean, row);
}

void pipe_slopes_far_power(const struct pipe_slopes *s, double factor, struct pipe_row *row) {
    double flow = flow_at(s, 0);
    if (flow >= 0.0) {
        add_flow(s, 0, factor * s->far_enthalpy, row);
        row->outside[PIPE_FAR_ENTHALPY] += factor * flow;
    } else {
        add_flow(s, 0, factor * s->view->enthalpy[0], row);
        pipe_slopes_enthalpy(s, 0, factor * flow, row);
    }
}

void pipe_slopes_heat(const struct pipe_slopes *s, int i, double factor, struct pipe_row *row) {
    const struct pipe_fluid *f = &s->pipe->fluid;
    if (i < 0 || s->pipe->wall == 0.0) { // the node beyond the far end is none of the line's
        return;
    }
    double density = density_at(s, i);
    double scale = -factor * s->pipe->wall * f->temperature / (f->pressure_per_density * density);
    pipe_slopes_pressure(s, i, scale, row);
    pipe_slopes_density(s, i, -scale * s->view->pressure[i] / density, row);
}

static void energy_rate(const struct pipe_slopes *s, int i, struct pipe_row *row) {
    if (i == 0) {
        pipe_slopes_far_power(s, 1.0, row);
    } else {
        add_power(s, i, 1.0, row);
    }
    if (i + 1 < s->pipe->cells) {
        add_power(s, i + 1, -1.0, row);
    }
    pipe_slopes_heat(s, i, 1.0, row);
}

void pipe_slopes_rate(const struct pipe_slopes *s, int state, struct pipe_row *row) {
    int i = state / s->pipe->stride, kind = state % s->pipe->stride;
    if (kind == 0) {
        flow_rate(s, i, row);
    } else if (kind == 2) {
        energy_rate(s, i, row);
    } else {
        double per = s->pipe->fluid.liquid ? 1.0 / s->pipe->fluid.density : 1.0;
        add_flow(s, i, per, row);
        if (i + 1 < s->pipe->cells) {
            add_flow(s, i + 1, -per, row);
        }
    }
}
