// SPDX-License-Identifier: MIT
// Slopes of the rates over the states, part 5: lines. Follows regulator_lines.c. The parts of a
// regulator feel of a line only its last cell, and those about a tap: their rows have a place for
// these states alone, so that a line of forty cells makes them no longer.
#include "regulator_slopes.h"

#include "regulator_lines.h"

#include <string.h>

#define OWN_MAX REGULATOR_LINE_STATES_MAX

static void feel(int *felt, int *count, int state) {
    for (int k = 0; k < *count; k++) {
        if (felt[k] == state) {
            return;
        }
    }
    felt[(*count)++] = state;
}

// The states of a node, and the flow of the next face, since half of it moves the node's gas.
static void feel_node(const struct regulator *r, int line, int node, int *felt, int *count) {
    const struct pipe *pipe = &r->pipe[line];
    int first = r->layout.line[line] + node * pipe->stride;
    for (int k = 0; k < pipe->stride && node >= 0; k++) {
        feel(felt, count, first + k);
    }
    if (node >= 0 && node + 1 < pipe->cells) {
        feel(felt, count, first + pipe->stride);
    }
}

static int feel_lines(const struct regulator *r, int felt[SLOPES_FELT]) {
    int count = 0;
    for (int line = 0; line < LINE_COUNT; line++) {
        if (r->has_line[line]) {
            feel_node(r, line, r->pipe[line].cells - 1, felt, &count);
            if (regulator_line_taps(r, line)) {
                feel_node(r, line, r->tap_cell, felt, &count);
                feel_node(r, line, r->tap_cell + 1, felt, &count);
            }
            if (regulator_line_branches(line)) {
                feel_node(r, line, 0, felt, &count);
            }
        }
    }
    return count;
}

void slopes_lines_find(struct slopes *s) {
    s->felt_count = feel_lines(s->e.regulator, s->felt);
}

// What is felt of one line stays in the band; what two lines, or a tap, tie together goes behind
// it. The rate of an energy looks furthest: over the flows from two faces before to three behind.
void regulator_band(const struct regulator *r, struct regulator_band *out) {
    const struct regulator_layout *l = &r->layout;
    int lines = 0;
    int felt[SLOPES_FELT], count = 0, place = 0;
    bool behind[REGULATOR_STATES_MAX] = {false};
    for (int line = 0; line < LINE_COUNT; line++) {
        lines += r->has_line[line];
    }
    if (lines > 1 || r->source[NODE_TAP] == NODE_TAP) {
        count = feel_lines(r, felt);
    }
    for (int k = 0; k < count; k++) {
        behind[felt[k]] = true;
    }
    for (int line = 0; line < LINE_COUNT; line++) {
        for (int k = 0; k < l->line_states[line]; k++) {
            out->order[place] = l->line[line] + k;
            place += !behind[l->line[line] + k];
        }
    }
    out->banded = place;
    out->below = r->thermal ? 8 : 4;
    out->above = r->thermal ? 7 : 4;
    int own = l->mass_in - regulator_line_states(r);
    for (int i = 0; i < l->mass_in; i++) {
        if (i < own || behind[i]) {
            out->order[place++] = i;
        }
    }
}

// A row over what is felt from one over the pipe's own states, which is left empty. Rows of what is
// outside must be there.
static void fold(const struct slopes *s, int line, struct pipe_row *of, double *to) {
    const struct regulator *r = s->e.regulator;
    const struct regulator_layout *l = &r->layout;
    for (int k = 0; k < s->felt_count; k++) {
        int place = s->felt[k] - l->line[line];
        if (place >= 0 && place < l->line_states[line]) {
            to[s->own + k] += of->own[place];
            of->own[place] = 0.0;
        }
    }
    int far = r->line_far[line], near = regulator_line_near(line);
    const double *const rows[PIPE_ROOM] = {s->pressure[far], s->density[far], s->enthalpy[far],
                                           s->mass_rate[near]};
    for (int k = 0; k < PIPE_ROOM; k++) {
        if (of->outside[k] != 0.0) {
            slopes_add(to, k == PIPE_OUT ? -of->outside[k] : of->outside[k], rows[k], s->n);
        }
    }
    for (int k = 0; k < PIPE_ROOMS; k++) {
        double slope = of->outside[PIPE_ROOM + k];
        if (slope != 0.0) {
            to[l->travel] += slope * s->line[line].room[k][0];
            to[l->pilot_travel >= 0 ? l->pilot_travel : l->travel] +=
                slope * s->line[line].room[k][1];
        }
    }
    memset(of->outside, 0, sizeof of->outside);
}

