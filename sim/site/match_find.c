// SPDX-License-Identifier: MIT
// Sequential Monte Carlo: draws of the ranges until enough of them fit, then, where few do, those
// moved about. Source of the tempering: P. Del Moral, A. Doucet, A. Jasra, J. R. Statist. Soc. B 68
// (2006) 411-436.
#include "site/match_inside.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum {
    BATCH = 192,       // draws at a time
    DRAWN_OVER = 40,   // draws from the ranges for each that may be simulated
    CROWD = 500,       // draws carried along while readings are met
    CROWD_MOVES = 4,   // steps of each at every temperature
    CROWD_LEVELS = 40, // temperatures at most
    WALKERS = 96,      // draws moved about with runs
    WALK_LEVELS = 3,
    WALK_MOVES = 3,
};

// The effective share of a crowd left by one change of temperature.
#define LEVEL_SHARE 0.5
#define STEP_FIRST 0.5
#define ACCEPTED 0.25 // of the steps, which their size is set by
// Beyond so many tolerances in one row a draw does not fit.
#define FIT_LEAST (-12.5)
// Fewer fitting draws than this share of those wanted are moved about.
#define MOVE_BELOW 0.5

// Draws under way.
struct crowd {
    size_t count, width; // draws; scores of each
    size_t columns;      // numbers of a draw's runs; 0 while only readings are asked
    // `cheap` is the logarithm of what weighs fully at any temperature, `fit` of what it rules.
    double *score, *cheap, *fit, *result;
    double *next, *next_cheap, *next_fit, *next_result; // proposals
};

struct fits {
    double *cheap, *fit, *result;
};

typedef enum study_status (*ask)(struct match *match, struct study_job *job, size_t count,
                                 const double *score, struct fits out);

static bool crowd_open(struct crowd *c, size_t count, size_t width, size_t columns) {
    *c = (struct crowd){.count = count, .width = width, .columns = columns};
    c->score = calloc(count * width + 1, sizeof(double));
    c->cheap = calloc(count, sizeof(double));
    c->fit = calloc(count, sizeof(double));
    c->result = calloc(count * columns + 1, sizeof(double));
    c->next = calloc(count * width + 1, sizeof(double));
    c->next_cheap = calloc(count, sizeof(double));
    c->next_fit = calloc(count, sizeof(double));
    c->next_result = calloc(count * columns + 1, sizeof(double));
    return c->score && c->cheap && c->fit && c->result && c->next && c->next_cheap && c->next_fit &&
           c->next_result;
}

static void crowd_close(struct crowd *c) {
    free(c->score);
    free(c->cheap);
    free(c->fit);
    free(c->result);
    free(c->next);
    free(c->next_cheap);
    free(c->next_fit);
    free(c->next_result);
}

// --- What a draw is asked

static enum study_status ask_readings(struct match *match, struct study_job *job, size_t count,
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

// How far a draw got, to tell the nearest miss: rows passed by eigenvalues, then by runs.
static void remember_miss(struct match *match, const double *score, size_t stage, size_t row,
                          double distance, size_t *best) {
    const bool nearer = stage > *best || (stage == *best && distance < match->miss_distance);
    if (!nearer || !match->miss) {
        return;
    }
    *best = stage;
    match->miss_row = row;
    match->miss_distance = distance;
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
                match->against[r]++;
                match->calm++;
                to.fit[a->index[i]] = -HUGE_VAL;
                remember_miss(match, a->at[i], r, r, HUGE_VAL, &a->best);
            }
        }
        a->count = kept;
    }
    return STUDY_DONE;
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
            if (fits > FIT_LEAST) {
                to.fit[draw] += fits;
                a->index[kept++] = draw;
            } else {
                match->against[r]++;
                to.fit[draw] = -HUGE_VAL;
                remember_miss(match, a->at[i], match->row_count + r, r, distance, &a->best);
            }
        }
        a->count = kept;
    }
    return STUDY_DONE;
}

