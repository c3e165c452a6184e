// SPDX-License-Identifier: MIT
// Runs of each trim over many draws: does it come to rest, does it hit its seat, how far does the
// pressure swing.
#pragma once

#include "among/among.h"
#include "run/severity.h"

enum { AMONG_RUNS_USUAL = 100 }; // draws of a file taken where nobody says how many

enum study_status among_runs(struct study_job *job, const struct study_asked *draws,
                             const struct study_asked *most, const char *checkpoint,
                             struct answer *answer);
