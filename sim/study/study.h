// SPDX-License-Identifier: MIT
// Many independent points of one scenario, each with some fields changed: resolved and evaluated on
// all cores (and, when built with MPI, on many machines), with progress on a terminal and a
// checkpoint file to go on from. Results lie in the order of the points whatever the number of
// threads or ranks. Knows nothing of what is evaluated.
#pragma once

#include "scenario/scenario.h"

#include <stdbool.h>
#include <stddef.h>

#define STUDY_CHANGES_MAX 48

struct study_change {
    const char *field; // "section.name"; "trim.x" is that of the point's trim
    double si;         // value, SI (absolute pressure, kg/s)
};

struct draws;

struct study_point {
    size_t draw; // of the study's draws, which comes before the changes
    size_t trim; // of the scenario
    size_t change_count;
    struct study_change change[STUDY_CHANGES_MAX];
};

// Fill a point by its index; called on any thread, must be a pure function of index and context.
typedef void (*study_describe)(void *context, size_t index, struct study_point *point);

// Evaluate one resolved case into result[width]; called on any thread, pure. `scenario` is NULL
// when the changed scenario does not resolve: the row should then say so (the study fills NaN).
typedef void (*study_evaluate)(void *context, size_t index, const struct scenario_case *scenario,
                               double *result);

struct study {
    const char *path;             // of the scenario, opened once
    const char *const *overrides; // as for scenario_open
    size_t override_count;
    const struct draws *draws; // NULL: the scenario as it stands
    size_t count;              // points
    size_t width;              // numbers a point yields
    study_describe describe;
    study_evaluate evaluate;
    void *context;               // of the two; shared by all threads, so read-only
    const char *label;           // shown with the progress; NULL: no progress
    int threads;                 // 0: all cores
    const char *checkpoint;      // file to keep finished points in and go on from; NULL: none
    struct screening *screening; // of the runs; NULL: none is screened
    unsigned long fingerprint;   // of everything the points depend on; a checkpoint of another
                                 // study is refused
};

enum study_status {
    STUDY_DONE,
    STUDY_INTERRUPTED,    // by a signal; finished points are in the checkpoint
    STUDY_BAD_USAGE,      // an option's value cannot be
    STUDY_BAD_SCENARIO,   // the scenario itself cannot be read
    STUDY_BAD_CHECKPOINT, // of another study, or not a checkpoint; `message` says what
    STUDY_SOLVER_FAILED,  // the integration gave up
    STUDY_OUTPUT_FAILED,  // the checkpoint cannot be written
    STUDY_NO_MEMORY,
};

// Evaluate all points into result[count][width] (row-major, owned by the caller). A point that was
// not reached is NaN throughout. With MPI every rank gets the whole result.
enum study_status study_run(const struct study *study, double *result, char *message,
                            size_t message_size);

// Fingerprint (base/fingerprint.h) of what `describe` says of points 0 to count - 1: their trims
// and changes.
unsigned long study_fingerprint_points(unsigned long start, study_describe describe, void *context,
                                       size_t count);
