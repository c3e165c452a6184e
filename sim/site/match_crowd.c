// SPDX-License-Identifier: MIT
#include "site/match_crowd.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

// The effective share of a crowd left by one change of temperature.
#define LEVEL_SHARE 0.5
#define STEP_FIRST 0.5
#define ACCEPTED 0.25 // of the steps, which their size is set by

bool match_crowd_open(struct crowd *c, size_t count, size_t width, size_t columns) {
    *c = (struct crowd){.count = count, .width = width, .columns = columns, .step = STEP_FIRST};
    c->score = calloc(count * width + 1, sizeof(double));
    c->cheap = calloc(count, sizeof(double));
    c->fit = calloc(count, sizeof(double));
    c->result = calloc(count * columns + 1, sizeof(double));
    c->next = calloc(count * width + 1, sizeof(double));
    c->next_cheap = calloc(count, sizeof(double));
    c->next_fit = calloc(count, sizeof(double));
    c->next_result = calloc(count * columns + 1, sizeof(double));
    c->parent = calloc(CROWD_LINEAGE * count, sizeof *c->parent);
    c->bond = calloc(CROWD_LINEAGE * count, sizeof *c->bond);
    assert(count <= CROWD_MAX);
    return c->parent && c->bond && c->score && c->cheap && c->fit && c->result && c->next &&
           c->next_cheap && c->next_fit && c->next_result;
}

void match_crowd_close(struct crowd *c) {
    free(c->score);
    free(c->cheap);
    free(c->fit);
    free(c->result);
    free(c->next);
    free(c->next_cheap);
    free(c->next_fit);
    free(c->next_result);
    free(c->parent);
    free(c->bond);
}

// --- Moving about

double match_crowd_share(const double *fit, size_t count, double step) {
    double most = -HUGE_VAL;
    for (size_t i = 0; i < count; i++) {
        most = fmax(most, fit[i]);
    }
    double sum = 0.0;
    double squares = 0.0;
    for (size_t i = 0; i < count && isfinite(most); i++) {
        const double w = isfinite(fit[i]) ? exp(step * (fit[i] - most)) : 0.0;
        sum += w;
        squares += w * w;
    }
    return squares > 0.0 ? sum * sum / squares / (double)count : 0.0;
}

static double next_temperature(const struct crowd *c, double now) {
    if (match_crowd_share(c->fit, c->count, 1.0 - now) >= LEVEL_SHARE) {
        return 1.0;
    }
    double low = 0.0;
    double high = 1.0 - now;
    for (int i = 0; i < 40; i++) {
        const double middle = 0.5 * (low + high);
        *(match_crowd_share(c->fit, c->count, middle) >= LEVEL_SHARE ? &low : &high) = middle;
    }
    return now + fmax(low, 1e-6);
}

void match_crowd_pick(const double *fit, size_t count, double step,
                      const struct match_picking *picking) {
    struct statistics_stream stream = statistics_stream_open(picking->seed, picking->branch);
    const double start = statistics_stream_unit(&stream);
    double most = -HUGE_VAL;
    double sum = 0.0;
    for (size_t i = 0; i < count; i++) {
        most = fmax(most, fit[i]);
    }
    for (size_t i = 0; i < count; i++) {
        sum += isfinite(fit[i]) ? exp(step * (fit[i] - most)) : 0.0;
    }
    size_t from = 0;
    double reached = 0.0;
    for (size_t i = 0; i < picking->count; i++) {
        const double goal = ((double)i + start) / (double)picking->count * sum;
        while (from < count) {
            const double w = isfinite(fit[from]) ? exp(step * (fit[from] - most)) : 0.0;
            if (reached + w > goal || from + 1 == count) {
                break;
            }
            reached += w;
            from++;
        }
        picking->index[i] = from;
    }
}

// Who came from whom, so far, goes along with the draws.
static void descend(struct crowd *c, const size_t *from) {
    for (size_t level = 0; level < c->levels; level++) {
        size_t *parent = &c->parent[level * c->count];
        double *bond = &c->bond[level * c->count];
        size_t old_parent[CROWD_MAX];
        double old_bond[CROWD_MAX];
        memcpy(old_parent, parent, c->count * sizeof *parent);
        memcpy(old_bond, bond, c->count * sizeof *bond);
        for (size_t i = 0; i < c->count; i++) {
            parent[i] = old_parent[from[i]];
            bond[i] = old_bond[from[i]];
        }
    }
}

