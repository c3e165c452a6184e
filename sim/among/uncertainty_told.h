// SPDX-License-Identifier: MIT
// The parts of an answer about uncertainty: what was asked, tables, and the picture.
#pragma once

#include "among/uncertainty_summary.h"

// Everything words and files are made from.
struct uncertainty_told {
    const struct uncertainty *study;
    const struct uncertainty_summary *summary; // [trims][flows]
    const struct scenario *scenario;
    double share; // of a guess, either way
};

// Fill a study of the job's trims, whose site is set, from the options; `share` is how far a guess
// may be off, either way.
enum study_status uncertainty_take(struct uncertainty *study, struct study_job *job,
                                   const struct study_asked *asked, double *share);

// A case is a trim at a flow, by index.
size_t uncertainty_told_cases(const struct uncertainty_told *told);
const char *uncertainty_told_trim(const struct uncertainty_told *told, size_t index);

// Flow of a case as asked for [kg/s]; NaN: the scenario's own.
double uncertainty_told_flow(const struct uncertainty_told *told, size_t index);

// "full at 150 Mscf/d": a case as it is named in words and picture.
const char *uncertainty_told_name(struct answer *answer, const struct uncertainty_told *told,
                                  size_t index);

// What the values of a case, or of all cases, are ranked by.
const char *uncertainty_told_measure(enum severity_column measure);
const char *uncertainty_told_measures(const struct uncertainty_told *told);

// What was drawn, on the terminal too if `listed`; every draw; and what the draws sum up to.
void uncertainty_told_inputs(struct answer *answer, const struct uncertainty_told *told,
                             bool listed);
void uncertainty_told_draws(struct answer *answer, const struct uncertainty_told *told);
void uncertainty_told_outcomes(struct answer *answer, const struct uncertainty_told *told);
void uncertainty_told_values(struct answer *answer, const struct uncertainty_told *told);

void uncertainty_told_picture(struct answer *answer, const struct uncertainty_told *told);
