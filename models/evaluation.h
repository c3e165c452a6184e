// SPDX-License-Identifier: MIT
// Inside the model only: one evaluation in progress, and the steps it is made of.
#pragma once

#include "regulator.h"

#include <string.h>

// One evaluation in progress.
struct evaluation {
    const struct regulator *regulator;
    const struct regulator_mode *mode;
    double time;
    const double *state;
    struct flow_side side[NODE_COUNT];
    double enthalpy[NODE_COUNT];    // specific [J/kg]
    double volume_rate[NODE_COUNT]; // dV/dt of each volume [m3/s]
    double mass_rate[NODE_COUNT];   // [kg/s]
    double energy_rate[NODE_COUNT]; // by flow [W]
    double travel, speed, opening_travel, lift, lift_speed;
    double sensed;                     // pressure at the sensing diaphragm [Pa]
    struct regulator_observation *out; // NULL inside the integration
    struct pipe_view *pipes;           // [LINE_COUNT], filled where there is a line
    double line_work, line_heat;       // done by, and taken up in, the lines [W]
};

// Sums begin at nothing; sides and enthalpies are written before they are read.
static inline void evaluation_begin(struct evaluation *e, const struct regulator *regulator,
                                    const struct regulator_mode *mode, double time,
                                    const double *state) {
    e->regulator = regulator;
    e->mode = mode;
    e->time = time;
    e->state = state;
    e->lift = e->lift_speed = e->sensed = e->line_work = e->line_heat = 0.0;
    e->out = NULL;
    e->pipes = NULL;
#pragma GCC unroll 15
    for (int n = 0; n < NODE_COUNT; n++) {
        e->volume_rate[n] = 0.0;
        e->mass_rate[n] = 0.0;
        e->energy_rate[n] = 0.0;
    }
}

// Mass flow [kg/s] between two nodes, with the enthalpy of the side it comes from.
static inline void evaluation_pass(struct evaluation *e, int from, int to, double flow) {
    e->mass_rate[from] -= flow;
    e->mass_rate[to] += flow;
    if (e->regulator->thermal) {
        double power = flow * e->enthalpy[flow >= 0.0 ? from : to];
        e->energy_rate[from] -= power;
        e->energy_rate[to] += power;
    }
}

// Pressures of all nodes from what they hold; 1 when a volume is empty.
int evaluation_pressures(struct evaluation *e);

// Pressure of the controlled volume alone, which nothing stands in for. Same return.
int evaluation_controlled(struct evaluation *e);

// Lines: pressures of their nodes, with the room made at their ends; then, when all flows are
// known, their rates. 1 when a node is empty.
int evaluation_lines(struct evaluation *e, const double room[NODE_COUNT]);
void evaluation_line_rates(struct evaluation *e, double *rate);

// Rates of change of what the volumes hold, and the running totals.
void evaluation_volumes(struct evaluation *e, double *rate);

// Flow between two nodes through Cd x area [m2].
double evaluation_restriction(const struct evaluation *e, double area, int from, int to);

// Trim flow [kg/s], the share of the drop on the plug (NULL: not wanted; it takes most of the
// time), and a liquid's choked drop [Pa].
double evaluation_trim(const struct evaluation *e, int up, int down, double *share,
                       double *choked_drop);

// Well or demand; pilot supply and exhaust (returns the exhaust pressure); sense line.
void evaluation_well_and_demand(struct evaluation *e);
double evaluation_pilot_flows(struct evaluation *e);
void evaluation_sense(struct evaluation *e, struct flow_side tap, double *rate);

// Force of the fluid on plug and stem [N], opening positive: the trim lies between the nodes up and
// down, and the plug feels this share of the drop inside the seat land.
double evaluation_fluid_force(const struct evaluation *e, int up, int down, double share);

// Force of the set spring on the pilot, or on the plug when direct [N].
double evaluation_set_force(const struct evaluation *e);

// Force on plug and pilot without friction and contact [N], opening positive.
double evaluation_plug_force(const struct evaluation *e, double fluid_force, double sensed);
double evaluation_pilot_force(const struct evaluation *e, double sensed, double exhaust);

// Accelerations of plug and pilot; a held plug's ask for no fluid force.
void evaluation_plug(struct evaluation *e, double fluid_force, double sensed, double *rate);
void evaluation_pilot(struct evaluation *e, double sensed, double exhaust, double *rate);
