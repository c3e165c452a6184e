// SPDX-License-Identifier: MIT
#include "trims/kick.h"

#include "base/progress.h"
#include "solve/integrate.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LOWEST_SHARE 0.2
#define HIGHEST_SHARE 1.5
#define KICK_SHARE 0.2

enum study_status kick_open(struct kick *kick, struct study_job *job) {
    memset(kick, 0, sizeof *kick);
    kick->trim_count = job->trim_count;
    enum study_status status = STUDY_DONE;
    for (size_t i = 0; i < job->trim_count && status == STUDY_DONE; i++) {
        status = study_subject_open(job, i, &kick->trim[i].own);
    }
    const struct steadiness *first = &kick->trim[0].own.steadiness;
    kick->low = LOWEST_SHARE * first->flow;
    kick->high = HIGHEST_SHARE * first->flow;
    kick->largest = KICK_SHARE * first->set_gauge;
    return status;
}

void kick_free(struct kick *kick) {
    for (size_t i = 0; i < kick->trim_count; i++) {
        struct kick_trim *t = &kick->trim[i];
        free(t->point);
        free(t->up);
        free(t->down);
        study_subject_free(&t->own);
    }
    kick->trim_count = 0;
}

static void sweep(const struct kick *kick, struct kick_trim *t, double *flow) {
    for (size_t i = 0; i < kick->points; i++) {
        flow[i] = study_subject_flow(kick->low, kick->high, i, kick->points);
    }
    sweep_run(&t->own.steadiness, flow, kick->points, t->up, t->down);
}

static void kick_one(const struct kick *kick, struct kick_trim *t, size_t i) {
    const struct steadiness *subject = &t->own.steadiness;
    struct kick_point *p = &t->point[i];
    p->flow = study_subject_flow(kick->low, kick->high, i, kick->points);
    p->smallest = steadiness_smallest_kick(subject, p->flow, kick->largest);
    p->restart =
        steadiness_restart(subject, p->flow, t->own.resolved.start.pressure, &p->restart_verdict);
}

static bool reserve(struct kick *kick) {
    bool fine = true;
    for (size_t i = 0; i < kick->trim_count; i++) {
        struct kick_trim *t = &kick->trim[i];
        t->point = calloc(kick->points, sizeof *t->point);
        t->up = calloc(kick->points, sizeof *t->up);
        t->down = calloc(kick->points, sizeof *t->down);
        fine = fine && t->point && t->up && t->down;
    }
    return fine;
}

// Jobs in order: the sweeps, which take longest and cannot be split, then every trim's points.
static void do_job(struct kick *kick, size_t job, double *flow) {
    if (job < kick->trim_count) {
        sweep(kick, &kick->trim[job], &flow[job * kick->points]);
        return;
    }
    size_t rest = job - kick->trim_count;
    kick_one(kick, &kick->trim[rest / kick->points], rest % kick->points);
}

enum study_status kick_find(struct kick *kick, struct study_job *job) {
    double *flow = malloc(kick->trim_count * kick->points * sizeof *flow);
    if (!flow || !reserve(kick)) {
        free(flow);
        return study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    }
    const size_t jobs = kick->trim_count * (kick->points + 1);
    struct progress progress = progress_start(job->quiet ? NULL : "kicks", jobs, 0);
    const int threads = study_job_threads(job);
    (void)threads; // unused without OpenMP
#pragma omp parallel for schedule(dynamic, 1) num_threads(threads)
    for (size_t i = 0; i < jobs; i++) {
        if (!integrate_interrupted()) {
            do_job(kick, i, flow);
        }
#pragma omp critical(kick)
        progress_step(&progress);
    }
    progress_end(&progress);
    free(flow);
    return integrate_interrupted()
               ? study_job_fail(job, STUDY_INTERRUPTED, "stopped by a signal; nothing was written")
               : STUDY_DONE;
}
