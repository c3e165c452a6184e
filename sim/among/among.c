// SPDX-License-Identifier: MIT
#include "among/among.h"

#include "base/fingerprint.h"
#include "maths/weighted.h"
#include "steady/steadiness.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

// --- The study

struct work {
    const struct study_job *job;
    const struct among *among;
    const struct among_study *study;
};

static void describe(void *context, size_t index, struct study_point *point) {
    const struct work *w = context;
    point->change_count = 0;
    point->draw = index / w->study->items;
    const size_t item = index % w->study->items;
    if (w->study->describe) {
        w->study->describe(w->study->context, item, point->draw, point);
    } else {
        point->trim = w->job->trim[item];
    }
}

static void evaluate(void *context, size_t index, const struct scenario_case *scenario,
                     double *result) {
    const struct work *w = context;
    for (size_t i = 0; i < w->study->metrics; i++) {
        result[i] = (double)NAN;
    }
    if (scenario) {
        w->study->evaluate(w->study->context, index % w->study->items, scenario, result);
    }
}

// Of the scenario, the draws and what is asked of them.
static unsigned long fingerprint(const struct study_job *job, struct work *w, size_t count) {
    const struct draws *draws = &w->among->draws;
    unsigned long hash = scenario_fingerprint(job->scenario);
    hash = fingerprint_bytes(hash, draws->weight, draws->count * sizeof *draws->weight);
    for (size_t i = 0; i < draws->count * draws->field_count; i++) {
        const char *text = draws->cell[i].text;
        hash = fingerprint_bytes(hash, text, strlen(text) + 1);
    }
    for (size_t i = 0; i < w->study->metrics; i++) {
        const char *key = w->study->metric[i].key;
        hash = fingerprint_bytes(hash, key, strlen(key) + 1);
    }
    return study_fingerprint_points(hash, describe, w, count);
}

enum study_status among_run(struct study_job *job, const struct among *among,
                            const struct among_study *study, double **result) {
    struct work w = {job, among, study};
    struct study work = study_job_start(job, study->label);
    if (study->overrides) {
        work.overrides = study->overrides;
        work.override_count = study->override_count;
    }
    work.draws = &among->draws;
    work.count = among->draws.count * study->items;
    work.width = study->metrics;
    work.describe = describe;
    work.evaluate = evaluate;
    work.context = &w;
    work.checkpoint = study->checkpoint;
    work.fingerprint = study->checkpoint ? fingerprint(job, &w, work.count) : 0;
    *result = malloc((work.count * work.width + 1) * sizeof **result);
    if (!*result) {
        return study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    }
    const enum study_status status = study_run(&work, *result, job->message, sizeof job->message);
    for (size_t i = 0; i < among->draws.count && study->settle && status == STUDY_DONE; i++) {
        study->settle(study->context, &(*result)[i * study->items * study->metrics]);
    }
    return status;
}

// --- Which draws

// The scenario's first trim is the one in place; another that is asked for may well not hold
// today's pressure, and that is an answer.
static void describe_first(void *context, size_t item, size_t draw, struct study_point *point) {
    (void)context;
    (void)item;
    (void)draw;
    point->trim = 0;
}

static void evaluate_first(void *context, size_t item, const struct scenario_case *scenario,
                           double *metric) {
    struct steadiness subject;
    (void)context;
    (void)item;
    metric[0] = steadiness_prepare(scenario, &subject) ? 1.0 : 0.0;
}

