// SPDX-License-Identifier: MIT
// Small motions of the trims of a scenario: modes at its own flow, damping over a range of flows,
// neutral flows, and what drives the swing. Computes only; stability_answer makes the answer of it.
#pragma once

#include "steady/driver.h"
#include "study/study_subject.h"

// What a user may ask, in this order.
enum stability_asked { STABILITY_FROM, STABILITY_TO, STABILITY_POINTS, STABILITY_ASKED_COUNT };

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
    double low, high; // range of flows [kg/s]
    size_t points;
    size_t trim_count;
    struct stability_trim trim[STUDY_TRIMS_MAX];
};

// Resolve the trims of the job and turn their set screws. Free with stability_free either way.
enum study_status stability_open(struct stability *stability, struct study_job *job);
void stability_free(struct stability *stability);

// Default range: a twentieth of the scenario's flow to the largest flow that any trim passes
// (see steadiness.h), at least twice and at most 1000 times the scenario's flow.
void stability_range(struct stability *stability);

// Fill everything else for the range and number of points set before.
enum study_status stability_find(struct stability *stability, struct study_job *job);

// Numbers and texts of its picture.
void stability_picture(const struct stability *stability, struct answer *answer);

// All of it, as `lowlift stability` answers.
enum study_status stability_answer(struct study_job *job, const struct study_asked *asked,
                                   struct answer *answer);
