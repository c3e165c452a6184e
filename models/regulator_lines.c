// SPDX-License-Identifier: MIT
// Lines in the assembled regulator. Their near ends are nodes like any other: openings pass to and
// from them, and what is passed is what the last node of the pipe gives or gets (pipe.h). What lies
// at their far ends is a volume, or a pressure that is held. The lines to the diaphragm and to the
// pilot may begin at a place on another line: their pressures come after that one's, and their
// rates before.
#include "regulator_lines.h"

#include "evaluation.h"

#include <math.h>

#define TWO_PI 6.283185307179586

double regulator_plug_frequency(const struct regulator_parameters *p) {
    double mass = p->actuator.moving_mass + p->trim.moving_mass + damper_oil_mass(&p->actuator.oil);
    return sqrt(p->actuator.spring_rate / mass) / TWO_PI;
}

struct pipe_fluid regulator_line_fluid(const struct regulator_parameters *p) {
    bool liquid = p->phase == FLUID_LIQUID;
    struct pipe_fluid f = {.liquid = liquid,
                           .thermal = !liquid && !p->isothermal,
                           .exponent = p->gas.exponent,
                           .density = p->liquid.density,
                           .modulus = p->liquid.bulk_modulus,
                           .atmosphere = p->atmosphere,
                           .viscosity = liquid ? p->liquid.viscosity : p->gas.viscosity,
                           .temperature = p->temperature};
    if (!liquid) {
        f.pressure_per_density =
            p->gas.compressibility * GAS_CONSTANT * p->temperature / p->gas.molar_mass;
        f.total_enthalpy = f.exponent / (f.exponent - 1.0) * f.pressure_per_density;
    }
    return f;
}

static int states_of_cell(const struct regulator_parameters *p) {
    return p->phase == FLUID_GAS && !p->isothermal ? 3 : 2;
}

// States left for the lines on the two sides.
static int states_of_sides(const struct regulator_parameters *p) {
    int tubes = 0;
    for (int line = LINE_SIDES; line < LINE_COUNT; line++) {
        tubes += p->line[line].length > 0.0;
    }
    return REGULATOR_LINE_STATES_MAX - tubes * REGULATOR_TUBE_STATES_MAX;
}

static int share_of_side(const struct regulator_parameters *p) {
    return states_of_sides(p) / LINE_SIDES / states_of_cell(p);
}

int regulator_line_cells_most(const struct regulator_parameters *p, enum regulator_line line) {
    if (line >= LINE_SIDES) {
        return REGULATOR_TUBE_STATES_MAX / states_of_cell(p);
    }
    bool both = p->line[LINE_BEFORE].length > 0.0 && p->line[LINE_AFTER].length > 0.0;
    return both ? share_of_side(p) : states_of_sides(p) / states_of_cell(p);
}

int regulator_line_cells(const struct regulator_parameters *p, enum regulator_line line) {
    const struct pipe_parameters *pipe = &p->line[line];
    struct pipe_fluid fluid = regulator_line_fluid(p);
    int most = line >= LINE_SIDES ? regulator_line_cells_most(p, line) : share_of_side(p);
    int wanted = pipe->cells > 0 ? pipe->cells
                                 : pipe_cells(pipe->length + pipe->far_length,
                                              pipe_wave_speed(&fluid), regulator_plug_frequency(p));
    return pipe->cells > 0 || wanted < most ? wanted : most;
}

void regulator_lines_find(struct regulator *r) {
    for (int line = 0; line < LINE_COUNT; line++) {
        bool meant = (line != LINE_LOADING && line != LINE_SUPPLY) || r->has_pilot;
        r->has_line[line] = meant && r->parameters.line[line].length > 0.0;
        r->has_lines |= r->has_line[line];
    }
}

// Half of a line's first piece belongs to where it begins. On another line that is in the nodes
// beside the tap, in proportion.
static void widen_line_below(struct regulator *r, int line) {
    int tap = r->line_far[line];
    if (!r->has_line[line] || tap < NODE_INLET) {
        return;
    }
    int below = regulator_line_beneath(r, line);
    struct pipe *pipe = &r->pipe[below];
    const double volume = r->pipe[line].far_volume;
    int behind = tap == NODE_TAP ? r->tap_cell + 1 : pipe->cells - 1;
    double share = tap == NODE_TAP ? r->tap_share : 1.0;
    pipe_widen(pipe, behind, share * volume);
    if (behind > 0) {
        pipe_widen(pipe, behind - 1, (1.0 - share) * volume);
    } else {
        r->line_share[r->line_far[below]] += (1.0 - share) * volume;
    }
}

