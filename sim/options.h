// SPDX-License-Identifier: MIT
// How a run is carried out, apart from the regulator itself.
#pragma once

#include <stdbool.h>

enum run_method { RUN_BDF, RUN_ADAMS };

struct run_options {
    double duration;           // the run stops here at the latest [s]
    double minimum_duration;   // and not before this [s]
    double sample_interval;    // spacing of the trace [s]
    bool stop_early;           // stop when the verdict is decided
    double relative_tolerance; // [-]
    int max_steps;             // ceiling on solver steps of one run
    enum run_method method;
    int max_order;       // of the method
    double chatter_rate; // more seat contacts a second than this is chatter [1/s]
};

enum start_from { START_EQUILIBRIUM, START_SHUT };

struct start_options {
    enum start_from from;
    double pressure;      // of the controlled volume when starting shut [Pa]
    double kick_travel;   // added to the travel at the start, share of rated travel [-]
    double kick_pressure; // added to the controlled pressure at the start [Pa]
};
