// SPDX-License-Identifier: MIT
// Runs side by side: one trim or several, of one scenario or several, simulated, told and drawn.
// What `lowlift run` and `lowlift compare` answer.
#pragma once

#include "run/figure.h"
#include "study/study_job.h"
#include "study/trace_table.h"

enum { COMPARISON_MAX = STUDY_TRIMS_MAX, COMPARISON_LABEL = 96 };

struct comparison_target {
    const struct scenario *scenario; // of somebody else's; several targets may share one
    size_t trim;
};

struct comparison {
    // Asked.
    size_t count;
    struct comparison_target target[COMPARISON_MAX];
    bool tighter;    // measure again at a tenth of the tolerance
    bool everything; // list every value with its source, defaults too
    bool uneven; // leave each run as long as its verdict took: where none is shown beside another
    // Simulated: each target, resolved, and what came of it. Owned by the comparison.
    struct scenario_case scenario[COMPARISON_MAX];
    struct simulation run[COMPARISON_MAX];
    // Found.
    char label[COMPARISON_MAX][COMPARISON_LABEL]; // what tells runs apart: trim, file, or both
    struct trace_table trace[COMPARISON_MAX];
};

// Resolve, simulate and finish every target.
enum study_status comparison_run(struct comparison *comparison, struct study_job *job);

// Make simulated targets comparable: over the same time, told apart by labels. A run that the
// solver or a signal stopped is still there, up to where it stopped, and the status says so.
enum study_status comparison_finish(struct comparison *comparison, struct study_job *job);

// Tell of it; the comparison must outlive the answer.
void comparison_answer(struct comparison *comparison, struct answer *answer);

// Its part: reasons, warnings and notes.
void comparison_notes(const struct comparison *comparison, struct answer *answer);

void comparison_free(struct comparison *comparison);

// Whether every run has something to tell, and the worst verdict of all.
bool comparison_is_recorded(const struct comparison *comparison);
enum verdict comparison_worst(const struct comparison *comparison);

// Whether the runs are of more than one scenario.
bool comparison_is_mixed(const struct comparison *comparison);

// Add the picture; nothing when a run has no record.
void comparison_picture(const struct comparison *comparison, struct answer *answer);
