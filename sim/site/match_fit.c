// SPDX-License-Identifier: MIT
// From the best draws on to the regulator whose wave comes nearest to the record's, by a search
// without slopes. It shows what the model can do; the draws, not this one, say how sure that is.
#include "site/match_inside.h"

#include "run/simulate.h"

#include <math.h>
#include <nlopt.h>
#include <stdlib.h>
#include <string.h>

enum { STARTS = 2, RUNS = 70 };

// A draw in the middle of its ranges is as good as one at their ends, but not one beyond them: what
// a score far out costs, in units of the misfit.
#define PRIOR_WEIGHT 0.1
// First step of every score [standard deviations].
#define FIRST_STEP 0.3
#define NO_FIT 1e3

struct search {
    const struct match *match;
    const struct scenario *scenario;
    const struct match_row *row;
    const double *start; // [STARTS][inputs]
    unsigned runs;
};

static void result_of(const struct search *s, const double *score, double *result) {
    const struct match *match = s->match;
    struct study_change change[STUDY_CHANGES_MAX];
    for (int i = 0; i < MATCH_COLUMNS; i++) {
        result[i] = (double)NAN;
    }
    struct scenario *own = scenario_copy(s->scenario);
    if (!own) {
        return;
    }
    const size_t count = match_rows_changes(match, s->row, score, change);
    bool fine = true;
    for (size_t i = 0; i < count; i++) {
        fine = scenario_set_si(own, change[i].field, change[i].si) && fine;
    }
    struct diagnostics list = {0};
    struct scenario_case resolved = {0};
    fine = scenario_resolve(own, s->row->trim, &resolved, &list) && fine;
    match_rows_run(match, s->row, 0, fine ? &resolved : NULL, result);
    scenario_case_free(&resolved);
    diagnostics_free(&list);
    scenario_free(own);
}

static double misfit(unsigned n, const double *score, double *slope, void *context) {
    struct search *s = context;
    double result[MATCH_COLUMNS];
    double distance;
    (void)slope;
    result_of(s, score, result);
    s->runs++;
    const double fit = match_rows_fit(s->match, s->row, result, &distance);
    double prior = 0.0;
    for (unsigned i = 0; i < n; i++) {
        prior += score[i] * score[i] / (double)n;
    }
    return (isfinite(fit) ? fmin(-fit, NO_FIT) : NO_FIT) + PRIOR_WEIGHT * prior;
}

enum { OUT_MISFIT, OUT_RUNS, OUT_SCORES };

// One search; each is a point of a study.
static void search_one(void *context, size_t index, const struct scenario_case *scenario,
                       double *result) {
    struct search s = *(const struct search *)context;
    const unsigned width = (unsigned)s.match->space.input_count;
    double *score = &result[OUT_SCORES];
    (void)scenario;
    memcpy(score, &s.start[index * width], width * sizeof *score);
    result[OUT_MISFIT] = NO_FIT;
    nlopt_opt optimiser = nlopt_create(NLOPT_LN_BOBYQA, width);
    if (!optimiser) {
        return;
    }
    double found = NO_FIT;
    nlopt_set_min_objective(optimiser, misfit, &s);
    nlopt_set_lower_bounds1(optimiser, -3.0);
    nlopt_set_upper_bounds1(optimiser, 3.0);
    nlopt_set_initial_step1(optimiser, FIRST_STEP);
    nlopt_set_maxeval(optimiser, s.match->most < RUNS ? (int)s.match->most : RUNS);
    nlopt_set_ftol_abs(optimiser, 0.01);
    for (unsigned i = 0; i < width; i++) {
        score[i] = fmin(fmax(score[i], -2.999), 2.999);
    }
    nlopt_optimize(optimiser, score, &found);
    nlopt_destroy(optimiser);
    result[OUT_MISFIT] = found;
    result[OUT_RUNS] = s.runs;
}

static void describe_start(void *context, size_t index, struct study_point *point) {
    const struct search *s = context;
    const size_t width = s->match->space.input_count;
    point->trim = s->row->trim;
    point->change_count =
        match_rows_changes(s->match, s->row, &s->start[index * width], point->change);
}

// The draws whose record fits best.
static size_t best_of(const struct match *match, size_t row, size_t wanted, size_t *index) {
    size_t count = 0;
    for (; count < wanted; count++) {
        size_t best = match->count;
        double best_fit = -HUGE_VAL;
        for (size_t i = 0; i < match->count; i++) {
            double distance;
            const double *result = &match->result[(i * match->row_count + row) * MATCH_COLUMNS];
            const double fit = match_rows_fit(match, &match->row[row], result, &distance);
            bool taken = false;
            for (size_t k = 0; k < count; k++) {
                taken = taken || index[k] == i;
            }
            if (!taken && fit > best_fit) {
                best = i;
                best_fit = fit;
            }
        }
        if (best == match->count) {
            break;
        }
        index[count] = best;
    }
    return count;
}

enum study_status match_fit(struct match *match, struct study_job *job, struct match_best *best) {
    const size_t width = match->space.input_count;
    size_t row = 0;
    while (row < match->row_count && !match->row[row].recorded) {
        row++;
    }
    size_t index[STARTS];
    *best = (struct match_best){.misfit = (double)NAN};
    const size_t starts = row < match->row_count ? best_of(match, row, STARTS, index) : 0;
    if (starts == 0) {
        return STUDY_DONE;
    }
    double *start = calloc(STARTS * width, sizeof *start);
    double *out = calloc(STARTS * (OUT_SCORES + width), sizeof *out);
    best->score = calloc(width, sizeof *best->score);
    enum study_status status = STUDY_NO_MEMORY;
    struct search s = {match, job->scenario, &match->row[row], start, 0};
    if (start && out && best->score) {
        for (size_t i = 0; i < starts; i++) {
            memcpy(&start[i * width], &match->score[index[i] * width], width * sizeof *start);
        }
        struct study work = study_job_start(job, "searches");
        work.width = OUT_SCORES + width;
        work.evaluate = search_one;
        work.count = starts;
        work.describe = describe_start;
        work.context = &s;
        status = match_rows_study(match, job, &work, out);
    }
    for (size_t i = 0; i < starts && status == STUDY_DONE; i++) {
        const double *found = &out[i * (OUT_SCORES + width)];
        best->runs += (size_t)found[OUT_RUNS];
        if (!best->found || found[OUT_MISFIT] < best->misfit) {
            best->found = true;
            best->misfit = found[OUT_MISFIT];
            memcpy(best->score, &found[OUT_SCORES], width * sizeof *found);
        }
    }
    if (status == STUDY_DONE && best->found) {
        result_of(&s, best->score, best->result);
        best->misfit = match_record_apart(&match->record, &best->result[MATCH_FEATURES]);
    }
    free(start);
    free(out);
    return status == STUDY_NO_MEMORY ? study_job_fail(job, status, "out of memory") : status;
}