void match_crowd_born(struct crowd *c, const size_t *from) {
    if (c->levels == CROWD_LINEAGE) { // the oldest are forgotten: all are then kin of nobody
        memmove(c->parent, c->parent + c->count, (c->levels - 1) * c->count * sizeof *c->parent);
        memmove(c->bond, c->bond + c->count, (c->levels - 1) * c->count * sizeof *c->bond);
        c->levels--;
    }
    for (size_t i = 0; i < c->count; i++) {
        c->parent[c->levels * c->count + i] = from[i];
        c->bond[c->levels * c->count + i] = 1.0;
    }
    c->levels++;
}

static double kinship(const struct crowd *c, size_t a, size_t b) {
    double bond = 1.0;
    for (size_t level = c->levels; a != b && level-- > 0;) {
        const size_t *parent = &c->parent[level * c->count];
        bond *= c->bond[level * c->count + a] * c->bond[level * c->count + b];
        if (parent[a] == parent[b]) {
            return bond;
        }
    }
    return a == b ? 1.0 : 0.0;
}

double match_crowd_effective(const struct crowd *c, const double *weight) {
    double sum = 0.0;
    double squares = 0.0;
    for (size_t i = 0; i < c->count; i++) {
        sum += weight[i];
        for (size_t k = 0; k < c->count; k++) {
            squares += weight[i] * weight[k] * kinship(c, i, k);
        }
    }
    return squares > 0.0 ? sum * sum / squares : 0.0;
}

static void resample(struct crowd *c, double step, uint64_t seed, uint64_t branch) {
    size_t from[CROWD_MAX] = {0};
    match_crowd_pick(c->fit, c->count, step, &(struct match_picking){seed, branch, c->count, from});
    for (size_t i = 0; i < c->count; i++) {
        memcpy(&c->next[i * c->width], &c->score[from[i] * c->width], c->width * sizeof(double));
        memcpy(&c->next_result[i * c->columns], &c->result[from[i] * c->columns],
               c->columns * sizeof(double));
        c->next_fit[i] = c->fit[from[i]];
        c->next_cheap[i] = c->cheap[from[i]];
    }
    descend(c, from);
    match_crowd_born(c, from);
    memcpy(c->score, c->next, c->count * c->width * sizeof(double));
    memcpy(c->result, c->next_result, c->count * c->columns * sizeof(double));
    memcpy(c->fit, c->next_fit, c->count * sizeof(double));
    memcpy(c->cheap, c->next_cheap, c->count * sizeof(double));
}

enum study_status match_crowd_move(struct match *match, struct study_job *job, struct crowd *c,
                                   const struct schedule_of_moves *how, uint64_t *branch) {
    for (size_t i = 0; i < c->count; i++) {
        match_space_step(match, (*branch)++, c->step, &c->score[i * c->width],
                         &c->next[i * c->width]);
    }
    const enum study_status status = how->ask(
        match, job, c->count, c->next, (struct fits){c->next_cheap, c->next_fit, c->next_result});
    if (status != STUDY_DONE) {
        return status;
    }
    struct statistics_stream stream = statistics_stream_open(match->seed, (*branch)++);
    size_t accepted = 0;
    for (size_t i = 0; i < c->count; i++) {
        const double chance = statistics_stream_unit(&stream);
        const double gain =
            c->next_cheap[i] - c->cheap[i] + c->temperature * (c->next_fit[i] - c->fit[i]);
        const bool better = isinf(c->fit[i]) && isfinite(c->next_fit[i]);
        if (isfinite(c->next_fit[i]) && (better || chance < exp(fmin(gain, 0.0)))) {
            accepted++;
            if (c->levels > 0) {
                c->bond[(c->levels - 1) * c->count + i] *= sqrt(1.0 - c->step * c->step);
            }
            c->fit[i] = c->next_fit[i];
            c->cheap[i] = c->next_cheap[i];
            memcpy(&c->score[i * c->width], &c->next[i * c->width], c->width * sizeof(double));
            memcpy(&c->result[i * c->columns], &c->next_result[i * c->columns],
                   c->columns * sizeof(double));
        }
    }
    const double rate = (double)accepted / (double)c->count;
    c->step = fmin(fmax(c->step * exp(2.0 * (rate - ACCEPTED)), 0.02), 0.95);
    return STUDY_DONE;
}

enum study_status match_crowd_temper(struct match *match, struct study_job *job, struct crowd *c,
                                     const struct schedule_of_moves *how, uint64_t *branch) {
    enum study_status status = STUDY_DONE;
    for (size_t i = 0; i < how->levels && c->temperature < 1.0 && status == STUDY_DONE; i++) {
        const double next = next_temperature(c, c->temperature);
        resample(c, next - c->temperature, match->seed, (*branch)++);
        c->temperature = next;
        for (size_t k = 0; k < how->moves && status == STUDY_DONE; k++) {
            if (!how->at_most || match->simulated < match->most) {
                status = match_crowd_move(match, job, c, how, branch);
            }
        }
    }
    return status;
}