static void node_pressure(struct slopes *s, int line, int node, double *row) {
    double own[OWN_MAX] = {0.0};
    struct pipe_row of = {.own = own};
    memset(row, 0, (size_t)s->n * sizeof *row);
    pipe_slopes_pressure(&s->line[line].pipe, node, 1.0, &of);
    fold(s, line, &of, row);
}

// Pressure, density and enthalpy of a place on the line, `share` of the way from a node to the
// next.
static void place_rows(struct slopes *s, int line, int node, double share, int place) {
    double own[OWN_MAX] = {0.0};
    struct pipe_row of = {.own = own};
    const struct pipe_slopes *pipe = &s->line[line].pipe;
    for (int side = 0; side < 2; side++) {
        double weight = side == 0 ? 1.0 - share : share;
        if (weight == 0.0) {
            continue;
        }
        if (node + side < 0) {
            int far = s->e.regulator->line_far[line];
            slopes_add(s->pressure[place], weight, s->pressure[far], s->n);
            slopes_add(s->density[place], weight, s->density[far], s->n);
            slopes_add(s->enthalpy[place], weight, s->enthalpy[far], s->n);
            continue;
        }
        pipe_slopes_pressure(pipe, node + side, weight, &of);
        fold(s, line, &of, s->pressure[place]);
        pipe_slopes_density(pipe, node + side, weight, &of);
        fold(s, line, &of, s->density[place]);
        if (s->e.regulator->thermal) {
            pipe_slopes_enthalpy(pipe, node + side, weight, &of);
            fold(s, line, &of, s->enthalpy[place]);
        }
    }
}

// Room that moving parts make in the nodes: at the near end, and about the tap.
static void rooms_of(const struct slopes *s, int line, const struct room_slopes *size,
                     int node[PIPE_ROOMS]) {
    const struct regulator *r = s->e.regulator;
    struct slopes_line *at = &s->line[line];
    int near = regulator_line_near(line), last = r->pipe[line].cells - 1;
    node[0] = last;
    node[1] = node[2] = -1;
    memset(at->room, 0, sizeof at->room);
    at->room[0][0] = size->travel[near];
    at->room[0][1] = size->lift[near];
    for (int side = 0; side < 2 && regulator_line_taps(r, line); side++) {
        double share = side == 0 ? 1.0 - r->tap_share : r->tap_share;
        int i = r->tap_cell + side;
        i = i < 0 ? 0 : i;
        int slot = i == last ? 0 : i == node[1] ? 1 : side + 1;
        node[slot] = i;
        at->room[slot][0] += share * size->travel[NODE_TAP];
        at->room[slot][1] += share * size->lift[NODE_TAP];
    }
}

void slopes_line_ends(struct slopes *s, const struct room_slopes *size) {
    const struct regulator *r = s->e.regulator;
    for (int line = 0; line < LINE_COUNT; line++) {
        if (!r->has_line[line]) {
            continue;
        }
        int room[PIPE_ROOMS], last = r->pipe[line].cells - 1;
        rooms_of(s, line, size, room);
        pipe_slopes_nodes(&s->line[line].pipe, &r->pipe[line], s->e.state + r->layout.line[line],
                          &s->e.pipes[line], room);
        place_rows(s, line, last, 0.0, regulator_line_near(line));
        if (regulator_line_taps(r, line)) {
            place_rows(s, line, r->tap_cell, r->tap_share, NODE_TAP);
            for (int side = 0; side < 2; side++) {
                int i = r->tap_cell + side;
                node_pressure(s, line, i < 0 ? 0 : i, s->line[line].pressure[side]);
            }
        }
    }
}