// Weight 0 for draws that are no regulator, or do not hold the set pressure today, as yours does.
static enum study_status leave_out(struct study_job *job, struct among *a) {
    static const struct among_metric metric = {.key = "possible", .name = "possible"};
    const struct among_study study = {.items = 1,
                                      .metrics = 1,
                                      .metric = &metric,
                                      .describe = describe_first,
                                      .evaluate = evaluate_first};
    double *possible = NULL, sum = 0.0;
    const enum study_status status = among_run(job, a, &study, &possible);
    for (size_t i = 0; i < a->draws.count && status == STUDY_DONE; i++) {
        if (!(possible[i] > 0.0)) {
            a->left_out += a->draws.weight[i] > 0.0;
            a->draws.weight[i] = 0.0;
        }
        sum += a->draws.weight[i];
    }
    free(possible);
    if (status == STUDY_DONE && !(sum > 0.0)) {
        return study_job_fail(job, STUDY_BAD_USAGE,
                              "none of %zu draws is a regulator that holds the set pressure at "
                              "today's flow",
                              a->draws.count);
    }
    return status;
}

// Draws taken `times` each move to the front; the others are gone.
static void keep(struct draws *d, const size_t *times, size_t wanted) {
    size_t kept = 0;
    for (size_t i = 0; i < d->count; i++) {
        if (times[i] > 0) {
            memmove(&d->cell[kept * d->field_count], &d->cell[i * d->field_count],
                    d->field_count * sizeof *d->cell);
            d->weight[kept++] = (double)times[i] / (double)wanted;
        }
    }
    d->count = kept;
}

static enum study_status take_some(struct study_job *job, struct among *a, size_t most) {
    struct draws *d = &a->draws;
    size_t *times = calloc(d->count + 1, sizeof *times);
    if (!times) {
        return study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    }
    size_t positive = 0;
    double sum = 0.0;
    for (size_t i = 0; i < d->count; i++) {
        positive += d->weight[i] > 0.0;
        sum += d->weight[i];
    }
    if (positive > most) {
        weighted_resample(d->weight, d->count, most, times);
        keep(d, times, most);
    } else {
        size_t kept = 0;
        for (size_t i = 0; i < d->count; i++) {
            if (d->weight[i] > 0.0) {
                memmove(&d->cell[kept * d->field_count], &d->cell[i * d->field_count],
                        d->field_count * sizeof *d->cell);
                d->weight[kept++] = d->weight[i] / sum;
            }
        }
        d->count = kept;
    }
    free(times);
    a->effective = draws_effective(d);
    return STUDY_DONE;
}

enum study_status among_open(struct study_job *job, const struct study_asked *draws,
                             const struct study_asked *most, size_t usual, struct among *out) {
    memset(out, 0, sizeof *out);
    enum study_status status = STUDY_DONE;
    if (among_is_number(draws)) {
        status = among_guess(job, draws, &out->draws);
    } else {
        out->file = draws->text;
        status = draws_read(draws->text, job->scenario, &out->draws, &job->list)
                     ? STUDY_DONE
                     : STUDY_BAD_SCENARIO;
    }
    out->offered = out->draws.count;
    status = status == STUDY_DONE ? leave_out(job, out) : status;
    // Whoever says a number to draw wants them all.
    const size_t all = out->file ? usual : out->draws.count;
    return status == STUDY_DONE ? take_some(job, out, most->text ? (size_t)most->count : all)
                                : status;
}

void among_close(struct among *among) {
    draws_free(&among->draws);
}

double among_drawn(const struct among *among, const struct unit_context *site, size_t draw,
                   size_t field) {
    const struct draws *d = &among->draws;
    const struct draws_cell *cell = &d->cell[draw * d->field_count + field];
    double si;
    return cell->number && !units_to_si(site, &cell->quantity, &si) ? si : (double)NAN;
}

const char *among_path(const char *field, char path[AMONG_PATH_SIZE]) {
    const char *dot = strncmp(field, "trims.", 6) == 0 ? strchr(field + 6, '.') : NULL;
    snprintf(path, AMONG_PATH_SIZE, "%s%s", dot ? "trim" : "", dot ? dot : field);
    return path;
}

void among_column(const struct among_told *told, size_t item, size_t metric, double *value) {
    const struct among_study *s = told->study;
    for (size_t i = 0; i < told->among->draws.count; i++) {
        value[i] = told->result[(i * s->items + item) * s->metrics + metric];
    }
}
