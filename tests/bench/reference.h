// SPDX-License-Identifier: MIT
//
// The benchmark's yardstick: a back-pressure, pilot-operated gas regulator written the way a
// competent engineer would write it first, and integrated by CVODE with its defaults. It shares
// no code with models/ or sim/, so that a speed ratio compares two programs and not two calls of
// one. It is a simplified model and it is deliberately plain: constant gas temperature, ideal gas,
// incompressible share of the drop at the plug, no seat land, no oil damper, no line inertance,
// constant diaphragm area. It is not part of the product and no scenario reads it.
//
// Everything is SI, pressures are absolute, travel and forces are positive when they open.
#pragma once

enum { REFERENCE_SAMPLES_MAX = 12001 };

struct reference_parameters {
    double gas_constant;         // of the gas, R/M [J/(kg K)]
    double temperature;          // [K]
    double exponent;             // ideal-gas k [-]
    double set_pressure;         // [Pa]
    int set_is_held;             // 1: the pilot is wound until the vessel rests at set pressure;
                                 // 0: it begins to open there, and the vessel rests above it
    double downstream_pressure;  // also pilot exhaust and spring case [Pa]
    double atmospheric_pressure; // [Pa]
    double inflow;               // constant, into the vessel [kg/s]
    double vessel_volume;        // [m3]
    double port_diameter;        // [m]
    double plug_discharge;       // discharge coefficient of curtain and port in series [-]
    double small_discharge;      // of pilot seat, bleed and sense line [-]
    double rated_travel;         // [m]
    double moving_mass;          // [kg]
    double diaphragm_area;       // [m2]
    double spring_rate;          // [N/m]
    double spring_preload;       // [N]
    double stem_damping;         // [N s/m]
    double friction_kinetic;     // 0 leaves friction out [N]
    double friction_static;      // [N]
    double stribeck_speed;       // [m/s]
    double bristle_stiffness;    // [N/m]
    double bristle_damping;      // [N s/m]
    double seat_stiffness;       // [N/m]
    double stop_stiffness;       // upper stop of the plug [N/m]
    double contact_dissipation;  // Hunt-Crossley factor on approach speed, all contacts [s/m]
    double chamber_volume;       // with the plug on its seat [m3]
    double supply_seat_diameter; // [m]
    double bleed_diameter;       // [m]
    double sense_diameter;       // [m]
    double sense_volume;         // with the pilot shut [m3]
    double pilot_mass;           // [kg]
    double pilot_damping;        // [N s/m]
    double pilot_travel;         // [m]
    double pilot_diaphragm_area; // [m2]
    double pilot_spring_rate;    // [N/m]
    double pilot_feedback_area;  // [m2]
    double pilot_stop_stiffness; // both ends of the pilot's travel [N/m]
    double kick_pressure;        // added to the vessel at time zero [Pa]
    double sample_interval;      // [s]
};

struct reference_result {
    long derivative_calls;                  // including those of the difference-quotient Jacobian
    long steps;                             // CVODE's internal steps
    double cpu_seconds;                     // set-up included [s]
    double equilibrium_vessel;              // [Pa]
    double equilibrium_travel;              // [m]
    double equilibrium_chamber;             // [Pa]
    double equilibrium_pilot;               // pilot travel [m]
    double pilot_set_force;                 // [N]
    double window_seconds;                  // length of the last window: a quarter of the run [s]
    double pressure_swing;                  // largest less smallest sample of the window [Pa]
    double travel_swing;                    // the same for the plug [m]
    double frequency;                       // of the vessel pressure in the window, 0 if still [Hz]
    long window_contacts;                   // seat contacts inside the window
    long contacts;                          // seat contacts of the whole run
    int sample_count;                       // used entries below, the first at time zero
    double pressure[REFERENCE_SAMPLES_MAX]; // of the vessel [Pa]
    double travel[REFERENCE_SAMPLES_MAX];   // of the plug [m]
};

// The two starting points named for the main demonstration, 'a' and 'b'. Port in metres, kinetic
// friction in newtons; static friction is 1.3 times that.
struct reference_parameters reference_case(char name, double port_diameter,
                                           double friction_kinetic);

// Starts at the equilibrium for the inflow, with the vessel kicked, and runs to t_end
// [s]. Relative tolerance rtol; absolute tolerances are rtol times a scale of each state.
// Returns 0, or CVODE's negative flag, or 1 when there is no equilibrium between seat and stop or
// t_end asks for more than REFERENCE_SAMPLES_MAX samples. On failure only the samples and the
// equilibrium found so far are meaningful.
int reference_run(const struct reference_parameters *parameters, double t_end, double rtol,
                  struct reference_result *out);