// Work that moving walls take from a node, `share` of those at a place.
static void add_work(const struct slopes *s, const double *pressure_row, double pressure,
                     double share, int place, double *to) {
    slopes_add(to, share * s->e.volume_rate[place], pressure_row, s->n);
    slopes_add(to, share * pressure, s->volume_rate[place], s->n);
}

// What a line takes from where it begins, which may be a place on another one.
static void begin_branch(struct slopes *s, int line) {
    const struct regulator *r = s->e.regulator;
    int far = r->line_far[line];
    double own[OWN_MAX] = {0.0}, flow = s->e.state[r->layout.line[line]];
    struct pipe_row of = {.own = own};
    own[0] = -1.0;
    fold(s, line, &of, s->mass_rate[far]);
    s->e.mass_rate[far] -= flow;
    if (r->thermal) {
        pipe_slopes_far_power(&s->line[line].pipe, -1.0, &of);
        fold(s, line, &of, s->energy_rate[far]);
        double first = s->e.pipes[line].enthalpy[0];
        s->e.energy_rate[far] -= flow * (flow >= 0.0 ? s->e.enthalpy[far] : first);
    }
}

void slopes_lines_gather(struct slopes *s) {
    const struct regulator *r = s->e.regulator;
    memset(s->line_work, 0, (size_t)s->n * sizeof *s->line_work);
    for (int line = LINE_COUNT - 1; line >= 0; line--) {
        if (!r->has_line[line]) {
            continue;
        }
        int near = regulator_line_near(line), far = r->line_far[line];
        add_work(s, s->pressure[near], s->e.side[near].pressure, 1.0, near, s->line_work);
        for (int side = 0; side < 2 && regulator_line_taps(r, line); side++) {
            double share = side == 0 ? 1.0 - r->tap_share : r->tap_share;
            int i = r->tap_cell + side;
            add_work(s, s->line[line].pressure[side], s->e.pipes[line].pressure[i < 0 ? 0 : i],
                     share, NODE_TAP, s->line_work);
            if (i < 0) {
                slopes_add(s->mass_rate[far], share, s->mass_rate[NODE_TAP], s->n);
                slopes_add(s->energy_rate[far], share, s->energy_rate[NODE_TAP], s->n);
            }
        }
        pipe_slopes_ends(&s->line[line].pipe, s->e.side[far], s->e.enthalpy[far],
                         -s->e.mass_rate[near]);
        if (regulator_line_branches(line)) {
            begin_branch(s, line);
        }
    }
}

// What a node gains by all but its faces: rows of mass and energy.
static void add_gained(const struct slopes *s, int line, int node, double *mass, double *energy) {
    const struct regulator *r = s->e.regulator;
    int near = regulator_line_near(line);
    if (node + 1 == r->pipe[line].cells) {
        slopes_add(mass, 1.0, s->mass_rate[near], s->n);
        slopes_add(energy, 1.0, s->energy_rate[near], s->n);
        double work[SLOPES_MAX] = {0.0};
        add_work(s, s->pressure[near], s->e.side[near].pressure, 1.0, near, work);
        slopes_add(energy, -1.0, work, s->n);
    }
    for (int side = 0; side < 2 && regulator_line_taps(r, line); side++) {
        double share = side == 0 ? 1.0 - r->tap_share : r->tap_share;
        int i = r->tap_cell + side, moved = i < 0 ? 0 : i;
        if (moved == node) {
            double work[SLOPES_MAX] = {0.0};
            add_work(s, s->line[line].pressure[side], s->e.pipes[line].pressure[moved], share,
                     NODE_TAP, work);
            slopes_add(energy, -1.0, work, s->n);
        }
        if (i == node) {
            slopes_add(mass, share, s->mass_rate[NODE_TAP], s->n);
            slopes_add(energy, share, s->energy_rate[NODE_TAP], s->n);
        }
    }
}

