// SPDX-License-Identifier: MIT
#include "study/stability.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

int stability_open(struct stability *stability, const struct study_request *request) {
    memset(stability, 0, sizeof *stability);
    stability->request = request;
    stability->trim_count = request->trim_count;
    int code = EXIT_CODE_DONE;
    for (size_t i = 0; i < request->trim_count && code == EXIT_CODE_DONE; i++) {
        code = study_subject_open(request, i, &stability->trim[i].own);
    }
    return code;
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
    t->window = steadiness_lowest_flow(subject, stability->low, stability->high, 0.0);
    for (size_t i = 0; i < stability->points; i++) {
        double flow = study_subject_flow(stability->low, stability->high, i, stability->points);
        t->curve[i] = (struct stability_point){flow, steadiness_settled(subject, flow)};
    }
}

bool stability_find(struct stability *stability) {
    int threads = study_request_threads(stability->request);
    (void)threads; // unused without OpenMP
    for (size_t i = 0; i < stability->trim_count; i++) {
        stability->trim[i].curve = malloc(stability->points * sizeof *stability->trim[i].curve);
        if (!stability->trim[i].curve) {
            return false;
        }
    }
#pragma omp parallel for schedule(dynamic, 1) num_threads(threads)
    for (size_t i = 0; i < stability->trim_count; i++) {
        find_one(stability, &stability->trim[i]);
    }
    return true;
}
