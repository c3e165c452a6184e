// SPDX-License-Identifier: MIT
#include "among/uncertainty.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

size_t uncertainty_flow_count(const struct uncertainty *study) {
    return study->flow_count > 0 ? study->flow_count : 1;
}

double uncertainty_drawn(const struct uncertainty *study, size_t trim, size_t draw, size_t input) {
    const struct sample_range *range = &study->input[input].range[trim];
    return sample_quantile(range, study->probability[draw * study->input_count + input]);
}

double uncertainty_flow(const struct uncertainty *study, size_t trim, size_t flow, size_t draw) {
    if (study->flow_count == 0) {
        return (double)NAN;
    }
    // A flow counted in standard volume stays what it is when the gas is another.
    struct unit_context site = study->site;
    for (size_t i = 0; i < study->input_count; i++) {
        const struct uncertainty_input *input = &study->input[i];
        if (input->range[trim].low < input->range[trim].high) {
            double value = uncertainty_drawn(study, trim, draw, i);
            if (strcmp(input->field, "fluid.gravity") == 0) {
                site.molar_mass = GAS_AIR_MOLAR_MASS * value;
            } else if (strcmp(input->field, "fluid.molar_mass") == 0) {
                site.molar_mass = value;
            } else if (strcmp(input->field, "fluid.density") == 0) {
                site.density = value;
            }
        }
    }
    double si;
    return units_to_si(&site, &study->flow[flow], &si) ? (double)NAN : si;
}

struct place_in_study {
    size_t trim, flow, draw;
};

static struct place_in_study place_of(const struct uncertainty *study, size_t index) {
    size_t item = index / study->draws;
    return (struct place_in_study){item / uncertainty_flow_count(study),
                                   item % uncertainty_flow_count(study), index % study->draws};
}

static void describe(void *context, size_t index, struct study_point *point) {
    const struct uncertainty *study = context;
    struct place_in_study at = place_of(study, index);
    point->trim = study->trim[at.trim];
    point->change_count = 0;
    for (size_t i = 0; i < study->input_count; i++) {
        const struct uncertainty_input *input = &study->input[i];
        if (input->range[at.trim].low < input->range[at.trim].high) {
            point->change[point->change_count++] =
                (struct study_change){input->field, uncertainty_drawn(study, at.trim, at.draw, i)};
        }
    }
    if (study->flow_count > 0) {
        point->change[point->change_count++] =
            (struct study_change){study->back_pressure ? "inflow.rate" : "demand.rate",
                                  uncertainty_flow(study, at.trim, at.flow, at.draw)};
    }
}

static void evaluate(void *context, size_t index, const struct scenario_case *scenario,
                     double *result) {
    (void)context;
    (void)index;
    severity_measure(scenario, result);
}

// So few draws cannot be put in order: what geometry ties is then drawn by itself. What the user
// asked for stays, and is refused.
static void drop_ties(struct uncertainty *study) {
    size_t kept = 0;
    for (size_t i = 0; i < study->pair_count; i++) {
        if (study->pair[i].asked) {
            study->pair[kept++] = study->pair[i];
        }
    }
    study->pair_count = kept;
}

enum study_status uncertainty_plan(struct uncertainty *study, struct study_job *job) {
    const size_t width = study->input_count;
    free(study->probability);
    study->probability = calloc(study->draws * width + 1, sizeof *study->probability);
    if (!study->probability) {
        return study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    }
    sample_plan_fill(study->probability, study->draws, width, study->seed);
    if (study->draws <= width) {
        drop_ties(study);
    }
    if (study->pair_count == 0) {
        return STUDY_DONE;
    }
    double *wanted = calloc(width * width, sizeof *wanted);
    if (!wanted) {
        return study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    }
    for (size_t i = 0; i < width; i++) {
        wanted[i * width + i] = 1.0;
    }
    for (size_t i = 0; i < study->pair_count; i++) {
        const struct uncertainty_pair *p = &study->pair[i];
        // Of normal scores, so that the ranks correlate as asked (K. Pearson, 1907).
        double score = 2.0 * sin(acos(-1.0) / 6.0 * p->correlation);
        wanted[p->a * width + p->b] = wanted[p->b * width + p->a] = score;
    }
    const int code = sample_plan_correlate(study->probability, study->draws, width, wanted);
    free(wanted);
    if (code < 0) {
        return study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    }
    return code == 0 ? STUDY_DONE
                     : study_job_fail(job, STUDY_BAD_USAGE,
                                      "the correlations asked for contradict each other, or there "
                                      "are fewer draws than uncertain values");
}

// Everything the points depend on: the scenario, and what is drawn.
static unsigned long fingerprint(struct uncertainty *study, size_t count) {
    return study_fingerprint_points(study->fingerprint, describe, study, count);
}

enum study_status uncertainty_run(struct uncertainty *study, struct study_job *job,
                                  const char *checkpoint) {
    const size_t count = study->trim_count * uncertainty_flow_count(study) * study->draws;
    study->result = calloc(count * SEVERITY_COLUMNS, sizeof(double));
    if (!study->result) {
        return study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    }
    struct study work = study_job_start(job, "draws");
    work.count = count;
    work.width = SEVERITY_COLUMNS;
    work.describe = describe;
    work.evaluate = evaluate;
    work.context = study;
    work.checkpoint = checkpoint;
    work.fingerprint = checkpoint ? fingerprint(study, count) : 0;
    return study_run(&work, study->result, job->message, sizeof job->message);
}

void uncertainty_free(struct uncertainty *study) {
    free(study->probability);
    free(study->result);
    study->probability = NULL;
    study->result = NULL;
}

const double *uncertainty_rows(const struct uncertainty *study, size_t trim, size_t flow) {
    return &study->result[(trim * uncertainty_flow_count(study) + flow) * study->draws *
                          SEVERITY_COLUMNS];
}
