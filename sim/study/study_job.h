// SPDX-License-Identifier: MIT
// What every study is asked: one scenario, some of its trims, the changed fields, and the texts of
// its own options; and how it reports what is wrong. Prints nothing: who asked does.
#pragma once

#include "answer/answer.h"
#include "scenario/scenario.h"
#include "study/study.h"

#define STUDY_TRIMS_MAX 6

// An option of a study's own as the user gave it, in the study's order.
struct study_asked {
    const char *name; // such as "--from"
    const char *text; // NULL: not given; "" for one without a value
    long count;       // of an option that is a whole number
};

struct study_job {
    const char *path; // of the scenario
    const char *const *overrides;
    size_t override_count;
    struct scenario *scenario;
    size_t trim[STUDY_TRIMS_MAX];
    size_t trim_count;
    int threads;                 // 0: all cores
    bool quiet;                  // no progress
    struct screening *screening; // NULL: all runs by CVODE alone
    bool overridden;             // some field was changed by the user
    char message[600];           // what is wrong, unless the status is STUDY_DONE
    struct diagnostics list;     // what is wrong with the scenario
};

// Note what is wrong and return the status.
enum study_status study_job_fail(struct study_job *job, enum study_status status,
                                 const char *format, ...) __attribute__((format(printf, 3, 4)));

// A study of this scenario, with nothing of its points yet; `label` is shown with the progress.
struct study study_job_start(const struct study_job *job, const char *label);

// Threads to work on: those asked for, else one a core; 1 without OpenMP.
int study_job_threads(const struct study_job *job);

// Resolve a trim of the scenario. STUDY_BAD_SCENARIO when it cannot be.
enum study_status study_job_resolve(struct study_job *job, size_t trim, struct scenario_case *out);

// Value of an option that holds a quantity, SI; it may also be a share of `whole`, such as "20 %"
// (whole NaN: it may not). What is not given leaves the value as it is.
enum study_status study_job_quantity(struct study_job *job, const struct study_asked *asked,
                                     enum unit_kind kind, const struct unit_context *site,
                                     double whole, double *si);

// What a picture says of where it is from: site and date, where the scenario says them, its file,
// and what was changed from it by the command.
void study_job_origin(const struct scenario *scenario, struct answer *answer);

// Begin an answer in the units of a resolved trim.
void study_job_answer(const struct study_job *job, const struct scenario_case *scenario,
                      struct answer *answer);
