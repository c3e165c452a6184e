// SPDX-License-Identifier: MIT
// A run of pipe between a vessel (or a held pressure) and the regulator: gas or liquid that has
// weight and give, so that waves run to and fro in it. Cells and fluxes: pipe.c; what follows from
// them, in full: models/README.md.
//
// Knows nothing of regulators: its far end lies at a place of given pressure, its near end is an
// opening that takes a given flow. No two-phase flow, no cavitation, no choking inside the pipe.
#pragma once

#include "flow.h"

#include <stdbool.h>

enum { PIPE_CELLS_MAX = 128 };

struct pipe_parameters {
    double length, bore;         // the piece at the regulator [m]; length 0: no pipe
    double far_length, far_bore; // a second piece beyond it, toward the vessel [m]; 0: none
    double roughness;            // of the wall [m]
    double friction;             // Darcy friction factor of turbulent flow [-]
    double entrance_loss;        // share of the velocity head lost on entering from the vessel [-]
    double bend_loss;            // the same lost in bends and fittings, spread over the length [-]
    double wall_conductance; // U A of the whole pipe to a wall at the stream's temperature [W/K]
    double elbow;            // distance of an elbow from the regulator [m]; 0: at the far end
    int cells;               // 0: pipe_cells
};

// The fluid as a pipe takes it.
struct pipe_fluid {
    bool liquid, thermal;
    double exponent;             // gas: k [-]
    double pressure_per_density; // gas at the stream's temperature: Z R T/M [m2/s2]
    double total_enthalpy;       // gas at rest at that temperature [J/kg]
    double density, modulus;     // liquid [kg/m3], [Pa]
    double atmosphere;           // pressure at which a liquid's excess volume is zero [Pa]
    double viscosity;            // [Pa s]
    double temperature;          // of the stream and the walls [K]
};

// Faces are numbered from the far end: face i leads from node i - 1 to node i, node 0 being the
// vessel and the last node the regulator's end. Index 0 here is face 1 and node 1.
struct pipe {
    struct pipe_fluid fluid;
    double wave_speed;                 // of small waves [m/s]
    int cells, stride;                 // nodes of its own; states of each: flow, content, energy
    double span[PIPE_CELLS_MAX];       // length of a face's piece of pipe [m]
    double area[PIPE_CELLS_MAX];       // its cross-section [m2]
    double drag[PIPE_CELLS_MAX];       // turbulent loss, (f/D + K/L)/2 [1/m]
    double slow[PIPE_CELLS_MAX];       // laminar loss over kinematic viscosity, 32/D^2 [1/m2]
    double volume[PIPE_CELLS_MAX];     // of a node [m3]
    double per_volume[PIPE_CELLS_MAX]; // one over it [1/m3]
    double per_area[PIPE_CELLS_MAX], per_span[PIPE_CELLS_MAX]; // of a face [1/m2], [1/m]
    double slender[PIPE_CELLS_MAX]; // mean of 1/area on its two sides [1/m2]
    double far_volume;              // half a piece of pipe that belongs to the vessel [m3]
    double entrance_loss, wall;     // [-], U A of one node [W/K]
    double total_length, length_from_far_to_elbow; // [m]
};

// What the states of a pipe mean.
struct pipe_view {
    double pressure[PIPE_CELLS_MAX]; // [Pa]
    double density[PIPE_CELLS_MAX];  // [kg/m3]
    double specific[PIPE_CELLS_MAX]; // volume, one over the density [m3/kg]
    double enthalpy[PIPE_CELLS_MAX]; // total, with the kinetic energy [J/kg]; thermal only
    double room[PIPE_CELLS_MAX];     // volume that moving parts have made [m3]
};

// What happens at the ends while rates are taken. Flows are positive toward the regulator.
struct pipe_ends {
    struct flow_side far;
    double far_enthalpy;  // [J/kg]
    double out;           // flow through the openings at the near end, out of the pipe [kg/s]
    const double *taken;  // [cells] flow out of each node besides along the pipe [kg/s], out too
    const double *power;  // [cells] energy that goes with it [W], work on moving walls too
    double far_flow;      // result: flow out of the far place [kg/s]
    double far_power;     // result: energy that goes with it [W]
    double heat;          // result: taken up from the walls [W]
    double shaking_force; // result: change of momentum between elbow and regulator [N]
};

// Speed of a small wave [m/s].
double pipe_wave_speed(const struct pipe_fluid *fluid);

// Number of cells by which motions up to a frequency [Hz] are followed in a length [m]: ten a
// quarter wave, and ten at least to the quarter wave of the pipe itself unless that is more than
// ten times as fast; a pipe much shorter than all waves is a single mass and a single spring.
int pipe_cells(double length, double wave_speed, double frequency);

// Darcy friction factor of turbulent flow at a Reynolds number, by Haaland's explicit form of
// Colebrook's (S. E. Haaland, ASME J. Fluids Eng. 105 (1983) 89; value from memory).
double pipe_friction_factor(double reynolds, double relative_roughness);

// What of it a pipe has to add to its laminar loss, 64/Re, which is always there, so that the sum
// is right at this Reynolds number, or at 4000 if it is below that (where the sum is then too
// much).
double pipe_friction_beside_laminar(double reynolds, double relative_roughness);

// Heat that a gas of this conductivity [W/(m K)] in slow flow passes to the wall of a pipe, U A
// [W/K], whatever its bore: Nu = h D/conductivity = 3.66, of a developed laminar flow in a wall of
// one temperature (L. Graetz, W. Nusselt; any text on heat transfer).
double pipe_wall_conductance(double length, double conductivity);

// `parameters->cells` and `friction` must be set.
void pipe_prepare(struct pipe *pipe, const struct pipe_parameters *parameters,
                  const struct pipe_fluid *fluid);

// A node holds so much more [m3]: what branches off there.
void pipe_widen(struct pipe *pipe, int node, double volume);

// Pressures of the nodes from the states [cells * stride]; view->room must be set. 1 when a node is
// empty.
int pipe_read(const struct pipe *pipe, const double *state, struct pipe_view *view);

// Rates of the states.
void pipe_rates(const struct pipe *pipe, const double *state, const struct pipe_view *view,
                struct pipe_ends *ends, double *rate);

// States that stay as they are, with a flow [kg/s] from a far place of that pressure [Pa]; returns
// the pressure at the near end [Pa], NaN when the pipe cannot pass the flow. `state` and `view` may
// be NULL.
double pipe_rest(const struct pipe *pipe, double far_pressure, double flow, double *state,
                 struct pipe_view *view);

// Mass [kg] and energy, internal and kinetic [J], that the states hold.
double pipe_mass(const struct pipe *pipe, const double *state);
double pipe_energy(const struct pipe *pipe, const double *state);

// Place of a point at a distance from the regulator [m]: node index and share of the next one
// toward the regulator; node -1 is the far place.
void pipe_locate(const struct pipe *pipe, double distance, int *node, double *share);