void regulator_lines_prepare(struct regulator *r) {
    const struct regulator_parameters *p = &r->parameters;
    bool back = p->duty == DUTY_BACK_PRESSURE;
    r->line_far[LINE_BEFORE] = back ? NODE_CONTROLLED : NODE_BOUNDARY;
    r->line_far[LINE_AFTER] = back ? r->source[NODE_DOWNSTREAM] : NODE_CONTROLLED;
    r->line_far[LINE_SENSE] = r->source[NODE_TAP];
    r->line_far[LINE_LOADING] = NODE_CHAMBER;
    r->line_far[LINE_SUPPLY] =
        p->pilot.supply_from == SUPPLY_STATED ? NODE_STATED_SUPPLY : r->ends.trim_up;
    struct pipe_fluid fluid = regulator_line_fluid(p);
    for (int line = 0; line < LINE_COUNT; line++) {
        if (!r->has_line[line]) {
            continue;
        }
        struct pipe_parameters pipe = p->line[line];
        pipe.cells = regulator_line_cells(p, (enum regulator_line)line);
        pipe_prepare(&r->pipe[line], &pipe, &fluid);
        if (r->line_far[line] < NODE_VOLUMES) {
            r->line_share[r->line_far[line]] += r->pipe[line].far_volume;
        }
    }
    int held = regulator_line_held(p);
    if (p->sense.tap_on_line && r->has_line[held]) {
        pipe_locate(&r->pipe[held], p->sense.tap_distance, &r->tap_cell, &r->tap_share);
    }
    widen_line_below(r, LINE_SENSE);
    widen_line_below(r, LINE_SUPPLY);
}

static int line_slot(struct regulator_layout *l, const char *name, const char *unit, double scale) {
    l->slot[l->count] = (struct regulator_slot){name, unit, scale};
    return l->count++;
}

// The tolerance of a flow follows from its scale alone while its wave is small (a mean flow may be
// next to nothing). With the flow whose wave is as large as the pressure itself, a wave is followed
// to a tenth of the share of the pressure that a volume is followed to: with ten times as much, a
// growth of 4 % was lost at order 2 (scenarios/README.md), with a tenth nothing more is won.
void regulator_lines_lay_out(struct regulator *r, double pressure) {
    static const char *const flow[LINE_COUNT] = {"line flow before", "line flow after",
                                                 "line flow to the diaphragm",
                                                 "line flow to the pilot", "supply line flow"};
    static const char *const held[LINE_COUNT] = {"line mass before", "line mass after",
                                                 "line mass to the diaphragm",
                                                 "line mass to the pilot", "supply line mass"};
    static const char *const excess[LINE_COUNT] = {
        "line excess before", "line excess after", "line excess to the diaphragm",
        "line excess to the pilot", "supply line excess"};
    static const char *const energy[LINE_COUNT] = {
        "line energy before", "line energy after", "line energy to the diaphragm",
        "line energy to the pilot", "supply line energy"};
    struct regulator_layout *l = &r->layout;
    for (int line = 0; line < LINE_COUNT; line++) {
        l->line[line] = -1;
        if (!r->has_line[line]) {
            continue;
        }
        const struct pipe *pipe = &r->pipe[line];
        l->line[line] = l->count;
        l->line_states[line] = pipe->cells * pipe->stride;
        for (int i = 0; i < pipe->cells; i++) {
            double volume = pipe->volume[i], speed = pipe_wave_speed(&pipe->fluid);
            line_slot(l, flow[line], "kg/s", pressure * pipe->area[i] / speed);
            if (r->liquid) {
                line_slot(l, excess[line], "m3", volume * pressure / pipe->fluid.modulus);
                continue;
            }
            line_slot(l, held[line], "kg", volume * pressure / r->pressure_per_density);
            if (r->thermal) {
                line_slot(l, energy[line], "J",
                          volume * pressure / (r->parameters.gas.exponent - 1.0));
            }
        }
    }
}

// The tap lies between two nodes and takes from both in proportion.
static struct flow_side mix(struct flow_side a, struct flow_side b, double share) {
    return (struct flow_side){a.pressure + share * (b.pressure - a.pressure),
                              a.density + share * (b.density - a.density)};
}

