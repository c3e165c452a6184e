// SPDX-License-Identifier: MIT
#include "study/comparison.h"

#include "base/clean.h"
#include "base/path_stem.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

bool comparison_is_mixed(const struct comparison *c) {
    for (size_t i = 1; i < c->count; i++) {
        if (c->target[i].scenario != c->target[0].scenario) {
            return true;
        }
    }
    return false;
}

// The trim tells runs of one scenario apart, the file those of several; both where it needs both.
static void fill_labels(struct comparison *c) {
    const bool mixed = comparison_is_mixed(c);
    for (size_t i = 0; i < c->count; i++) {
        const struct comparison_target *t = &c->target[i];
        char stem[COMPARISON_LABEL / 2];
        path_stem(scenario_name(t->scenario), stem, sizeof stem);
        const bool only = scenario_trim_count(t->scenario) == 1;
        const char *trim = only ? "" : scenario_trim_name(t->scenario, t->trim);
        snprintf(c->label[i], COMPARISON_LABEL, "%s%s%.*s", mixed || only ? stem : "",
                 mixed && !only ? " " : "", clean_whole(trim, 40), trim);
    }
}

// Runs that stopped early are carried on to the length of the longest, so that a comparison shows
// all of them over the same time.
static void even_out(struct comparison *c) {
    double longest = 0.0;
    for (size_t i = 0; i < c->count; i++) {
        longest = fmax(longest, c->run[i].statistics.end_time);
    }
    for (size_t i = 0; i < c->count; i++) {
        struct simulation *s = &c->run[i];
        struct run_options *run = &c->scenario[i].run;
        if (s->outcome != SIMULATION_DONE || s->statistics.end_time >= longest ||
            run->sample_interval > longest) {
            continue;
        }
        run->duration = longest;
        run->minimum_duration = longest;
        // A verdict once decided stands; the longer record only shows more of it.
        const struct verdict_result judged = s->judged;
        simulation_free(s);
        simulate(&c->scenario[i], s);
        if (judged.decided) {
            s->judged = judged;
        }
    }
}

static enum study_status outcome_of(const struct comparison *c, size_t i, struct study_job *job) {
    const struct simulation *s = &c->run[i];
    const char *where = scenario_name(c->target[i].scenario);
    const char *trim = c->scenario[i].trim_name;
    switch (s->outcome) {
    case SIMULATION_DONE:
        return STUDY_DONE;
    case SIMULATION_INTERRUPTED:
        return study_job_fail(job, STUDY_INTERRUPTED, "%s: trim %s: stopped by a signal at %.6g s",
                              where, trim, s->statistics.end_time);
    case SIMULATION_FAILED:
        return study_job_fail(job, STUDY_SOLVER_FAILED, "%s: trim %s: %s", where, trim, s->message);
    case SIMULATION_NO_MEMORY:
        break;
    }
    return study_job_fail(job, STUDY_NO_MEMORY, "%s: trim %s: out of memory", where, trim);
}

enum study_status comparison_finish(struct comparison *c, struct study_job *job) {
    enum study_status status = STUDY_DONE;
    fill_labels(c);
    if (!c->uneven) {
        even_out(c);
    }
    for (size_t i = 0; i < c->count && status == STUDY_DONE; i++) {
        status = outcome_of(c, i, job);
    }
    return status;
}

enum study_status comparison_run(struct comparison *c, struct study_job *job) {
    for (size_t i = 0; i < c->count; i++) {
        const struct comparison_target *t = &c->target[i];
        if (!scenario_resolve(t->scenario, t->trim, &c->scenario[i], &job->list)) {
            return STUDY_BAD_SCENARIO;
        }
        simulate(&c->scenario[i], &c->run[i]);
    }
    return comparison_finish(c, job);
}

void comparison_free(struct comparison *c) {
    for (size_t i = 0; i < c->count; i++) {
        trace_table_free(&c->trace[i]);
        simulation_free(&c->run[i]);
        scenario_case_free(&c->scenario[i]);
    }
    c->count = 0;
}

bool comparison_is_recorded(const struct comparison *c) {
    for (size_t i = 0; i < c->count; i++) {
        if (c->run[i].count == 0) {
            return false;
        }
    }
    return true;
}

enum verdict comparison_worst(const struct comparison *c) {
    enum verdict worst = VERDICT_STEADY;
    for (size_t i = 0; i < c->count; i++) {
        worst = c->run[i].judged.verdict > worst ? c->run[i].judged.verdict : worst;
    }
    return worst;
}