static void spread_line_row(const struct slopes *s, const double *of, double factor, double *row) {
    for (int k = 0; k < s->own; k++) {
        row[k] += factor * of[k];
    }
    for (int k = 0; k < s->felt_count; k++) {
        row[s->felt[k]] += factor * of[s->own + k];
    }
}

// What is outside of a pipe, into a row of the whole matrix.
static void fold_outside(const struct slopes *s, int line, struct pipe_row *of, double *row) {
    bool any = false;
    for (int k = 0; k < PIPE_OUTSIDE; k++) {
        any = any || of->outside[k] != 0.0;
    }
    if (any) {
        double own[OWN_MAX] = {0.0}, to[SLOPES_MAX] = {0.0};
        struct pipe_row outside = {.own = own};
        memcpy(outside.outside, of->outside, sizeof of->outside);
        fold(s, line, &outside, to);
        spread_line_row(s, to, 1.0, row);
    }
}

// What the far place gives off: rows of what it holds, or of the totals when it is the boundary.
static void far_rows(const struct slopes *s, int line, double *matrix) {
    const struct regulator *r = s->e.regulator;
    const struct regulator_layout *l = &r->layout;
    int far = r->line_far[line], first = l->line[line], n = l->mass_in;
    bool volume = far < NODE_VOLUMES, back = r->parameters.duty == DUTY_BACK_PRESSURE;
    double sign = volume || back ? -1.0 : 1.0;
    int mass = volume ? l->mass[far] : back ? l->mass_out : l->mass_in;
    matrix[mass * n + first] += volume && r->liquid ? sign / r->parameters.liquid.density : sign;
    if (r->thermal) {
        double *row = matrix + (volume ? l->energy[far] : back ? l->energy_out : l->energy_in) * n;
        struct pipe_row of = {.own = row + first};
        pipe_slopes_far_power(&s->line[line].pipe, sign, &of);
        fold_outside(s, line, &of, row);
    }
}

static void heat_row(const struct slopes *s, int line, double *matrix) {
    const struct regulator_layout *l = &s->e.regulator->layout;
    double *row = matrix + l->energy_in * l->mass_in;
    struct pipe_row of = {.own = row + l->line[line]};
    for (int i = 0; i < s->e.regulator->pipe[line].cells; i++) {
        pipe_slopes_heat(&s->line[line].pipe, i, 1.0, &of);
    }
    fold_outside(s, line, &of, row);
}

static void line_rows(const struct slopes *s, int line, double *matrix) {
    const struct regulator *r = s->e.regulator;
    const struct regulator_layout *l = &r->layout;
    const struct pipe *pipe = &r->pipe[line];
    double per_density = r->liquid ? 1.0 / r->parameters.liquid.density : 1.0;
    int first = l->line[line];
    for (int k = 0; k < l->line_states[line]; k++) {
        double *row = matrix + (first + k) * l->mass_in;
        struct pipe_row of = {.own = row + first};
        pipe_slopes_rate(&s->line[line].pipe, k, &of);
        fold_outside(s, line, &of, row);
    }
    for (int i = 0; i < pipe->cells; i++) {
        bool about_tap = regulator_line_taps(r, line) && i >= r->tap_cell && i <= r->tap_cell + 1;
        if (i + 1 == pipe->cells || about_tap) {
            double mass[SLOPES_MAX] = {0.0}, energy[SLOPES_MAX] = {0.0};
            double *row = matrix + (first + i * pipe->stride + 1) * l->mass_in;
            add_gained(s, line, i, mass, energy);
            spread_line_row(s, mass, per_density, row);
            if (r->thermal) {
                spread_line_row(s, energy, 1.0, row + l->mass_in);
            }
        }
    }
}

void slopes_lines_rates(struct slopes *s, double *matrix) {
    for (int line = 0; line < LINE_COUNT; line++) {
        if (s->e.regulator->has_line[line]) {
            line_rows(s, line, matrix);
            if (!regulator_line_branches(line)) {
                far_rows(s, line, matrix);
            }
            if (s->e.regulator->thermal) {
                heat_row(s, line, matrix);
            }
        }
    }
}
