// SPDX-License-Identifier: MIT
// The finished points of a study on all ranks: kept in files while the study runs, and brought
// together at its end. The first rank keeps the checkpoint that was asked for; each other rank
// keeps its own points in a file beside it, FILE.1, FILE.2 ..., which the next start takes in
// whatever the number of ranks then is. All ranks must call these functions together.
#pragma once

#include "study/checkpoint.h"
#include "study/study.h"

struct study_ledger {
    const struct study *study;
    double *result; // [count][width] of the study
    bool *done;     // [count]
    struct checkpoint file;
};

// Read what is finished into result and done, the same on all ranks, and start to keep more.
enum checkpoint_status study_ledger_open(struct study_ledger *ledger);

// Keep a point that this rank has finished; one thread at a time. False when the file cannot.
bool study_ledger_add(struct study_ledger *ledger, size_t index);

// Give every rank the points of all, and leave one file that holds them.
enum checkpoint_status study_ledger_close(struct study_ledger *ledger);
