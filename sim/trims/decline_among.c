// SPDX-License-Identifier: MIT
// What `lowlift decline --draws` answers: over many regulators, the date on which the flow leaves
// the window of each trim. The decline itself is that of the scenario for all of them.
#include "among/among.h"
#include "trims/decline_study.h"

#include <math.h>

// The flow falls: nothing far above today's is looked at.
#define ABOVE_TODAY 1.5

enum { DECLINE_SERVES, DECLINE_LEAVES, DECLINE_ALONE, DECLINE_METRICS };

static const struct among_metric metrics[DECLINE_METRICS] = {
    [DECLINE_SERVES] = {.key = "serves_today", .name = "in its window today, kicked"},
    [DECLINE_LEAVES] = {.key = "leaves_kicked",
                        .name = "leaves its window, kicked",
                        .form = AMONG_DATE,
                        .below = "already",
                        .above = "not so far"},
    [DECLINE_ALONE] = {.key = "leaves_left_alone",
                       .name = "leaves its window, left alone",
                       .form = AMONG_DATE,
                       .below = "already",
                       .above = "not so far"},
};

// Infinite for what is behind, or beyond the horizon.
static double years_of(const struct outlook_crossing *c) {
    switch (c->when) {
    case OUTLOOK_ON:
        return c->years;
    case OUTLOOK_LATER:
    case OUTLOOK_NEVER:
        return (double)INFINITY;
    default:
        return -(double)INFINITY;
    }
}

static void evaluate(void *context, size_t item, const struct scenario_case *scenario,
                     double *metric) {
    const struct decline_study *s = *(const struct decline_study *const *)context;
    struct steadiness subject;
    (void)item;
    // A gas flow counted in standard volume stays what it is when the draw's gas is another.
    const double today = trim_window_own_flow(&s->scenario);
    const double own = trim_window_own_flow(scenario);
    const double scale = own > 0.0 && today > 0.0 ? own / today : 1.0;
    struct trim_window_search search = s->search;
    search.lowest *= scale;
    search.upper *= scale;
    search.ceiling = ABOVE_TODAY * search.upper;
    search.brief = true;
    const struct trim_window w = isnan(trim_window_prepare(scenario, search.lowest, &subject))
                                     ? trim_window_none(&search)
                                     : trim_window_find(&subject, &search);
    const struct outlook_window window = {w.largest / scale, w.settled / scale, w.kicked / scale,
                                          w.looked_at / scale};
    const struct outlook outlook = outlook_of(&s->decline, &window, s->horizon);
    metric[DECLINE_SERVES] = outlook.state == OUTLOOK_INSIDE;
    metric[DECLINE_LEAVES] = years_of(&outlook.kicked);
    metric[DECLINE_ALONE] = years_of(&outlook.settled);
}

static const char *date(void *context, struct answer *answer, double years) {
    return decline_study_date(answer, *(const struct decline_study *const *)context, years);
}

enum study_status decline_among(struct study_job *job, const struct study_asked *asked,
                                const struct decline_study *s, struct answer *answer) {
    const struct among_study study = {.metrics = DECLINE_METRICS,
                                      .metric = metrics,
                                      .evaluate = evaluate,
                                      .context = &s,
                                      .date = date,
                                      .checkpoint = asked[DECLINE_CHECKPOINT].text};
    return among_trims(job, &asked[DECLINE_DRAWS], &asked[DECLINE_MOST], DECLINE_DRAWS_USUAL, study,
                       answer);
}