// Readings, eigenvalues, then runs, row by row; who falls is asked no more. Of the survivors at
// most `match->most - match->simulated` are run; the others count as not asked (NaN).
static enum study_status ask_all(struct match *match, struct study_job *job, size_t count,
                                 const double *score, struct fits to) {
    struct alive a = {.count = count};
    a.index = calloc(count + 1, sizeof *a.index);
    a.at = calloc(count + 1, sizeof *a.at);
    a.out = calloc(count * MATCH_COLUMNS + 1, sizeof *a.out);
    enum study_status status = STUDY_NO_MEMORY;
    if (a.index && a.at && a.out) {
        memset(to.cheap, 0, count * sizeof *to.cheap);
        status = match->readings.count > 0
                     ? ask_readings(match, job, count, score, (struct fits){to.fit, to.cheap, NULL})
                     : STUDY_DONE;
        a.count = 0;
        for (size_t i = 0; i < count; i++) {
            to.fit[i] = isfinite(to.cheap[i]) ? 0.0 : -HUGE_VAL;
            a.index[a.count] = i;
            a.count += isfinite(to.cheap[i]);
        }
        status = status == STUDY_DONE ? ask_eigenvalues(match, job, &a, score, to) : status;
        const size_t room = match->most > match->simulated ? match->most - match->simulated : 0;
        while (match->row_count > 0 && a.count > room) {
            to.fit[a.index[--a.count]] = (double)NAN;
        }
        status = status == STUDY_DONE ? ask_runs(match, job, &a, score, to) : status;
    }
    free(a.index);
    free(a.at);
    free(a.out);
    return status;
}

// --- Moving about

// Effective share of weights exp(step * fit).
static double share_left(const struct crowd *c, double step) {
    double most = -HUGE_VAL;
    for (size_t i = 0; i < c->count; i++) {
        most = fmax(most, c->fit[i]);
    }
    double sum = 0.0;
    double squares = 0.0;
    for (size_t i = 0; i < c->count && isfinite(most); i++) {
        const double w = isfinite(c->fit[i]) ? exp(step * (c->fit[i] - most)) : 0.0;
        sum += w;
        squares += w * w;
    }
    return squares > 0.0 ? sum * sum / squares / (double)c->count : 0.0;
}

static double next_temperature(const struct crowd *c, double now) {
    if (share_left(c, 1.0 - now) >= LEVEL_SHARE) {
        return 1.0;
    }
    double low = 0.0;
    double high = 1.0 - now;
    for (int i = 0; i < 40; i++) {
        const double middle = 0.5 * (low + high);
        *(share_left(c, middle) >= LEVEL_SHARE ? &low : &high) = middle;
    }
    return now + fmax(low, 1e-6);
}

// Systematic resampling by weights exp(step * fit).
static void resample(struct crowd *c, double step, uint64_t seed, uint64_t branch) {
    struct statistics_stream stream = statistics_stream_open(seed, branch);
    const double start = statistics_stream_unit(&stream);
    double most = -HUGE_VAL;
    double sum = 0.0;
    for (size_t i = 0; i < c->count; i++) {
        most = fmax(most, c->fit[i]);
    }
    for (size_t i = 0; i < c->count; i++) {
        sum += isfinite(c->fit[i]) ? exp(step * (c->fit[i] - most)) : 0.0;
    }
    size_t from = 0;
    double reached = 0.0;
    for (size_t i = 0; i < c->count; i++) {
        const double goal = ((double)i + start) / (double)c->count * sum;
        while (from < c->count) {
            const double w = isfinite(c->fit[from]) ? exp(step * (c->fit[from] - most)) : 0.0;
            if (reached + w > goal || from + 1 == c->count) {
                break;
            }
            reached += w;
            from++;
        }
        memcpy(&c->next[i * c->width], &c->score[from * c->width], c->width * sizeof(double));
        memcpy(&c->next_result[i * c->columns], &c->result[from * c->columns],
               c->columns * sizeof(double));
        c->next_fit[i] = c->fit[from];
        c->next_cheap[i] = c->cheap[from];
    }
    memcpy(c->score, c->next, c->count * c->width * sizeof(double));
    memcpy(c->result, c->next_result, c->count * c->columns * sizeof(double));
    memcpy(c->fit, c->next_fit, c->count * sizeof(double));
    memcpy(c->cheap, c->next_cheap, c->count * sizeof(double));
}

// One step of every draw at a temperature; `step` is made larger or smaller for the next.
static enum study_status move(struct match *match, struct study_job *job, struct crowd *c, ask ask_,
                              double temperature, double *step, uint64_t *branch) {
    for (size_t i = 0; i < c->count; i++) {
        match_space_step(match, (*branch)++, *step, &c->score[i * c->width],
                         &c->next[i * c->width]);
    }
    const enum study_status status = ask_(
        match, job, c->count, c->next, (struct fits){c->next_cheap, c->next_fit, c->next_result});
    if (status != STUDY_DONE) {
        return status;
    }
    struct statistics_stream stream = statistics_stream_open(match->seed, (*branch)++);
    size_t accepted = 0;
    for (size_t i = 0; i < c->count; i++) {
        const double chance = statistics_stream_unit(&stream);
        const double gain =
            c->next_cheap[i] - c->cheap[i] + temperature * (c->next_fit[i] - c->fit[i]);
        const bool better = isinf(c->fit[i]) && isfinite(c->next_fit[i]);
        if (isfinite(c->next_fit[i]) && (better || chance < exp(fmin(gain, 0.0)))) {
            accepted++;
            c->fit[i] = c->next_fit[i];
            c->cheap[i] = c->next_cheap[i];
            memcpy(&c->score[i * c->width], &c->next[i * c->width], c->width * sizeof(double));
            memcpy(&c->result[i * c->columns], &c->next_result[i * c->columns],
                   c->columns * sizeof(double));
        }
    }
    const double rate = (double)accepted / (double)c->count;
    *step = fmin(fmax(*step * exp(2.0 * (rate - ACCEPTED)), 0.02), 0.95);
    return STUDY_DONE;
}

