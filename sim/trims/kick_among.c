// SPDX-License-Identifier: MIT
// What `lowlift kick --draws` answers: over many regulators, at the scenario's own flow, the
// smallest kick that does not die out, and what a restart does.
#include "among/among.h"
#include "trims/kick.h"

#include <math.h>

enum { KICK_STANDS, KICK_RESTARTS, KICK_BY_ITSELF, KICK_SMALLEST, KICK_METRICS };

static const struct among_metric metrics[KICK_METRICS] = {
    [KICK_STANDS] = {.key = "stands_every_kick", .name = "stands every kick tried"},
    [KICK_RESTARTS] = {.key = "restarts_quietly", .name = "comes to rest after a restart"},
    [KICK_BY_ITSELF] = {.key = "moves_left_alone", .name = "moves if left alone"},
    [KICK_SMALLEST] = {.key = "smallest_kick",
                       .name = "smallest kick that does not die out",
                       .form = AMONG_NUMBER,
                       .kind = UNIT_PRESSURE_DROP,
                       .above = "none"},
};

static void evaluate(void *context, size_t item, const struct scenario_case *scenario,
                     double *metric) {
    const struct kick *kick = *(const struct kick *const *)context;
    struct steadiness subject;
    (void)item;
    metric[KICK_STANDS] = metric[KICK_RESTARTS] = 0.0;
    if (!steadiness_prepare(scenario, &subject)) {
        return; // holds its pressure at no travel
    }
    const struct steadiness_kick k =
        steadiness_smallest_kick(&subject, subject.flow, kick->largest);
    metric[KICK_STANDS] = isinf(k.size);
    metric[KICK_BY_ITSELF] = k.size == 0.0;
    metric[KICK_SMALLEST] = k.size;
    metric[KICK_RESTARTS] = steadiness_restart(&subject, subject.flow, scenario->start.pressure,
                                               NULL) == STEADINESS_DIES_OUT;
}

enum study_status kick_among(struct study_job *job, const struct study_asked *asked,
                             const struct kick *kick, struct answer *answer) {
    const struct among_study study = {.metrics = KICK_METRICS,
                                      .metric = metrics,
                                      .evaluate = evaluate,
                                      .context = &kick,
                                      .checkpoint = asked[KICK_CHECKPOINT].text};
    enum study_status status =
        among_trims(job, &asked[KICK_DRAWS], &asked[KICK_MOST], KICK_DRAWS_USUAL, study, answer);
    if (status == STUDY_DONE) {
        answer_say(answer, ANSWER_NOTE, "at the scenario's own flow, kicks up to %s",
                   answer_text(answer, UNIT_PRESSURE_DROP, kick->largest));
    }
    return status;
}
