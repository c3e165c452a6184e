// SPDX-License-Identifier: MIT
// What a draw is asked: readings, eigenvalues, then runs, row by row.
#include "site/match_beside.h"
#include "site/match_crowd.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

// Beyond so many tolerances in one row a draw does not fit; as far again for each channel that a
// record has beside the pressure.
#define FIT_LEAST (-12.5)

enum study_status match_ask_readings(struct match *match, struct study_job *job, size_t count,
                                     const double *score, struct fits to) {
    const size_t width = match->space.input_count;
    const double **at = calloc(count + 1, sizeof *at);
    double *out = calloc(count * SCREEN_COLUMNS + 1, sizeof *out);
    enum study_status status = STUDY_NO_MEMORY;
    if (at && out) {
        for (size_t i = 0; i < count; i++) {
            at[i] = &score[i * width];
        }
        status = match_rows_screen(match, job, MATCH_ROWS_MAX, count, at, out);
        for (size_t i = 0; i < count; i++) {
            const double found = out[i * SCREEN_COLUMNS + SCREEN_READINGS];
            to.fit[i] = isnan(found) ? -HUGE_VAL : found;
            to.cheap[i] = 0.0;
        }
    }
    free(at);
    free(out);
    return status;
}

// How far a draw got: rows passed by eigenvalues, then by runs.
struct miss {
    size_t stage, row;
    double distance;
    enum match_fall why;
};

// Counted against its row; the nearest of all is kept to be told.
static void fall(struct match *match, const double *score, const struct miss *miss, size_t *best) {
    const size_t stage = miss->stage;
    const bool nearer = stage > *best || (stage == *best && miss->distance < match->miss_distance);
    match->against[miss->row]++;
    match->fallen[miss->row][miss->why]++;
    if (!nearer || !match->miss) {
        return;
    }
    *best = stage;
    match->miss_row = miss->row;
    match->miss_distance = miss->distance;
    match->miss_fall = miss->why;
    memcpy(match->miss, score, match->space.input_count * sizeof *score);
}

// The draws still in question, by index, and room for what is asked of them.
struct alive {
    size_t count;
    size_t *index;
    const double **at;
    double *out;
    size_t best; // stage of the nearest miss
};

static enum study_status ask_eigenvalues(struct match *match, struct study_job *job,
                                         struct alive *a, const double *score, struct fits to) {
    const size_t width = match->space.input_count;
    for (size_t r = 0; r < match->row_count && a->count > 0; r++) {
        for (size_t i = 0; i < a->count; i++) {
            a->at[i] = &score[a->index[i] * width];
        }
        const enum study_status status = match_rows_screen(match, job, r, a->count, a->at, a->out);
        if (status != STUDY_DONE) {
            return status;
        }
        size_t kept = 0;
        for (size_t i = 0; i < a->count; i++) {
            const double *screen = &a->out[i * SCREEN_COLUMNS];
            match->looked[r]++;
            if (match_rows_may(&match->row[r], screen)) {
                a->index[kept++] = a->index[i];
            } else {
                match->calm++;
                to.fit[a->index[i]] = -HUGE_VAL;
                fall(match, a->at[i],
                     &(struct miss){r, r, HUGE_VAL, match_falls_screened(&match->row[r], screen)},
                     &a->best);
            }
        }
        a->count = kept;
    }
    return STUDY_DONE;
}

static bool near(const struct match *match, size_t row, double fit) {
    const double beside = (double)match_beside_count(&match->record);
    return fit > FIT_LEAST * (match->row[row].recorded ? 1.0 + beside : 1.0);
}

bool match_ask_near(const struct match *match, const double *result) {
    double distance;
    for (size_t r = 0; r < match->row_count; r++) {
        const double *row = &result[r * MATCH_COLUMNS];
        if (!near(match, r, match_rows_fit(match, &match->row[r], row, &distance))) {
            return false;
        }
    }
    return true;
}

static enum study_status ask_runs(struct match *match, struct study_job *job, struct alive *a,
                                  const double *score, struct fits to) {
    const size_t width = match->space.input_count;
    const size_t columns = match->row_count * MATCH_COLUMNS;
    match->simulated += match->row_count > 0 ? a->count : 0;
    for (size_t r = 0; r < match->row_count && a->count > 0; r++) {
        for (size_t i = 0; i < a->count; i++) {
            a->at[i] = &score[a->index[i] * width];
        }
        const enum study_status status =
            match_rows_simulate(match, job, r, a->count, a->at, a->out);
        if (status != STUDY_DONE) {
            return status;
        }
        size_t kept = 0;
        for (size_t i = 0; i < a->count; i++) {
            double distance;
            const size_t draw = a->index[i];
            const double *row = &a->out[i * MATCH_COLUMNS];
            const double fits = match_rows_fit(match, &match->row[r], row, &distance);
            memcpy(&to.result[draw * columns + r * MATCH_COLUMNS], row,
                   MATCH_COLUMNS * sizeof *row);
            to.fit[draw] += fits;
            if (isfinite(fits)) {
                a->index[kept++] = draw;
            }
            if (!near(match, r, fits)) {
                fall(match, a->at[i],
                     &(struct miss){match->row_count + r, r, distance,
                                    match_falls_run(match, &match->row[r], row, distance)},
                     &a->best);
            }
        }
        a->count = kept;
    }
    return STUDY_DONE;
}

// Readings, eigenvalues, then runs, row by row; who falls is asked no more. Of the survivors at
// most `match->most - match->simulated` are run; the others count as not asked (NaN).
enum study_status match_ask_all(struct match *match, struct study_job *job, size_t count,
                                const double *score, struct fits to) {
    struct alive a = {.count = count};
    a.index = calloc(count + 1, sizeof *a.index);
    a.at = calloc(count + 1, sizeof *a.at);
    a.out = calloc(count * MATCH_COLUMNS + 1, sizeof *a.out);
    enum study_status status = STUDY_NO_MEMORY;
    if (a.index && a.at && a.out) {
        memset(to.cheap, 0, count * sizeof *to.cheap);
        status = match->readings.count > 0
                     ? match_ask_readings(match, job, count, score,
                                          (struct fits){to.fit, to.cheap, NULL})
                     : STUDY_DONE;
        a.count = 0;
        for (size_t i = 0; i < count; i++) {
            to.fit[i] = isfinite(to.cheap[i]) ? 0.0 : -HUGE_VAL;
            a.index[a.count] = i;
            a.count += isfinite(to.cheap[i]) ? 1 : 0;
        }
        status = status == STUDY_DONE ? ask_eigenvalues(match, job, &a, score, to) : status;
        const size_t room = match->most > match->simulated ? match->most - match->simulated : 0;
        while (match->row_count > 0 && a.count > room) {
            to.fit[a.index[--a.count]] = (double)NAN;
            match->unasked++;
        }
        status = status == STUDY_DONE ? ask_runs(match, job, &a, score, to) : status;
    }
    free(a.index);
    free(a.at);
    free(a.out);
    return status;
}
