// SPDX-License-Identifier: MIT
// The assembled regulator: parameters -> state layout -> derivatives. Pure functions of
// (parameters, state, time); SI, absolute pressure, kelvin. No file, no solver, no printing.
//
// Builds are duty x actuation:
//   back-pressure: the controlled volume is upstream; it opens when its pressure rises.
//   reducing:      the controlled volume is downstream; it opens when its pressure falls.
//   pilot:         chamber pressure opens the plug against a spring.
//   direct:        the sensed pressure acts on the diaphragm against the set spring.
#pragma once

#include "contact.h"
#include "damper.h"
#include "fittings.h"
#include "flow.h"
#include "friction.h"
#include "gas.h"
#include "line.h"
#include "liquid.h"
#include "pilot.h"
#include "pipe.h"
#include "schedule.h"
#include "seat.h"
#include "trim.h"

#include <stdbool.h>

enum regulator_duty { DUTY_BACK_PRESSURE, DUTY_REDUCING };
enum regulator_actuation { ACTUATION_PILOT, ACTUATION_DIRECT };
enum fluid_phase { FLUID_GAS, FLUID_LIQUID };
enum reference_pressure { REFERENCE_ATMOSPHERE, REFERENCE_DOWNSTREAM };
enum sense_passage { SENSE_IDEAL, SENSE_ORIFICE, SENSE_LAMINAR };
enum pilot_supply { SUPPLY_UPSTREAM, SUPPLY_STATED };
enum pilot_exhaust { EXHAUST_BLEED, EXHAUST_THREE_WAY };
enum stem_direction { STEM_HORIZONTAL, STEM_WEIGHT_CLOSES, STEM_WEIGHT_OPENS };
enum demand_law { DEMAND_CONSTANT, DEMAND_ORIFICE };
// Lengths of pipe: on either side of the regulator, from the tap to the diaphragm, from the loading
// chamber to the pilot that fills it, and from what feeds the pilot to the pilot.
enum regulator_line {
    LINE_BEFORE,
    LINE_AFTER,
    LINE_SIDES,
    LINE_SENSE = LINE_SIDES,
    LINE_LOADING,
    LINE_SUPPLY,
    LINE_COUNT
};

// Whether something flows in a line at rest: nothing does on the way to a diaphragm or a chamber.
static inline bool regulator_line_flows_at_rest(int line) {
    return line < LINE_SIDES || line == LINE_SUPPLY;
}

struct volume_parameters {
    double volume;           // [m3]; 0 leaves an optional volume out
    double wall_conductance; // U A to a wall at the stream's temperature [W/K]; 0 is adiabatic
};

struct actuator_parameters {
    double diaphragm_area; // effective area shut, A0 [m2]
    double area_loss;      // a [-]: A(x) = A0 (1 - a x/x_r)
    double spring_rate;    // k [N/m]
    double preload;        // F0 [N], spring force at zero travel, positive toward its own side
    double moving_mass;    // without the trim's share [kg]
    double damping;        // linear viscous c [N s/m]
    struct oil_damper_parameters oil;
    struct friction_parameters friction;
    double backlash;      // lost motion between actuator and plug [m]; 0 leaves it out
    double backlash_time; // time in which the linkage takes up a touch [s]
    enum stem_direction stem;
    double stem_diameter; // where it leaves the body through its packing [m]; 0: balanced
    enum reference_pressure case_reference;
    struct volume_parameters chamber;     // loading chamber at zero travel (pilot)
    struct volume_parameters spring_case; // 0: the case is at its reference pressure
    double case_vent_diameter;            // [m]
    double case_vent_discharge;           // [-]
    bool swept_volume;                    // false: moving parts displace nothing
    struct contact_parameters seat;
    struct contact_parameters stop; // upper stop at rated travel
};

struct pilot_parameters {
    double moving_mass;      // m_p [kg]; 0 makes the pilot massless
    double damping;          // c_p [N s/m]
    double spring_rate;      // k_p [N/m]
    double travel;           // distance between the pilot's stops [m]
    double diaphragm_area;   // sensing area A_p [m2]
    double feedback_area;    // chamber feedback area A_fb [m2]
    double seat_unbalance;   // share of the area of its seats left unbalanced [-]
    double supply_diameter;  // supply seat [m]
    double supply_discharge; // [-]
    enum pilot_exhaust exhaust;
    double bleed_diameter;  // fixed bleed, or the exhaust seat of a three-way pilot [m]
    double bleed_discharge; // [-]
    double exhaust_lap;     // three-way: pilot travel at which the exhaust seat shuts [m]
    struct friction_parameters friction;
    struct contact_parameters stops;
    enum pilot_supply supply_from;
    struct volume_parameters supply_volume; // optional volume ahead of the pilot
    double supply_line_diameter;            // restriction feeding that volume [m]
    enum reference_pressure exhaust_to;
};

