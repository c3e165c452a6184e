// SPDX-License-Identifier: MIT
// What the files of a match share. Not for anybody else.
#pragma once

#include "site/match.h"

#include "answer/answer.h"
#include "run/severity.h"

// --- match_space.c

bool match_space_factor(struct match *match); // false without memory

// Independent normal scores of a draw from the ranges; of a step from another.
void match_space_draw(const struct match *match, uint64_t branch, double *score);
void match_space_step(const struct match *match, uint64_t branch, double step, const double *from,
                      double *to);

// Place below which a share of the belief in an input lies. Of n draws the next falls into each of
// the n + 1 gaps between them and the ends of the range with the same chance (S. S. Wilks, Ann.
// Math. Statist. 12 (1941) 91-96), so that few draws make no interval too narrow. Weighted ones
// count as so many as they are worth. NaN without memory.
double match_space_place(const double *place, const struct match *match, double share);

// Changes that make a draw of a trim; their number.
size_t match_space_change(const struct match *match, const double *score, size_t trim,
                          struct study_change *change);

// --- match_rows.c

enum study_status match_rows_take(struct match *match, struct study_job *job,
                                  const struct scenario_case *resolved);

// What eigenvalues say of a draw in a row's conditions.
enum match_screen {
    SCREEN_REST,
    SCREEN_GROWTH,
    SCREEN_DAMPING,
    SCREEN_READINGS,
    SCREEN_PASSES,
    SCREEN_COLUMNS
};
bool match_rows_may(const struct match_row *row, const double *screen);

// Logarithm of how well a run fits a row: 0 fits fully, -INFINITY not at all. `distance` is how far
// it is off, in tolerances.
double match_rows_fit(const struct match *match, const struct match_row *row, const double *result,
                      double *distance);

// Many draws in the conditions of one row: by eigenvalues, or simulated.
enum study_status match_rows_screen(struct match *match, struct study_job *job, size_t row,
                                    size_t count, const double *const *score, double *out);
enum study_status match_rows_simulate(struct match *match, struct study_job *job, size_t row,
                                      size_t count, const double *const *score, double *out);

// Changes that make a draw in a row's conditions; one run of it. And a study of either.
size_t match_rows_changes(const struct match *match, const struct match_row *row,
                          const double *score, struct study_change *change);
void match_rows_run(const struct match *match, const struct match_row *row, size_t index,
                    const struct scenario_case *scenario, double *result);
enum study_status match_rows_study(struct match *match, struct study_job *job, struct study *work,
                                   double *out);

// --- match_falls.c

// Why a draw fell at a row: by its eigenvalues, by its run.
enum match_fall match_falls_screened(const struct match_row *row, const double *screen);
enum match_fall match_falls_run(const struct match *match, const struct match_row *row,
                                const double *result, double distance);

const char *match_falls_word(enum match_fall fall);

// What most draws do that speak against a row, and what to look at; the same as a warning where
// that is what most of all draws do and the row itself may be at fault.
const char *match_falls_row(struct answer *answer, const struct match *match, size_t row);
void match_falls_note(struct answer *answer, const struct match *match, size_t row);

// --- match_fit.c

struct match_best {
    bool found;
    double *score;                // [inputs]
    double misfit;                // of the wave [-]
    double result[MATCH_COLUMNS]; // of the recorded row
    size_t runs;
};

// Search on from the best draws for the wave of the record.
enum study_status match_fit(struct match *match, struct study_job *job, struct match_best *best);

// --- the answer

struct match_told {
    const struct match *match;
    const struct match_best *best;
    const struct scenario *scenario;
};

enum match_learning { MATCH_UNTOUCHED, MATCH_NARROWED, MATCH_PINNED };

// What was learnt of a value, as places in its range: 0 to 1, evenly likely before.
struct match_learnt {
    double mean, low, middle, high; // 5 %, 50 %, 95 % of the draws
    double spread;                  // 1: as before
    enum match_learning kind;
};
struct match_learnt match_tables_learnt(const struct match *match, size_t input);

void match_tables_rows(struct answer *answer, const struct match_told *told);
void match_tables_values(struct answer *answer, const struct match_told *told);
void match_tables_pairs(struct answer *answer, const struct match_told *told);
void match_tables_words(struct answer *answer, const struct match_told *told);
bool match_tables_draws(struct answer *answer, const struct match_told *told); // false: no memory
void match_picture_add(struct answer *answer, const struct match_told *told);

// Weighted quantile of values.
double match_quantile(const double *value, const double *weight, size_t count, double share);
