// SPDX-License-Identifier: MIT
// Draws of the ranges until enough of them fit, then, where few do, those moved about.
#include "site/match_crowd.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum {
    BATCH = 192,       // draws at a time
    DRAWN_OVER = 40,   // draws from the ranges for each that may be simulated
    CROWD = 320,       // draws carried along while readings are met
    CROWD_MOVES = 3,   // steps of each at every temperature
    RENEW_MOVES = 150, // at most, between batches
    CROWD_LEVELS = 40, // temperatures at most
    WALKERS = 96,      // draws moved about with runs
    WALK_LEVELS = 24,
    WALK_MOVES = 3,
};

// Fewer fitting draws than this share of those wanted: up to as many again are simulated. Of the
// ranges, if some few fit, since draws moved about resemble each other; else by moving.
#define MORE_BELOW 0.5
#define MOVE_BELOW 10.0

// What of a draw may be left, as a correlation, before it counts as another.
#define RENEWED 0.25

// What moves as was seen, near in figures or far; weights are of the near ones alone.
struct keep {
    size_t count, room, near;
    double *score, *cheap, *fit, *result;
    double effective; // of a crowd whose draws are kin; 0: they are not
    // Batches of a crowd that is moved between them, and how much of each is new.
    size_t batches;
    double fresh;
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
    const double unrelated = k->batches > 0 ? k->fresh / (double)k->batches : 1.0;
    return k->near > 0 ? match_crowd_share(k->fit, k->count, 1.0) * (double)k->count * unrelated
                       : 0.0;
}

// Moves draws of a crowd that readings alone rule, which costs next to nothing, until little of
// each is left. How much that makes new is noted: of the first batch, by who descends from whom; of
// the next, as of a series whose neighbours correlate by so much (M. S. Bartlett, J. R. Statist.
// Soc. 98 (1935) 536-543).
static enum study_status renew(struct match *match, struct study_job *job, struct crowd *c,
                               const struct schedule_of_moves *how, struct keep *kept,
                               uint64_t *branch) {
    size_t self[CROWD_MAX] = {0};
    double one[CROWD_MAX];
    double left = 1.0;
    enum study_status status = STUDY_DONE;
    for (size_t i = 0; i < c->count; i++) {
        self[i] = i;
        one[i] = 1.0;
    }
    match_crowd_born(c, self);
    for (size_t k = 0; k < RENEW_MOVES && left > RENEWED && status == STUDY_DONE; k++) {
        status = match_crowd_move(match, job, c, how, branch);
        left = 0.0;
        for (size_t i = 0; i < c->count; i++) {
            left += c->bond[(c->levels - 1) * c->count + i] / (double)c->count;
        }
    }
    const double apart = match_crowd_effective(c, one) / (double)c->count;
    kept->fresh += apart * (kept->batches > 0 ? (1.0 - left) / (1.0 + left) : 1.0);
    kept->batches++;
    return status;
}

// Draws of the ranges, or, with readings, of a crowd that agrees with them, batch after batch.
static enum study_status gather(struct match *match, struct study_job *job, struct keep *kept,
                                double goal, uint64_t *branch) {
    const size_t width = match->space.input_count;
    const size_t columns = match->row_count * MATCH_COLUMNS;
    const bool read = match->readings.count > 0;
    const struct schedule_of_moves how = {match_ask_readings, CROWD_LEVELS, CROWD_MOVES, false};
    struct crowd c = {0};
    const size_t asked = 2 * match->most < CROWD ? 2 * match->most : CROWD;
    const size_t size = !read ? BATCH : asked < WALKERS ? WALKERS : asked;
    enum study_status status =
        match_crowd_open(&c, size, width, columns) ? STUDY_DONE : STUDY_NO_MEMORY;
    for (size_t i = 0; i < c.count && status == STUDY_DONE; i++) {
        match_space_draw(match, (*branch)++, &c.score[i * width]);
    }
    if (read && status == STUDY_DONE) {
        status =
            match_ask_readings(match, job, c.count, c.score, (struct fits){c.cheap, c.fit, NULL});
        status = status == STUDY_DONE ? match_crowd_temper(match, job, &c, &how, branch) : status;
        status = status == STUDY_DONE ? renew(match, job, &c, &how, kept, branch) : status;
    }
    const size_t ceiling = DRAWN_OVER * match->most;
    while (status == STUDY_DONE) {
        match->drawn += c.count;
        status = match_ask_all(match, job, c.count, c.score,
                               (struct fits){c.next_cheap, c.next_fit, c.result});
        for (size_t i = 0; i < c.count && status == STUDY_DONE; i++) {
            if (isfinite(c.next_fit[i])) {
                kept->near += match_ask_near(match, &c.result[i * columns]);
                status = keep_add(kept, &c, i, c.next_cheap[i], c.next_fit[i]) ? STUDY_DONE
                                                                               : STUDY_NO_MEMORY;
            }
        }
        if (status != STUDY_DONE || keep_effective(kept) >= goal ||
            (match->row_count > 0 && match->simulated >= match->most) || match->drawn >= ceiling) {
            break;
        }
        for (size_t i = 0; i < c.count && !read; i++) {
            match_space_draw(match, (*branch)++, &c.score[i * width]);
        }
        if (read) {
            status = renew(match, job, &c, &how, kept, branch);
        }
    }
    kept->effective = read ? keep_effective(kept) : 0.0;
    match_crowd_close(&c);
    return status;
}