struct sense_parameters {
    enum sense_passage passage;
    double bore;                     // [m]
    double length;                   // [m]
    double discharge;                // orifice discharge coefficient [-]
    struct volume_parameters cavity; // sensing cavity incl. the line's own volume
    bool inertance;                  // carry the mass flow of the line as a state
    double tap_bore;                 // pipe bore at the tap [m]; 0: tapped at the vessel (static)
    bool tap_on_line;                // on the line between vessel and regulator...
    double tap_distance;             // ...at this distance from the regulator [m]
};

struct regulator_parameters {
    enum regulator_duty duty;
    enum regulator_actuation actuation;
    enum fluid_phase phase;
    struct gas_properties gas;
    struct liquid_properties liquid;
    double temperature;  // of inflow, walls and, when isothermal, everything [K]
    bool isothermal;     // gas: removes the thermal state of every volume
    double atmosphere;   // [Pa]
    double laminar_drop; // drop below which trim, seats, bleed, fittings flow in proportion [Pa]

    struct volume_parameters controlled;
    double gas_cap;          // liquid service: gas volume above the liquid at atmosphere... [m3]
    double gas_cap_pressure; // ...at this pressure [Pa]
    struct schedule level;   // liquid level change taken from the controlled volume [m3]

    struct schedule flow;              // inflow (back-pressure) or demand (reducing) [kg/s]
    enum demand_law demand;            // reducing only
    double flow_reference;             // pressure at which the schedule's rate is meant [Pa]
    double demand_outlet;              // pressure beyond the demand orifice [Pa]
    double well_pressure;              // shut-in pressure of the productivity line [Pa]; 0: none
    struct volume_parameters flowline; // volume between well and vessel; 0: none
    double flowline_diameter;          // restriction between flowline and vessel [m]

    struct schedule boundary; // downstream pressure, or inlet pressure when reducing [Pa]
    struct volume_parameters downstream; // back-pressure: volume after the trim; 0: none
    double downstream_outlet_area;       // Cd A from that volume to the boundary [m2]

    struct schedule set_point;    // pressure the set spring is turned to [Pa] absolute
    bool set_is_force;            // direct: actuator.preload alone is the set force, no set point
    double set_offset;            // force the screw adds so that the set holds at flow [N]
    double pilot_supply_pressure; // stated supply [Pa]

    struct trim_parameters trim;
    struct actuator_parameters actuator;
    struct pilot_parameters pilot;
    struct sense_parameters sense;
    struct fittings_parameters fittings;
    struct pipe_parameters line[LINE_COUNT]; // lengths of pipe in which waves run
};

// Roles a volume can play. An absent volume shares the state of its neighbour or a boundary.
enum regulator_node {
    NODE_CONTROLLED,
    NODE_CHAMBER,
    NODE_CAVITY,
    NODE_SUPPLY,
    NODE_DOWNSTREAM,
    NODE_CASE,
    NODE_FLOWLINE,
    NODE_VOLUMES, // boundaries follow
    NODE_WELL = NODE_VOLUMES,
    NODE_BOUNDARY,
    NODE_ATMOSPHERE,
    NODE_STATED_SUPPLY,
    NODE_DEMAND,
    NODE_INLET,   // ends of the lines at the regulator,
    NODE_OUTLET,  // and
    NODE_TAP,     // where a line is tapped for the sensed pressure
    NODE_SENSE,   // end of the sense line at the diaphragm or its cavity
    NODE_LOADING, // end of the loading line at the pilot
    NODE_FEED,    // end of the supply line at the pilot, or at its supply volume
    NODE_COUNT,
};

#define REGULATOR_STATES_MAX 160
#define REGULATOR_LINE_STATES_MAX 120 // of all lines together
#define REGULATOR_TUBE_STATES_MAX 30  // of a line of tubing, out of these

// What one entry of the state vector is.
struct regulator_slot {
    const char *name;
    const char *unit;
    double scale; // typical size, from which absolute tolerances are made
};

