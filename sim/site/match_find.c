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
    CROWD_LEVELS = 40, // temperatures at most
    WALKERS = 96,      // draws moved about with runs
    WALK_LEVELS = 3,
    WALK_MOVES = 3,
};

// Fewer fitting draws than this share of those wanted are moved about.
#define MOVE_BELOW 0.5

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
    return k->count > 0 ? match_crowd_share(k->fit, k->count, 1.0) * (double)k->count : 0.0;
}

// Draws of the ranges, or, with readings, of a crowd that agrees with them, batch after batch.
static enum study_status gather(struct match *match, struct study_job *job, struct keep *kept,
                                uint64_t *branch) {
    const size_t width = match->space.input_count;
    const size_t columns = match->row_count * MATCH_COLUMNS;
    const bool read = match->readings.count > 0;
    const struct schedule_of_moves how = {match_ask_readings, CROWD_LEVELS, CROWD_MOVES, false};
    struct crowd c = {0};
    enum study_status status =
        match_crowd_open(&c, read ? CROWD : BATCH, width, columns) ? STUDY_DONE : STUDY_NO_MEMORY;
    for (size_t i = 0; i < c.count && status == STUDY_DONE; i++) {
        match_space_draw(match, (*branch)++, &c.score[i * width]);
    }
    if (read && status == STUDY_DONE) {
        status =
            match_ask_readings(match, job, c.count, c.score, (struct fits){c.cheap, c.fit, NULL});
        status = status == STUDY_DONE ? match_crowd_temper(match, job, &c, &how, branch) : status;
    }
    const size_t ceiling = DRAWN_OVER * match->most;
    while (status == STUDY_DONE) {
        match->drawn += c.count;
        status = match_ask_all(match, job, c.count, c.score,
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
            status = match_crowd_move(match, job, &c, &how, branch);
        }
    }
    match_crowd_close(&c);
    return status;
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
    enum study_status status = match_crowd_temper(match, job, &c, &how, branch);
    match->moved = match->simulated - before;
    kept->count = 0;
    for (size_t i = 0; i < c.count && status == STUDY_DONE; i++) {
        if (isfinite(c.fit[i]) &&
            !keep_add(kept, &c, i, c.cheap[i], (1.0 - c.temperature) * c.fit[i])) {
            status = STUDY_NO_MEMORY;
        }
    }
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
