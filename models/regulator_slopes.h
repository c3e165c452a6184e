// SPDX-License-Identifier: MIT
// Inside the model only: one evaluation with its slopes over all states at once (forward
// differentiation by hand). Each quantity carries the row of its slopes; a law's own slopes
// (flow_slope.h and beside the laws) fold the rows of what it depends on into one.
#pragma once

#include "evaluation.h"
#include "flow_slope.h"
#include "pipe_slopes.h"

// States that drive anything but those of lines; of those, the ones by which a line is felt where
// it is tapped or opens: three of its last cell, seven about a tap, four where one begins
// that may do so on another.
enum {
    SLOPES_OWN = 24,
    SLOPES_FELT = 32,
    SLOPES_MAX = SLOPES_OWN + SLOPES_FELT,
    SLOPES_TOTALS = 4,
    SLOPES_LANE = 4
};

// One line while slopes are taken.
struct slopes_line {
    struct pipe_slopes pipe;
    double pressure[2][SLOPES_MAX]; // of the nodes before and behind the tap
    double room[PIPE_ROOMS][2];     // slopes of that over travel and lift
};

struct slopes {
    struct evaluation e;
    int n;                 // length of each row: states that drive anything...
    int own, lines;        // ...but those of lines, of which there are so many; then
    int felt[SLOPES_FELT]; // these of them
    int felt_count;
    struct slopes_line *line; // [LINE_COUNT]
    double line_work[SLOPES_MAX];
    int opening;            // state that is the plug's opening travel
    double sensed_pressure; // [Pa]
    double pressure[NODE_COUNT][SLOPES_MAX];
    double density[NODE_COUNT][SLOPES_MAX];
    double enthalpy[NODE_COUNT][SLOPES_MAX];
    double volume_rate[NODE_COUNT][SLOPES_MAX];
    double mass_rate[NODE_COUNT][SLOPES_MAX];
    double energy_rate[NODE_COUNT][SLOPES_MAX];
    double sensed[SLOPES_MAX];
    double force[SLOPES_MAX];                           // of the fluid
    double row[SLOPES_OWN + SLOPES_TOTALS][SLOPES_MAX]; // what is asked for, but of lines
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
    return s->row[state < s->own ? state : state - s->lines];
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

// Slopes of what moving parts sweep, over travel and lift.
struct room_slopes {
    double travel[NODE_COUNT], lift[NODE_COUNT];
};

// Lines: which of their states are felt; rows of their ends and taps; what is taken there by flows
// and moving walls; and, `row` being the whole matrix, their own rows and what their far ends give.
void slopes_lines_find(struct slopes *s);
void slopes_line_ends(struct slopes *s, const struct room_slopes *size);
void slopes_lines_gather(struct slopes *s);
void slopes_lines_rates(struct slopes *s, double *row);