struct schedule_of_moves {
    ask ask_;
    size_t levels, moves;
    bool at_most; // the ceiling on runs ends it
};

// From temperature 0 to 1 at most; what is left of it weighs the draws.
static enum study_status temper(struct match *match, struct study_job *job, struct crowd *c,
                                const struct schedule_of_moves *how, double *reached,
                                uint64_t *branch) {
    double now = 0.0;
    double step = STEP_FIRST;
    enum study_status status = STUDY_DONE;
    for (size_t level = 0; level < how->levels && now < 1.0 && status == STUDY_DONE; level++) {
        const double next = next_temperature(c, now);
        resample(c, next - now, match->seed, (*branch)++);
        now = next;
        for (size_t k = 0; k < how->moves && status == STUDY_DONE; k++) {
            if (!how->at_most || match->simulated < match->most) {
                status = move(match, job, c, how->ask_, now, &step, branch);
            }
        }
    }
    *reached = now;
    return status;
}

// --- Draws that fit

struct keep {
    size_t count, room;
    double *score, *cheap, *fit, *result;
};

// Draw `i` of a crowd with a fit.
static bool keep_add(struct keep *k, const struct crowd *c, size_t i, double cheap, double fit) {
    const size_t width = c->width;
    const size_t columns = c->columns;
    if (k->count == k->room) {
        const size_t room = 2 * k->room + 64;
        double *s = realloc(k->score, (room * width + 1) * sizeof *s);
        k->score = s ? s : k->score;
        double *f = realloc(k->fit, room * sizeof *f);
        k->fit = f ? f : k->fit;
        double *h = realloc(k->cheap, room * sizeof *h);
        k->cheap = h ? h : k->cheap;
        double *r = realloc(k->result, (room * columns + 1) * sizeof *r);
        k->result = r ? r : k->result;
        if (!s || !f || !h || !r) {
            return false;
        }
        k->room = room;
    }
    memcpy(&k->score[k->count * width], &c->score[i * width], width * sizeof(double));
    memcpy(&k->result[k->count * columns], &c->result[i * columns], columns * sizeof(double));
    k->cheap[k->count] = cheap;
    k->fit[k->count++] = fit;
    return true;
}

// Effective number of weights exp(fit).
static double keep_effective(const struct keep *k) {
    const struct crowd c = {.count = k->count, .fit = k->fit};
    return k->count > 0 ? share_left(&c, 1.0) * (double)k->count : 0.0;
}

// Draws of the ranges, or, with readings, of a crowd that agrees with them, batch after batch.
static enum study_status gather(struct match *match, struct study_job *job, struct keep *kept,
                                uint64_t *branch) {
    const size_t width = match->space.input_count;
    const size_t columns = match->row_count * MATCH_COLUMNS;
    const bool read = match->readings.count > 0;
    const struct schedule_of_moves how = {ask_readings, CROWD_LEVELS, CROWD_MOVES, false};
    struct crowd c = {0};
    double reached;
    double step = STEP_FIRST;
    enum study_status status =
        crowd_open(&c, read ? CROWD : BATCH, width, columns) ? STUDY_DONE : STUDY_NO_MEMORY;
    for (size_t i = 0; i < c.count && status == STUDY_DONE; i++) {
        match_space_draw(match, (*branch)++, &c.score[i * width]);
    }
    if (read && status == STUDY_DONE) {
        status = ask_readings(match, job, c.count, c.score, (struct fits){c.cheap, c.fit, NULL});
        status = status == STUDY_DONE ? temper(match, job, &c, &how, &reached, branch) : status;
    }
    const size_t ceiling = DRAWN_OVER * match->most;
    while (status == STUDY_DONE) {
        match->drawn += c.count;
        status = ask_all(match, job, c.count, c.score,
                         (struct fits){c.next_cheap, c.next_fit, c.result});
        for (size_t i = 0; i < c.count && status == STUDY_DONE; i++) {
            if (isfinite(c.next_fit[i]) && !keep_add(kept, &c, i, c.next_cheap[i], c.next_fit[i])) {
                status = STUDY_NO_MEMORY;
            }
        }
        if (status != STUDY_DONE || keep_effective(kept) >= (double)match->wanted ||
            (match->row_count > 0 && match->simulated >= match->most) || match->drawn >= ceiling) {
            break;
        }
        for (size_t i = 0; i < c.count && !read; i++) {
            match_space_draw(match, (*branch)++, &c.score[i * width]);
        }
        for (size_t k = 0; k < CROWD_MOVES && read && status == STUDY_DONE; k++) {
            status = move(match, job, &c, ask_readings, 1.0, &step, branch);
        }
    }
    crowd_close(&c);
    return status;
}

