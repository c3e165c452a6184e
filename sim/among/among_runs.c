// SPDX-License-Identifier: MIT
// What a run of each trim comes to, over many draws: what `lowlift compare --draws` and `lowlift
// uncertainty --draws FILE` answer.
#include "among/among_runs.h"

#include <math.h>

enum { RUN_QUIET, RUN_HITS, RUN_HUNTS, RUN_LOST, RUN_SWING, RUN_CONTACTS, RUN_METRICS };

static const struct among_metric metrics[RUN_METRICS] = {
    [RUN_QUIET] = {.key = "comes_to_rest", .name = "comes to rest at today's flow"},
    [RUN_HITS] = {.key = "hits_its_seat", .name = "keeps hitting its seat"},
    [RUN_HUNTS] = {.key = "hunts", .name = "keeps swinging off its seat"},
    [RUN_LOST] = {.key = "does_not_hold",
                  .name = "does not hold its pressure (shut, stuck or wide open)",
                  .rare = true},
    [RUN_SWING] = {.key = "pressure_swing",
                   .name = "pressure swing",
                   .form = AMONG_NUMBER,
                   .kind = UNIT_PRESSURE_DROP},
    [RUN_CONTACTS] = {.key = "seat_rate",
                      .name = "seat contacts",
                      .form = AMONG_NUMBER,
                      .unit = "1/min"},
};

static void evaluate(void *context, size_t item, const struct scenario_case *scenario,
                     double *metric) {
    double row[SEVERITY_COLUMNS];
    (void)context;
    (void)item;
    severity_measure_on(scenario, row);
    const size_t outcome = (size_t)row[SEVERITY_OUTCOME];
    if (outcome == SEVERITY_IMPOSSIBLE) {
        return;
    }
    // What is not seen to come to rest does not count as if it did.
    metric[RUN_QUIET] = outcome <= VERDICT_FORCED;
    if (outcome == VERDICT_UNDECIDED || outcome == SEVERITY_FAILED) {
        return;
    }
    metric[RUN_HITS] = outcome == VERDICT_SLAMMING || outcome == VERDICT_CHATTER;
    metric[RUN_HUNTS] = outcome == VERDICT_HUNTING || outcome == VERDICT_IRREGULAR;
    metric[RUN_LOST] =
        outcome == SEVERITY_OUT_OF_REACH || (outcome < VERDICT_COUNT && outcome >= VERDICT_SHUT);
    if (outcome != SEVERITY_OUT_OF_REACH) {
        metric[RUN_SWING] = row[SEVERITY_SWING];
        metric[RUN_CONTACTS] = row[SEVERITY_CONTACTS];
    }
}

enum study_status among_runs(struct study_job *job, const struct study_asked *draws,
                             const struct study_asked *most, const char *checkpoint,
                             struct answer *answer) {
    const struct among_study study = {
        .metrics = RUN_METRICS, .metric = metrics, .evaluate = evaluate, .checkpoint = checkpoint};
    return among_trims(job, draws, most, AMONG_RUNS_USUAL, study, answer);
}
