// SPDX-License-Identifier: MIT
// Which regulators could be the one on site? Draws hardware from the ranges of a scenario and keeps
// what would have read, moved and sounded as it did: readings, rows of `observed`, and a logger's
// record. Sequential Monte Carlo: most draws fall by their eigenvalues, in a millisecond, before
// anything is simulated; the rest are simulated and weighted; where too few fit, those that do are
// moved about until there are more. What comes out are weighted draws (study/draws.h).
//
// Everything is seeded: the same bytes at any number of threads and ranks. Simulations run in
// studies (study/study.h), each with a checkpoint of its own.
#pragma once

#include "among/uncertainty.h"
#include "site/match_record.h"
#include "site/readings.h"
#include "study/draws.h"
#include "study/study_job.h"

// What a user may ask, in this order.
enum match_asked {
    MATCH_DRAWS,
    MATCH_MOST,
    MATCH_SEED,
    MATCH_GUESSES,
    MATCH_RECORD,
    MATCH_COLUMN,
    MATCH_UNIT,
    MATCH_CHAMBER,
    MATCH_TRAVEL,
    MATCH_CHECKPOINT,
    MATCH_ASKED_COUNT
};

enum { MATCH_ROWS_MAX = 12 };

// Numbers of one run of one draw under the conditions of one row.
enum match_column {
    MATCH_OUTCOME,   // enum verdict, or enum severity_outcome
    MATCH_SWING,     // of the pressure [Pa]; NaN at rest
    MATCH_FREQUENCY, // [Hz]; NaN at rest
    MATCH_CONTACTS,  // [1/min]
    MATCH_MEAN,      // pressure, absolute [Pa]
    MATCH_FEATURES,  // from here on, the features of a record
    MATCH_COLUMNS = MATCH_FEATURES + MATCH_RECORD_FEATURES
};

// Why a draw speaks against a row.
enum match_fall {
    FALL_TOO_SMALL, // the trim cannot pass the flow at the set pressure
    FALL_NOT_HELD,  // it could, but nothing brings the plug there
    FALL_WIDE_OPEN,
    FALL_CLOSED, // shut, cannot open, cannot shut, no rest at all
    FALL_MOVES,
    FALL_RESTS,
    FALL_OTHERWISE, // moves, but not so as was seen
    FALL_FIGURES,   // frequency or swing
    FALL_RECORD,
    FALLS
};

// One row of conditions: seen, recorded, or both.
struct match_row {
    const struct scenario_observed *seen; // NULL: the record alone
    bool recorded;
    bool sticks; // friction may hold what grows by small motions
    size_t trim; // of the scenario
    size_t change_count;
    struct study_change change[OBSERVED_CHANGES_MAX + 1]; // the flow first
    char name[80];                                        // such as "0.15 MMscf/d"
};

struct match {
    struct uncertainty space; // inputs and their ranges, for all trims; the one in place first
    double *factor;           // lower Cholesky factor of the normal scores, [inputs][inputs]
    size_t row_count;
    struct match_row row[MATCH_ROWS_MAX + 1]; // the last: the scenario as it is, for readings
    struct readings readings;
    struct match_record record; // enough false: none
    size_t wanted;              // effective number asked for
    size_t most;                // regulators simulated at most
    uint64_t seed;
    const char *checkpoint;
    size_t studies; // begun so far, for names of checkpoints

    // What was tried.
    size_t drawn;     // from the ranges
    size_t calm;      // of these, fallen by eigenvalues
    size_t simulated; // regulators simulated
    size_t moved;     // of these, by moving about
    size_t unasked;   // not fallen by eigenvalues, and not simulated for want of runs

    // What fits.
    size_t count;
    double *score;  // normal scores of the draws that fit, [count][inputs]
    double *weight; // [count], sum 1
    double kin;     // effective number of draws that descend from each other; 0: none do
    double *result; // [count][row_count][MATCH_COLUMNS]

    // The nearest miss, when nothing fits; also of what fits: how many draws each row spoke
    // against, of those that were looked at for it.
    size_t looked[MATCH_ROWS_MAX], against[MATCH_ROWS_MAX];
    size_t fallen[MATCH_ROWS_MAX][FALLS]; // of those against it, why
    double *miss;                         // normal scores [inputs]; NULL: nothing was near
    size_t miss_row;                      // the row it misses
    double miss_distance;                 // how far, in tolerances; infinite: by its verdict
    enum match_fall miss_fall;
};

// Prepare from the job's scenario: inputs, rows, readings. The trim in place is job->trim[0].
enum study_status match_prepare(struct match *match, struct study_job *job,
                                const struct scenario_case *resolved, double share);

// Find the draws. STUDY_DONE also when nothing fits (count 0).
enum study_status match_find(struct match *match, struct study_job *job);

void match_free(struct match *match);

// Value of input `i` for trim `t` of the space in a draw given by its normal scores, SI.
double match_value(const struct match *match, const double *score, size_t input, size_t trim);

// Place of the draw in the prior range, 0 to 1.
double match_probability(const struct match *match, const double *score, size_t input);

// Effective number of the draws: of their weights, and of kin where some are.
double match_effective(const struct match *match);

// The draws that fit, or `count` of the ranges alone, as a set to be kept in a file.
bool match_draws(const struct match *match, const struct scenario *scenario, struct draws *out);

// All of it, as `lowlift match` answers.
enum study_status match_answer(struct study_job *job, const struct study_asked *asked,
                               struct answer *answer);
