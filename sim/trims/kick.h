// SPDX-License-Identifier: MIT
// Settled or kicked, flow by flow: whether a trim is steady if left alone, the smallest kick that
// does not die out, what a restart after shut-in does, and hysteresis over the same flows. Computes
// only; kick_answer makes the answer of it.
#pragma once

#include "steady/sweep.h"
#include "study/study_subject.h"

// What a user may ask, in this order.
enum kick_asked {
    KICK_FROM,
    KICK_TO,
    KICK_POINTS,
    KICK_LARGEST,
    KICK_DRAWS,
    KICK_MOST,
    KICK_CHECKPOINT,
    KICK_ASKED_COUNT
};
enum { KICK_DRAWS_USUAL = 40 };

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
    double low, high; // range of flows [kg/s]
    size_t points;
    double largest; // kick tried [Pa]
    size_t trim_count;
    struct kick_trim trim[STUDY_TRIMS_MAX];
};

// Resolve the trims of the job; set the default range (20 % to 150 % of the scenario's flow) and
// the default largest kick (20 % of the set pressure, gauge). Free with kick_free either way.
enum study_status kick_open(struct kick *kick, struct study_job *job);
void kick_free(struct kick *kick);

// Fill every point, on all cores.
enum study_status kick_find(struct kick *kick, struct study_job *job);

// At the scenario's own flow, for the draws asked for.
enum study_status kick_among(struct study_job *job, const struct study_asked *asked,
                             const struct kick *kick, struct answer *answer);

// All of it, as `lowlift kick` answers.
enum study_status kick_answer(struct study_job *job, const struct study_asked *asked,
                              struct answer *answer);
