// SPDX-License-Identifier: MIT
// Inside the model only: one evaluation with its slopes over all states at once (forward
// differentiation by hand). Each quantity carries the row of its slopes; a law's own slopes
// (flow_slope.h and beside the laws) fold the rows of what it depends on into one.
#pragma once

#include "evaluation.h"
#include "flow_slope.h"

enum { SLOPES_MAX = 24, SLOPES_LANE = 4 }; // states that drive anything

struct slopes {
    struct evaluation e;
    int n;                  // states that drive anything: the length of each row
    int opening;            // state that is the plug's opening travel
    double sensed_pressure; // [Pa]
    double pressure[NODE_COUNT][SLOPES_MAX];
    double density[NODE_COUNT][SLOPES_MAX];
    double enthalpy[NODE_COUNT][SLOPES_MAX];
    double volume_rate[NODE_COUNT][SLOPES_MAX];
    double mass_rate[NODE_COUNT][SLOPES_MAX];
    double energy_rate[NODE_COUNT][SLOPES_MAX];
    double sensed[SLOPES_MAX];
    double force[SLOPES_MAX];                     // of the fluid
    double row[REGULATOR_STATES_MAX][SLOPES_MAX]; // what is asked for
};

static inline void slopes_add(double *restrict to, double factor, const double *restrict of,
                              int n) {
    for (int i = 0; i < n; i += SLOPES_LANE) {
        for (int k = 0; k < SLOPES_LANE; k++) {
            to[i + k] += factor * of[i + k];
        }
    }
}

static inline double *slopes_row(struct slopes *s, int state) {
    return s->row[state];
}

// Row of a flow between two nodes from the slopes of its law, without its area's.
void slopes_of_flow(const struct slopes *s, const struct flow_slope *law, int from, int to,
                    double *flow);

// evaluation_pass with its slopes.
void slopes_pass(struct slopes *s, int from, int to, double value, const double *flow);

// The steps of evaluation.h.
int slopes_pressures(struct slopes *s);
void slopes_trim_and_force(struct slopes *s);
void slopes_other_flows(struct slopes *s);
void slopes_plug(struct slopes *s);
void slopes_pilot(struct slopes *s);
void slopes_volumes(struct slopes *s);
