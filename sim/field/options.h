// SPDX-License-Identifier: MIT
// What a scenario says apart from the regulator itself: how a run is carried out, which flows and
// pressures the regulator must serve, and how the flow will decline.
#pragma once

#include <stdbool.h>

enum run_method { RUN_BDF, RUN_ADAMS, RUN_ROSENBROCK };

struct screening; // run/screening.h

struct run_options {
    double duration;           // the run stops here at the latest [s]
    double minimum_duration;   // and not before this [s]
    double sample_interval;    // spacing of the trace [s]
    bool stop_early;           // stop when the verdict is decided
    double relative_tolerance; // [-]
    int max_steps;             // ceiling on solver steps of one run
    enum run_method method;
    bool screened;               // studies try their runs by the quick method first
    struct screening *screening; // of a study that counts them; NULL: no study
    int max_order;               // of the method
    double chatter_rate;         // more seat contacts a second than this is chatter [1/s]
};

enum start_from { START_EQUILIBRIUM, START_SHUT };

struct start_options {
    enum start_from from;
    double pressure;      // of the controlled volume when starting shut [Pa]
    double kick_travel;   // added to the travel at the start, share of rated travel [-]
    double kick_pressure; // added to the controlled pressure at the start [Pa]
};

// What a regulator must serve. NaN where nothing was said; without `peak` there is no envelope.
enum envelope_pressure { ENVELOPE_LINE, ENVELOPE_SET };

struct envelope_options {
    double lowest, normal, peak;        // flow [kg/s]
    enum envelope_pressure pressure_of; // what the range below is of: the downstream (inlet when
                                        // reducing) pressure, or the set pressure
    double pressure_low, pressure_high; // [Pa]
};

enum decline_kind { DECLINE_BEST, DECLINE_EXPONENTIAL, DECLINE_HYPERBOLIC, DECLINE_HARMONIC };
enum decline_basis { DECLINE_EFFECTIVE, DECLINE_NOMINAL };
enum decline_residual { DECLINE_LOG_RATE, DECLINE_OF_RATE };

struct decline_options {
    enum decline_kind kind;         // "best" of a record, or nothing was said
    const char *start;              // YYYY-MM-DD; "" if none
    double rate_start;              // on that date [kg/s]; NaN if none
    double annual;                  // share a year [1/yr]; NaN if none
    enum decline_basis basis;       // of `annual`
    double exponent;                // b [-]; NaN if none
    const char *record;             // name of a CSV file; "" if none
    enum decline_residual residual; // what the fit to a record makes small
};

// What two gauges and a watch gave; NaN where nothing was read. Pressures of the chamber are above
// what the spring case sees, with no drop on the plug.
struct readings_options {
    double first_movement, full_travel;         // rising: stem begins to move, arrives [Pa]
    double leaves_full_travel, last_movement;   // falling: leaves full travel, has shut [Pa]
    double stroke_open, stroke_shut;            // the whole travel [s]
    double low_flow, high_flow;                 // [kg/s]
    double held_at_low_flow, held_at_high_flow; // controlled pressure there [Pa]
    double droop;                               // direct: just open to fully open [Pa]
    double rise, rise_time, rise_flow;          // shut in: pressure gained, in how long, at which
                                                // flow [Pa], [s], [kg/s]
    double gauge, watch;                        // how well they read [Pa], [s]
};

// What a report says of itself; "" where nothing was said. Nothing is computed from it.
struct document_options {
    const char *customer, *site, *date, *author, *reference;
    const char *question; // that the report answers
};