// Few fit: they are moved about, from the flat to the full weight of what was seen.
static enum study_status walk(struct match *match, struct study_job *job, struct keep *kept,
                              uint64_t *branch) {
    const size_t width = match->space.input_count;
    const size_t columns = match->row_count * MATCH_COLUMNS;
    const struct schedule_of_moves how = {ask_all, WALK_LEVELS, WALK_MOVES, true};
    struct crowd c = {0};
    double reached = 0.0;
    if (!crowd_open(&c, WALKERS, width, columns)) {
        crowd_close(&c);
        return STUDY_NO_MEMORY;
    }
    // All that fit at all, in turn: their weights come with the temperature.
    for (size_t i = 0; i < c.count; i++) {
        const size_t from = i % kept->count;
        memcpy(&c.score[i * width], &kept->score[from * width], width * sizeof(double));
        memcpy(&c.result[i * columns], &kept->result[from * columns], columns * sizeof(double));
        c.fit[i] = kept->fit[from];
        c.cheap[i] = kept->cheap[from];
    }
    match->most += match->most; // as many again
    const size_t before = match->simulated;
    enum study_status status = temper(match, job, &c, &how, &reached, branch);
    match->moved = match->simulated - before;
    kept->count = 0;
    for (size_t i = 0; i < c.count && status == STUDY_DONE; i++) {
        if (isfinite(c.fit[i]) && !keep_add(kept, &c, i, c.cheap[i], (1.0 - reached) * c.fit[i])) {
            status = STUDY_NO_MEMORY;
        }
    }
    crowd_close(&c);
    return status;
}

// Weights that sum to 1; the same draw twice becomes one of twice the weight.
static enum study_status weigh(struct match *match, struct keep *kept) {
    const size_t width = match->space.input_count;
    const size_t columns = match->row_count * MATCH_COLUMNS;
    double most = -HUGE_VAL;
    double sum = 0.0;
    match->weight = calloc(kept->count + 1, sizeof *match->weight);
    if (!match->weight) {
        return STUDY_NO_MEMORY;
    }
    for (size_t i = 0; i < kept->count; i++) {
        most = fmax(most, kept->fit[i]);
    }
    size_t count = 0;
    for (size_t i = 0; i < kept->count; i++) {
        const double w = exp(kept->fit[i] - most);
        const double *score = &kept->score[i * width];
        size_t same = 0;
        while (same < count &&
               memcmp(&kept->score[same * width], score, width * sizeof *score) != 0) {
            same++;
        }
        if (same == count) {
            memmove(&kept->score[count * width], score, width * sizeof *score);
            memmove(&kept->result[count * columns], &kept->result[i * columns],
                    columns * sizeof *kept->result);
            count++;
        }
        match->weight[same] += w;
        sum += w;
    }
    for (size_t i = 0; i < count; i++) {
        match->weight[i] /= sum;
    }
    match->count = count;
    match->score = kept->score;
    match->result = kept->result;
    kept->score = NULL;
    kept->result = NULL;
    return STUDY_DONE;
}

enum study_status match_find(struct match *match, struct study_job *job) {
    struct keep kept = {0};
    uint64_t branch = 1;
    match->miss = calloc(match->space.input_count + 1, sizeof *match->miss);
    match->miss_distance = HUGE_VAL;
    enum study_status status = match->miss ? gather(match, job, &kept, &branch) : STUDY_NO_MEMORY;
    if (status == STUDY_DONE && match->row_count > 0 && kept.count > 0 &&
        keep_effective(&kept) < MOVE_BELOW * (double)match->wanted) {
        status = walk(match, job, &kept, &branch);
    }
    if (status == STUDY_DONE) {
        status = weigh(match, &kept);
    }
    free(kept.score);
    free(kept.cheap);
    free(kept.fit);
    free(kept.result);
    return status == STUDY_NO_MEMORY ? study_job_fail(job, status, "out of memory") : status;
}

void match_free(struct match *match) {
    uncertainty_free(&match->space);
    free(match->factor);
    free(match->score);
    free(match->weight);
    free(match->result);
    free(match->miss);
}