int evaluation_lines(struct evaluation *e, const double room[NODE_COUNT]) {
    const struct regulator *r = e->regulator;
    for (int line = 0; line < LINE_COUNT; line++) {
        if (!r->has_line[line]) {
            continue;
        }
        const struct pipe *pipe = &r->pipe[line];
        struct pipe_view *view = &e->pipes[line];
        int near = regulator_line_near(line), far = r->line_far[line], last = pipe->cells - 1;
        for (int i = 0; i <= last; i++) {
            view->room[i] = 0.0;
        }
        view->room[last] = room[near];
        if (regulator_line_taps(r, line)) {
            view->room[r->tap_cell + 1] += r->tap_share * room[NODE_TAP];
            view->room[r->tap_cell < 0 ? 0 : r->tap_cell] += (1.0 - r->tap_share) * room[NODE_TAP];
        }
        if (pipe_read(pipe, e->state + r->layout.line[line], view) != 0) {
            return 1;
        }
        e->side[near] = (struct flow_side){view->pressure[last], view->density[last]};
        e->enthalpy[near] = r->thermal ? view->enthalpy[last] : 0.0;
        if (regulator_line_taps(r, line)) {
            int i = r->tap_cell;
            struct flow_side before = e->side[far];
            double h = e->enthalpy[far];
            if (i >= 0) {
                before = (struct flow_side){view->pressure[i], view->density[i]};
                h = view->enthalpy[i];
            }
            struct flow_side behind = {view->pressure[i + 1], view->density[i + 1]};
            e->side[NODE_TAP] = mix(before, behind, r->tap_share);
            if (r->thermal) {
                e->enthalpy[NODE_TAP] = h + r->tap_share * (view->enthalpy[i + 1] - h);
            }
        }
    }
    return 0;
}

// What is taken from the nodes of a line through openings and by moving walls.
static void gather(struct evaluation *e, int line, double *taken, double *power) {
    const struct regulator *r = e->regulator;
    const struct pipe_view *view = &e->pipes[line];
    int near = regulator_line_near(line), last = r->pipe[line].cells - 1;
    for (int i = 0; i <= last; i++) {
        taken[i] = power[i] = 0.0;
    }
    double work = view->pressure[last] * e->volume_rate[near];
    taken[last] = -e->mass_rate[near];
    power[last] = work - e->energy_rate[near];
    e->line_work += work;
    if (!regulator_line_taps(r, line)) {
        return;
    }
    for (int side = 0; side < 2; side++) {
        int i = r->tap_cell + side;
        double share = side == 0 ? 1.0 - r->tap_share : r->tap_share;
        int moved = i < 0 ? 0 : i; // walls move in nodes of the line's own only
        work = share * view->pressure[moved] * e->volume_rate[NODE_TAP];
        power[moved] += work;
        e->line_work += work;
        if (i < 0) {
            e->mass_rate[r->line_far[line]] += share * e->mass_rate[NODE_TAP];
            e->energy_rate[r->line_far[line]] += share * e->energy_rate[NODE_TAP];
            continue;
        }
        taken[i] -= share * e->mass_rate[NODE_TAP];
        power[i] -= share * e->energy_rate[NODE_TAP];
    }
}

void evaluation_line_rates(struct evaluation *e, double *rate) {
    const struct regulator *r = e->regulator;
    for (int line = LINE_COUNT - 1; line >= 0; line--) {
        if (!r->has_line[line]) {
            continue;
        }
        double taken[PIPE_CELLS_MAX], power[PIPE_CELLS_MAX];
        const struct pipe *pipe = &r->pipe[line];
        int far = r->line_far[line], first = r->layout.line[line];
        gather(e, line, taken, power);
        struct pipe_ends ends = {.far = e->side[far],
                                 .far_enthalpy = e->enthalpy[far],
                                 .out = -e->mass_rate[regulator_line_near(line)],
                                 .taken = taken,
                                 .power = power};
        pipe_rates(pipe, e->state + first, &e->pipes[line], &ends, rate + first);
        e->mass_rate[far] -= ends.far_flow;
        e->energy_rate[far] -= ends.far_power;
        e->line_heat += ends.heat;
        if (e->out) {
            int last = pipe->cells - 1;
            e->out->shaking_force[line] = ends.shaking_force;
            e->out->line_speed[line] = e->state[first + last * pipe->stride] /
                                       (pipe->area[last] * e->pipes[line].density[last]);
        }
    }
}

int regulator_line_pressures(const struct regulator *r, enum regulator_line line,
                             const double *state, double pressure[PIPE_CELLS_MAX]) {
    const struct pipe *pipe = &r->pipe[line];
    struct pipe_view view;
    for (int i = 0; i < pipe->cells; i++) {
        view.room[i] = 0.0;
    }
    if (!r->has_line[line] || pipe_read(pipe, state + r->layout.line[line], &view) != 0) {
        return 0;
    }
    for (int i = 0; i < pipe->cells; i++) {
        pressure[i] = view.pressure[pipe->cells - 1 - i];
    }
    return pipe->cells;
}