// The crowd begins at the temperature at which those kept are still about as many as it takes.
static void begin_walk(const struct match *match, const struct keep *kept, struct crowd *c,
                       uint64_t *branch) {
    size_t from[CROWD_MAX] = {0};
    double low = 0.0;
    double high = 1.0;
    for (int i = 0; i < 40; i++) {
        const double middle = 0.5 * (low + high);
        const double number =
            match_crowd_share(kept->fit, kept->count, middle) * (double)kept->count;
        *(number >= (double)c->count ? &low : &high) = middle;
    }
    c->temperature = low;
    match_crowd_pick(kept->fit, kept->count, low,
                     &(struct match_picking){match->seed, (*branch)++, c->count, from});
    match_crowd_born(c, from);
    for (size_t i = 0; i < c->count; i++) {
        memcpy(&c->score[i * c->width], &kept->score[from[i] * c->width],
               c->width * sizeof(double));
        memcpy(&c->result[i * c->columns], &kept->result[from[i] * c->columns],
               c->columns * sizeof(double));
        c->fit[i] = kept->fit[from[i]];
        c->cheap[i] = kept->cheap[from[i]];
    }
}

// Few fit: they are moved about, from the flat to the full weight of what was seen.
static enum study_status walk(struct match *match, struct study_job *job, struct keep *kept,
                              uint64_t *branch) {
    const size_t width = match->space.input_count;
    const size_t columns = match->row_count * MATCH_COLUMNS;
    const struct schedule_of_moves how = {match_ask_all, WALK_LEVELS, WALK_MOVES, true};
    struct crowd c = {0};
    if (!match_crowd_open(&c, WALKERS, width, columns)) {
        match_crowd_close(&c);
        return STUDY_NO_MEMORY;
    }
    begin_walk(match, kept, &c, branch);
    const size_t before = match->simulated;
    enum study_status status = match_crowd_temper(match, job, &c, &how, branch);
    match->moved = match->simulated - before;
    kept->count = kept->near = 0;
    for (size_t i = 0; i < c.count && status == STUDY_DONE; i++) {
        kept->near += match_ask_near(match, &c.result[i * columns]);
        if (!keep_add(kept, &c, i, c.cheap[i], (1.0 - c.temperature) * c.fit[i])) {
            status = STUDY_NO_MEMORY;
        }
        c.next_fit[i] = exp((1.0 - c.temperature) * c.fit[i]);
    }
    // Those it began from may be kin themselves.
    const double began = kept->batches > 0 ? kept->fresh / (double)kept->batches : 1.0;
    kept->effective = match_crowd_effective(&c, c.next_fit) * began;
    match_crowd_close(&c);
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
        if (!match_ask_near(match, &kept->result[i * columns])) {
            continue;
        }
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
    // Whatever fits is one regulator at least.
    match->kin = kept->effective > 0.0 ? fmax(kept->effective, 1.0) : 0.0;
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
    const double wanted = (double)match->wanted;
    enum study_status status =
        match->miss ? gather(match, job, &kept, wanted, &branch) : STUDY_NO_MEMORY;
    const double effective = keep_effective(&kept);
    if (status == STUDY_DONE && match->row_count > 0 && kept.count > 0 &&
        effective < MORE_BELOW * wanted) {
        match->most += match->most;
        status = effective < MOVE_BELOW ? walk(match, job, &kept, &branch)
                                        : gather(match, job, &kept, MORE_BELOW * wanted, &branch);
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
