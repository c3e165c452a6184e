// SPDX-License-Identifier: MIT
// One trim as a study takes it: resolved, its set screw turned, its numbers shown in the scenario's
// units.
#pragma once

#include "command/study_request.h"
#include "steady/steadiness.h"

#include <stdio.h>

struct study_subject {
    struct scenario_case resolved;
    struct steadiness steadiness;
    bool set_reached; // some travel holds the set pressure at the scenario's flow
};

// Trim `index` of the request. EXIT_CODE_DONE, or EXIT_CODE_SCENARIO after a message. Free with
// study_subject_free either way.
int study_subject_open(const struct study_request *request, size_t index,
                       struct study_subject *out);
void study_subject_free(struct study_subject *subject);

// Unit in which a kind is shown, and a number in it.
const char *study_subject_unit(const struct study_subject *subject, enum unit_kind kind);
double study_subject_shown(const struct study_subject *subject, enum unit_kind kind, double si);

// Travel in percent of the rated one.
double study_subject_percent(const struct study_subject *subject, double travel);

// One line if the set pressure was out of reach.
void study_subject_note(FILE *out, const struct study_subject *subject);

// Options --from, --to and --points of a range of flows; what is not given keeps its value. Shares
// are of the subject's flow. Exit code.
int study_subject_range(const struct study_subject *subject, const struct study_request *request,
                        const struct study_option own[3], long least, long most, double *low,
                        double *high, size_t *points);

// Flow `i` of `count` from low to high, evenly in the logarithm, the ends exactly.
double study_subject_flow(double low, double high, size_t i, size_t count);
