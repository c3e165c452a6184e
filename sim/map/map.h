// SPDX-License-Identifier: MIT
// A map: how a regulator behaves over two fields of its scenario, such as flow and port diameter.
// Evaluates the points; map_answer makes the answer of them.
//
// Each point is one trim with two fields changed, all others as they are, its set screw turned once
// at the scenario's own first flow (see steadiness.h) and every schedule held at its first value.
#pragma once

#include "judge/verdict.h"
#include "map/map_axis.h"
#include "steady/steadiness.h"
#include "study/study_job.h"

// What a user may ask, in this order.
enum map_asked {
    MAP_ASKED_ACROSS,
    MAP_ASKED_UP,
    MAP_ASKED_LOG,
    MAP_ASKED_POINTS,
    MAP_ASKED_LINEAR,
    MAP_ASKED_FINE,
    MAP_ASKED_CHECKPOINT,
    MAP_ASKED_COUNT
};

// What a row holds. Not a number where there is none.
enum map_value {
    MAP_REST,      // enum map_rest
    MAP_GROWTH,    // of the fastest-growing mode [1/s]
    MAP_FREQUENCY, // of that mode [Hz]
    MAP_DAMPING,   // lowest damping ratio [-]
    MAP_TRAVEL,    // at rest, share of the rated travel [-]
    MAP_PRESSURE,  // at rest [Pa]
    MAP_VERDICT,   // enum verdict; simulated maps only, like the rest
    MAP_SWING,     // of the controlled pressure [Pa]
    MAP_SEAT_RATE, // seat contacts [1/min]
    MAP_MOTION,    // frequency of the motion [Hz]
    MAP_WIDTH
};

// The outcomes of steadiness.h, and two more.
enum map_rest {
    MAP_OUT_OF_REACH = STEADINESS_FAILED + 1, // the set pressure, at the scenario's own flow
    MAP_IMPOSSIBLE,                           // the changed scenario contradicts itself
    MAP_REST_COUNT
};

struct map {
    const struct scenario *scenario; // outlives the map
    size_t trim;                     // whose other fields hold everywhere
    struct map_axis across, up;
    bool simulated; // else eigenvalues only
    bool fine;      // decide each point as a single run would: twice the time
    double *row;    // [across.count * up.count][MAP_WIDTH], row by row upward; then one for each
                    // trim of the scenario as it is, at the scenario's own flow
};

// Evaluate all points with what the study says of scenario, threads, checkpoint and label. Free
// with map_free whatever comes.
enum study_status map_run(struct map *map, struct study *study, char *message, size_t message_size);
void map_free(struct map *map);

// Points of the grid, their rows, and the row of a trim.
size_t map_count(const struct map *map);
const double *map_row(const struct map *map, size_t across, size_t up);
const double *map_trim_row(const struct map *map, size_t trim);

const char *map_rest_name(double rest);

// Verdict of a simulated row, how a row rests otherwise; for tables and counts.
const char *map_outcome(const struct map *map, const double *row);

// --- As a command

// Set up a map as asked. STUDY_BAD_USAGE when that cannot be.
enum study_status map_take(struct map *map, struct study_job *job, const struct study_asked *asked);

// What its files are called after the command: empty for the usual map, otherwise what sets it
// apart, such as "linear" or "trim-reduced.60x40.1f00ba42". The last part stands for what has no
// short name: ranges, --log, fields changed, further trims. The same command has the same name.
const char *map_variant(const struct map *map, const struct study_job *job,
                        const struct study_asked *asked, struct answer *answer);

// Numbers and texts of its picture.
void map_picture(const struct map *map, const struct study_job *job, struct answer *answer);

// All of it, as `lowlift map` answers.
enum study_status map_answer(struct study_job *job, const struct study_asked *asked,
                             struct answer *answer);
