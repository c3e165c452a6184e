// SPDX-License-Identifier: MIT
// Settled or kicked, flow by flow: whether a trim is steady if left alone, the smallest kick that
// does not die out, what a restart after shut-in does, and hysteresis over the same flows. Computes
// only; kick_output.h writes.
#pragma once

#include "command/study_subject.h"
#include "steady/sweep.h"

struct kick_point {
    double flow; // [kg/s]
    struct steadiness_kick smallest;
    enum steadiness_motion restart; // from shut in, the vessel at the scenario's start pressure
    enum verdict restart_verdict;
};

struct kick_trim {
    struct study_subject own;
    struct kick_point *point;     // [points]
    struct sweep_step *up, *down; // [points], by ascending flow both
};

struct kick {
    const struct study_request *request;
    double low, high; // range of flows [kg/s]
    size_t points;
    double largest; // kick tried [Pa]
    size_t trim_count;
    struct kick_trim trim[STUDY_REQUEST_TRIMS_MAX];
};

// Resolve the trims of the request; set the default range (20 % to 150 % of the scenario's flow)
// and the default largest kick (20 % of the set pressure, gauge). EXIT_CODE_DONE, or an exit code
// after a message. Free with kick_free either way.
int kick_open(struct kick *kick, const struct study_request *request);
void kick_free(struct kick *kick);

// Fill every point, on all cores. False: out of memory.
bool kick_find(struct kick *kick);
