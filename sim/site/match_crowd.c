// SPDX-License-Identifier: MIT
#include "site/match_crowd.h"

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
    return c->score && c->cheap && c->fit && c->result && c->next && c->next_cheap && c->next_fit &&
           c->next_result;
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
    c->temperature = 0.0;
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
