// SPDX-License-Identifier: MIT
#include "study/stability.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum study_status stability_open(struct stability *stability, struct study_job *job) {
    memset(stability, 0, sizeof *stability);
    stability->trim_count = job->trim_count;
    enum study_status status = STUDY_DONE;
    for (size_t i = 0; i < job->trim_count && status == STUDY_DONE; i++) {
        status = study_subject_open(job, i, &stability->trim[i].own);
    }
    return status;
}

void stability_free(struct stability *stability) {
    for (size_t i = 0; i < stability->trim_count; i++) {
        free(stability->trim[i].curve);
        study_subject_free(&stability->trim[i].own);
    }
    stability->trim_count = 0;
}

void stability_range(struct stability *stability) {
    stability->high = 0.0;
    for (size_t i = 0; i < stability->trim_count; i++) {
        const struct study_subject *own = &stability->trim[i].own;
        double high;
        steadiness_default_range(&own->steadiness, own->resolved.pressure_limit, &stability->low,
                                 &high);
        stability->high = fmax(stability->high, high);
    }
}

static void find_one(const struct stability *stability, struct stability_trim *t) {
    const struct steadiness *subject = &t->own.steadiness;
    t->today = steadiness_modes(subject, subject->flow, &t->modes);
    t->driven = driver_find(subject, subject->flow, t->growth);
    t->window = steadiness_lowest_flow(subject, stability->low, stability->high);
    for (size_t i = 0; i < stability->points; i++) {
        double flow = study_subject_flow(stability->low, stability->high, i, stability->points);
        t->curve[i] = (struct stability_point){flow, steadiness_settled(subject, flow)};
    }
}

enum study_status stability_find(struct stability *stability, struct study_job *job) {
    const int threads = study_job_threads(job);
    (void)threads; // unused without OpenMP
    for (size_t i = 0; i < stability->trim_count; i++) {
        stability->trim[i].curve = malloc(stability->points * sizeof *stability->trim[i].curve);
        if (!stability->trim[i].curve) {
            return study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
        }
    }
#pragma omp parallel for schedule(dynamic, 1) num_threads(threads)
    for (size_t i = 0; i < stability->trim_count; i++) {
        find_one(stability, &stability->trim[i]);
    }
    return STUDY_DONE;
}
