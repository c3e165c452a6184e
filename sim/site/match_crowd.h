// SPDX-License-Identifier: MIT
// A crowd of draws that is moved about until it stands as a likelihood asks: sequential Monte Carlo
// with tempering. Source: P. Del Moral, A. Doucet, A. Jasra, J. R. Statist. Soc. B 68 (2006)
// 411-436.
#pragma once

#include "site/match_inside.h"

enum { CROWD_MAX = 512, CROWD_LINEAGE = 32 };

// Draws under way.
struct crowd {
    size_t count, width; // draws; scores of each
    size_t columns;      // numbers of a draw's runs; 0 while only readings are asked
    double temperature;  // 0: `fit` weighs nothing; 1: fully
    double step;         // of a move
    // `cheap` is the logarithm of what weighs fully at any temperature, `fit` of what it rules.
    double *score, *cheap, *fit, *result;
    double *next, *next_cheap, *next_fit, *next_result; // proposals
    // Each time the crowd was picked anew: from whom each draw came, and how much of it has stayed
    // through the moves since: the correlation of scores that nothing speaks of.
    size_t levels, *parent; // [levels][count]
    double *bond;
};

struct fits {
    double *cheap, *fit, *result;
};

// Ask many draws.
typedef enum study_status (*match_ask)(struct match *match, struct study_job *job, size_t count,
                                       const double *score, struct fits out);

bool match_crowd_open(struct crowd *crowd, size_t count, size_t width, size_t columns);
void match_crowd_close(struct crowd *crowd); // also of one that could not be opened

struct schedule_of_moves {
    match_ask ask;
    size_t levels, moves;
    bool at_most; // the ceiling on runs ends it
};

// From the crowd's temperature to 1 at most, which is left in the crowd; the rest of it weighs the
// draws.
enum study_status match_crowd_temper(struct match *match, struct study_job *job,
                                     struct crowd *crowd, const struct schedule_of_moves *how,
                                     uint64_t *branch);

// One step of every draw at the crowd's temperature; `step` is made larger or smaller for the next.
enum study_status match_crowd_move(struct match *match, struct study_job *job, struct crowd *crowd,
                                   const struct schedule_of_moves *how, uint64_t *branch);

// Draws by their weights exp(step * fit), systematically.
struct match_picking {
    uint64_t seed, branch;
    size_t count, *index;
};
void match_crowd_pick(const double *fit, size_t count, double step,
                      const struct match_picking *picking);

// The draws are now those picked from somewhere.
void match_crowd_born(struct crowd *crowd, const size_t *from);

// Effective number of weighted draws of which some descend from the same: they count for less, the
// less they were moved since they parted.
double match_crowd_effective(const struct crowd *crowd, const double *weight);

// Effective share of weights exp(step * fit).
double match_crowd_share(const double *fit, size_t count, double step);

// --- match_ask.c

// How well draws agree with the readings alone; with everything, in which case those that fall are
// asked no more. Those that move as was seen but are far off in figures stay. Of the survivors of
// the eigenvalues at most `match->most - match->simulated` are run; the others count as not asked
// (NaN).
enum study_status match_ask_readings(struct match *match, struct study_job *job, size_t count,
                                     const double *score, struct fits to);
// Whether a draw is near enough in each row to be called one that fits.
bool match_ask_near(const struct match *match, const double *result);
enum study_status match_ask_all(struct match *match, struct study_job *job, size_t count,
                                const double *score, struct fits to);
