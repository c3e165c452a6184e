// SPDX-License-Identifier: MIT
// What `lowlift remedies --draws` answers: of the regulators that move today, the share that each
// remedy brings to rest at today's flow; of those that rest today, the share that it sets moving.
// No steady range is searched, which would take a hundred times as long.
#include "among/among_runs.h"
#include "remedy/remedies_words.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { REMEDY_CURES, REMEDY_SPOILS, REMEDY_METRICS };

static const struct among_metric metrics[REMEDY_METRICS] = {
    [REMEDY_CURES] = {.key = "cures", .name = "brings to rest what moves today"},
    [REMEDY_SPOILS] = {.key = "spoils", .name = "sets moving what rests today"},
};

struct remedies_context {
    const struct remedies *remedies;
    const struct among *among;
};

// Today's value and the one that a remedy leads to are those of the draw at hand.
static void describe(void *context, size_t item, size_t draw, struct study_point *point) {
    const struct remedies_context *c = context;
    const struct remedies *r = c->remedies;
    struct remedies_try attempt = r->tries[item];
    struct scenario *own = scenario_copy(r->scenario);
    struct scenario_case resolved = {0};
    struct diagnostics list = {0};
    point->trim = attempt.trim;
    if (own && draws_apply(&c->among->draws, draw, own, &list) &&
        scenario_resolve(own, r->trim, &resolved, &list)) {
        for (size_t i = 0; i < attempt.count; i++) {
            const struct remedy *remedy = attempt.remedy[i];
            // Strength as in the regulator of the file, from its own value there.
            attempt.today[i] = remedy_today(remedy, own, r->trim, &resolved);
            attempt.value[i] = remedy_value(remedy, &resolved, attempt.today[i], attempt.strength);
        }
        remedies_point(own, &attempt, point);
    }
    scenario_case_free(&resolved);
    diagnostics_free(&list);
    scenario_free(own);
}

static void evaluate(void *context, size_t item, const struct scenario_case *scenario,
                     double *metric) {
    const struct remedies *r = ((const struct remedies_context *)context)->remedies;
    const struct remedies_try *attempt = &r->tries[item];
    struct scenario_case changed = *scenario; // shares its memory, which nobody writes to
    double row[SEVERITY_COLUMNS];
    for (size_t i = 0; i < attempt->count; i++) {
        if (attempt->remedy[i]->way == REMEDY_CHOICE) {
            remedy_choose(attempt->remedy[i], &changed);
        }
    }
    severity_measure_on(&changed, row);
    metric[REMEDY_CURES] = row[SEVERITY_OUTCOME] <= VERDICT_FORCED;
}

// From "comes to rest" of each to what that is against today, which is the first.
static void settle(void *context, double *metric) {
    const struct remedies *r = ((const struct remedies_context *)context)->remedies;
    const bool rests = metric[REMEDY_CURES] > 0.0;
    for (size_t i = r->try_count; i-- > 0;) {
        double *own = &metric[i * REMEDY_METRICS];
        const double quiet = own[REMEDY_CURES];
        own[REMEDY_CURES] = rests ? (double)NAN : quiet;
        own[REMEDY_SPOILS] = rests ? 1.0 - quiet : (double)NAN;
    }
}

static const char *name_of(struct answer *answer, const struct remedies *r, size_t index) {
    const struct remedies_try *attempt = &r->tries[index];
    struct remedies_entry entry = {.count = attempt->count, .trim = attempt->trim};
    memcpy(entry.remedy, attempt->remedy, sizeof entry.remedy);
    if (index == 0) {
        return "as it stands";
    }
    const char *name = remedies_words_name(answer, r, &entry);
    return attempt->count > 0 && r->steps > 1 && attempt->strength < 1.0
               ? answer_keep(answer, "%s, slight", name)
               : name;
}

enum study_status remedies_among(struct study_job *job, const struct study_asked *asked,
                                 const struct remedies *r, struct answer *answer) {
    struct among among;
    struct answer names = {0}; // holds the texts until the answer does
    const char **name = malloc((r->try_count + 1) * sizeof *name);
    enum study_status status = name ? among_open(job, &asked[REMEDIES_DRAWS], &asked[REMEDIES_MOST],
                                                 REMEDIES_DRAWS_USUAL, &among)
                                    : study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    for (size_t i = 0; name && i < r->try_count && status == STUDY_DONE; i++) {
        name[i] = name_of(&names, r, i);
    }
    struct remedies_context context = {r, &among};
    const struct among_study study = {.label = "remedies",
                                      .item = "remedy",
                                      .items = r->try_count,
                                      .name = name,
                                      .metrics = REMEDY_METRICS,
                                      .metric = metrics,
                                      .describe = describe,
                                      .evaluate = evaluate,
                                      .settle = settle,
                                      .context = &context,
                                      .checkpoint = asked[REMEDIES_CHECKPOINT].text,
                                      .choice = true};
    status = status == STUDY_DONE ? among_answer(job, &among, &study, answer) : status;
    if (name) {
        among_close(&among);
    }
    answer_free(&names);
    free(name);
    return status;
}
