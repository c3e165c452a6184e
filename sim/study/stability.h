// SPDX-License-Identifier: MIT
// Small motions of the trims of a scenario: modes at its own flow, damping over a range of flows,
// neutral flows, and what drives the swing. Computes only; stability_output.h writes.
#pragma once

#include "command/study_subject.h"
#include "steady/driver.h"

struct stability_point {
    double flow; // [kg/s]
    struct steadiness_settled settled;
};

struct stability_trim {
    struct study_subject own;
    struct steadiness_settled today; // at the scenario's own flow
    struct linear_modes modes;       // the same
    struct steadiness_window window; // over the range of flows
    struct stability_point *curve;   // [points]
    bool driven;                     // the next is known
    struct driver_growth growth[DRIVER_COUNT];
};

struct stability {
    const struct study_request *request;
    double low, high; // range of flows [kg/s]
    size_t points;
    size_t trim_count;
    struct stability_trim trim[STUDY_REQUEST_TRIMS_MAX];
};

// Resolve the trims of the request and turn their set screws. EXIT_CODE_DONE, or an exit code after
// a message. Free with stability_free either way.
int stability_open(struct stability *stability, const struct study_request *request);
void stability_free(struct stability *stability);

// Default range: a twentieth of the scenario's flow to the largest flow that any trim passes
// (see steadiness.h), at least twice and at most 1000 times the scenario's flow.
void stability_range(struct stability *stability);

// Fill everything else for the range and number of points set before. False: out of memory.
bool stability_find(struct stability *stability);