// Index of each state in the vector, -1 when the build leaves it out.
struct regulator_layout {
    int count;
    int travel, speed, bristle, plug; // plug: opening behind the backlash
    int pilot_travel, pilot_speed, pilot_bristle;
    int mass[NODE_VOLUMES];                       // gas: mass [kg]; liquid: excess volume [m3]
    int energy[NODE_VOLUMES];                     // gas, not isothermal: internal energy [J]
    int sense_flow;                               // line with inertance [kg/s]
    int line[LINE_COUNT];                         // first of a line's: flow, content, energy...
    int line_states[LINE_COUNT];                  // ...of each cell from the far end; how many
    int mass_in, mass_out, energy_in, energy_out; // running totals [kg], [J]
    struct regulator_slot slot[REGULATOR_STATES_MAX];
};

enum regulator_hold { HOLD_FREE, HOLD_LOW, HOLD_HIGH };

// Discrete condition of the model. Owned by the integration loop; the derivatives only read it.
struct regulator_mode {
    enum regulator_hold plug;  // HOLD_LOW: on the seat; HOLD_HIGH: at the upper stop
    enum regulator_hold pilot; // HOLD_LOW: shut; HOLD_HIGH: at its stop
    size_t flow_piece, boundary_piece, set_piece, level_piece;
};

// Nodes that the openings between volumes lead from and to.
struct regulator_ends {
    int trim_up, trim_down;        // before and behind the trim
    int pilot_feed, pilot_exhaust; // what feeds the pilot, and what takes its exhaust
    int case_outside;              // what the spring case is open to
};

struct regulator {
    struct regulator_parameters parameters;
    struct regulator_layout layout;
    int source[NODE_COUNT]; // node whose state each role reads
    struct regulator_ends ends;
    struct nozzle nozzle;
    struct trim trim;
    struct seat seat;
    double stem_area; // [m2]
    struct line sense_line;
    struct pilot_forces pilot_forces;
    double pressure_per_density; // Z R T/M [m2/s2]
    double solid_mass;           // actuator and trim [kg]
    double moving_mass;          // with the oil's share [kg]
    double weight;               // along positive travel [N]
    double action;               // sigma_a: +1 pressure opens, -1 pressure closes
    double spring_side;          // sigma_s: +1 preload closes, -1 preload opens
    double heat_ratio;           // F_gamma = k/1.4 [-]
    struct fittings fittings;
    bool has_fittings;
    int volumes, volume[NODE_VOLUMES]; // how many there are, and which nodes they are
    double size[NODE_VOLUMES];         // of each node's, with its share of a line [m3]
    double wall[NODE_VOLUMES];         // conductance of its wall [W/K]
    // What does not change at nodes that are neither a volume nor the end of a line.
    struct flow_side edge[NODE_INLET - NODE_VOLUMES];
    double edge_enthalpy[NODE_INLET - NODE_VOLUMES];               // [J/kg]
    double compliance[NODE_VOLUMES];                               // liquid: V/K [m3/Pa]
    double vent_area, bleed_area, supply_line_area, flowline_area; // Cd A [m2]
    double tap_area;      // pipe area at the tap [m2]; 0: static tap
    double set_reference; // direct: pressure the set point is measured from [Pa]
    bool has_friction, has_pilot_friction, has_pilot, thermal, liquid;
    bool has_lines, has_line[LINE_COUNT];
    struct pipe pipe[LINE_COUNT];
    int line_far[LINE_COUNT];        // node at the line's far end; the near ones: regulator_lines.h
    int tap_cell;                    // of the tapped line, from pipe_locate; -1: its far node
    double tap_share;                // toward the next node
    double line_share[NODE_VOLUMES]; // half a cell of a line that a volume holds [m3]
};

// Everything a run may report, in SI.
struct regulator_observation {
    double pressure[NODE_COUNT];    // [Pa]
    double temperature[NODE_COUNT]; // [K]
    double sensed;                  // pressure at the sensing diaphragm [Pa]
    double upstream, downstream;    // at the trim [Pa]
    double travel, speed;           // of the actuator [m], [m/s]
    double opening_travel;          // of the plug behind the backlash [m]
    double pilot_travel;            // [m]
    double inflow, trim_flow, supply_flow, exhaust_flow, sense_flow; // [kg/s]
    double fluid_force;      // on the plug, opening positive [N]
    double friction_force;   // opposing positive speed [N]
    double contact_force;    // of seat and stop on the plug [N]
    double free_force;       // net force without friction and contact, opening positive [N]
    double pilot_free_force; // the same of the pilot [N]
    double drop_share;       // share of the drop that acts on the plug inside the land [-]
    double choked_drop;      // liquid: drop at which the trim chokes [Pa]
    double shaking_force[LINE_COUNT]; // change of momentum from elbow to regulator [N]
    double line_speed[LINE_COUNT];    // of the fluid at the regulator's end, toward it [m/s]
};

