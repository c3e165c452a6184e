// SPDX-License-Identifier: MIT
// One trim as a study takes it: resolved, and its set screw turned. And ranges of flow about it.
#pragma once

#include "steady/steadiness.h"
#include "study/study_job.h"

struct study_subject {
    struct scenario_case resolved;
    struct steadiness steadiness;
    bool set_reached; // some travel holds the set pressure at the scenario's flow
};

// Trim `index` of the job. Free with study_subject_free whatever the outcome.
enum study_status study_subject_open(struct study_job *job, size_t index,
                                     struct study_subject *out);
void study_subject_free(struct study_subject *subject);

// Travel in percent of the rated one.
double study_subject_percent(const struct study_subject *subject, double travel);

// A note if the set pressure was out of reach.
void study_subject_note(struct answer *answer, const struct study_subject *subject);

// Ends of a range of flows as asked (--from, --to); what is not given keeps its value. Shares are
// of the subject's flow.
enum study_status study_subject_range(struct study_job *job, const struct study_subject *subject,
                                      const struct study_asked end[2], double *low, double *high);

// Flow `i` of `count` from low to high, evenly in the logarithm, the ends exactly.
double study_subject_flow(double low, double high, size_t i, size_t count);

// The kick asked for, or the usual one of the scenario (trim_window_kick).
enum study_status study_subject_kick(struct study_job *job, const struct study_asked *asked,
                                     const struct scenario_case *scenario, double *kick);
