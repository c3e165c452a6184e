// SPDX-License-Identifier: MIT
// A pipe's rates (pipe.h) with their slopes over all that they depend on, derived by hand: its own
// states, of which each cell knows its neighbours only, and a few things outside of it.
// tests/test_slopes.c holds them against differences.
#pragma once

#include "pipe.h"

// What lies outside: the far place, the flow through the opening at the near end, and the room that
// moving parts have made in up to three nodes. What else is taken from the nodes is not in here.
enum {
    PIPE_FAR_PRESSURE,
    PIPE_FAR_DENSITY,
    PIPE_FAR_ENTHALPY,
    PIPE_OUT,
    PIPE_ROOM,
    PIPE_ROOMS = 3,
    PIPE_OUTSIDE = PIPE_ROOM + PIPE_ROOMS
};

// Slopes of what a node holds over its own states: the flows of the faces on its two sides, its
// content, its energy and its room.
struct pipe_node_slopes {
    double density_content, density_room;
    double pressure_flow, pressure_content, pressure_energy, pressure_room;
    double enthalpy_flow, enthalpy_content, enthalpy_energy, enthalpy_room;
    // The pressure q: over the flows of faces i - 1 to i + 2 and the densities of nodes i - 1 to
    // i + 1, the far place and the opening counting as such; and its value.
    double added_flow[4], added_density[3], added;
    int room; // which of those outside, or -1
};

struct pipe_slopes {
    const struct pipe *pipe;
    const double *state;
    const struct pipe_view *view;
    struct flow_side far;
    double far_enthalpy, out;
    struct pipe_node_slopes node[PIPE_CELLS_MAX];
};

// A sum of slopes: over the pipe's own states [cells * stride], and over what is outside.
struct pipe_row {
    double *own;
    double outside[PIPE_OUTSIDE];
};

// First the nodes: `room` names those in which room is made (-1: none). Then what follows from the
// ends.
void pipe_slopes_nodes(struct pipe_slopes *slopes, const struct pipe *pipe, const double *state,
                       const struct pipe_view *view, const int room[PIPE_ROOMS]);
void pipe_slopes_ends(struct pipe_slopes *slopes, struct flow_side far, double far_enthalpy,
                      double out);

// Each adds a factor times the slopes of something to a row: pressure, density or enthalpy of a
// node; the rate of a state, less what is taken from the node; what the far place gives off in
// energy; heat that a node takes up from the walls.
void pipe_slopes_pressure(const struct pipe_slopes *slopes, int node, double factor,
                          struct pipe_row *row);
void pipe_slopes_density(const struct pipe_slopes *slopes, int node, double factor,
                         struct pipe_row *row);
void pipe_slopes_enthalpy(const struct pipe_slopes *slopes, int node, double factor,
                          struct pipe_row *row);
void pipe_slopes_rate(const struct pipe_slopes *slopes, int state, struct pipe_row *row);
void pipe_slopes_far_power(const struct pipe_slopes *slopes, double factor, struct pipe_row *row);
void pipe_slopes_heat(const struct pipe_slopes *slopes, int node, double factor,
                      struct pipe_row *row);