// The volume that a role describes, whether this build has it or not.
const struct volume_parameters *regulator_volume(const struct regulator_parameters *parameters,
                                                 int node);

// Prepare a regulator. The schedules' arrays stay owned by the caller.
void regulator_prepare(struct regulator *regulator, const struct regulator_parameters *parameters);

// The same with a nozzle at hand, which serves where it is of the gas's exponent: fitting one is
// most of the work.
void regulator_prepare_with(struct regulator *regulator,
                            const struct regulator_parameters *parameters,
                            const struct nozzle *nozzle);

// The mode in force at a time, everything free.
struct regulator_mode regulator_mode_at(const struct regulator *regulator, double time);

// Derivative of the state. Returns 0, or 1 when the state is not physical (a volume emptied):
// the caller then tries a shorter step.
int regulator_derivatives(const struct regulator *regulator, const struct regulator_mode *mode,
                          double time, const double *state, double *derivative);

// Slopes of that derivative over the states that drive anything (all before layout.mass_in), exact
// to rounding: row[states][layout.mass_in], row i holding those of derivative i. Same return. On a
// corner of a law (a plug exactly at its travel's end, no drop at all) one side's.
int regulator_slopes(const struct regulator *regulator, const struct regulator_mode *mode,
                     double time, const double *state, double *row);

// An order of the driving states in which lines make a band: position i of the first `banded` ones
// has slopes over those from i - below to i + above only, and over those behind the banded ones.
struct regulator_band {
    int banded, below, above;
    int order[REGULATOR_STATES_MAX];
};
void regulator_band(const struct regulator *regulator, struct regulator_band *out);

// What the state means, for traces and event handling. Same return as regulator_derivatives.
int regulator_observe(const struct regulator *regulator, const struct regulator_mode *mode,
                      double time, const double *state, struct regulator_observation *out);

// Of these, the forces on plug and pilot without friction and contact [N]; NULL: not wanted, which
// costs less. The pilot's only where there is one. Same return.
int regulator_free_forces(const struct regulator *regulator, const struct regulator_mode *mode,
                          double time, const double *state, double *plug, double *pilot);

// The two of these that a verdict reads, at a twentieth of the cost: controlled pressure [Pa], and
// travel of the plug behind the backlash [m]. Returns 1 when the controlled volume is empty.
int regulator_glance(const struct regulator *regulator, const struct regulator_mode *mode,
                     double time, const double *state, double *pressure, double *opening_travel);

enum { REGULATOR_GLANCE_STATES = 5 };

// The states that a glance reads; returns their number.
int regulator_glance_states(const struct regulator *regulator, int state[REGULATOR_GLANCE_STATES]);

// Number of cells of a line when nobody says, from its length and the plug's own frequency.
int regulator_line_cells(const struct regulator_parameters *parameters, enum regulator_line line);

// The largest number of cells that a line may be given, beside the others that there are.
int regulator_line_cells_most(const struct regulator_parameters *parameters,
                              enum regulator_line line);

// Frequency of the plug on its spring alone [Hz].
double regulator_plug_frequency(const struct regulator_parameters *parameters);

// The fluid as a line takes it.
struct pipe_fluid regulator_line_fluid(const struct regulator_parameters *parameters);

// Pressure [Pa] along a line in a state: node 0 is the regulator's end. Returns the nodes' number.
int regulator_line_pressures(const struct regulator *regulator, enum regulator_line line,
                             const double *state, double pressure[PIPE_CELLS_MAX]);

// What stands still.
struct regulator_rest {
    double travel, pilot_travel; // [m]
    const double *pressure;      // [NODE_COUNT], by node role [Pa]
};

// Flow toward the regulator in each line [kg/s]: what trim and pilot pass at rest.
void regulator_line_flows(const struct regulator *regulator, const struct regulator_mode *mode,
                          double time, const struct regulator_rest *rest, double flow[LINE_COUNT]);

// State at rest, every volume at the stream's temperature, nothing moving.
void regulator_rest_state(const struct regulator *regulator, const struct regulator_mode *mode,
                          double time, const struct regulator_rest *rest, double *state);

// The same with the flow in each line known better than from the pressures at the trim [kg/s].
void regulator_rest_state_flowing(const struct regulator *regulator,
                                  const struct regulator_mode *mode, double time,
                                  const struct regulator_rest *rest,
                                  const double line_flow[LINE_COUNT], double *state);

// Mass [kg] and internal energy [J] held in all volumes together.
double regulator_stored_mass(const struct regulator *regulator, const double *state);
double regulator_stored_energy(const struct regulator *regulator, const double *state);
