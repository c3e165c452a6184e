// SPDX-License-Identifier: MIT
// What `lowlift trims --draws` answers: over many regulators, how often each trim serves the whole
// envelope. In place of the search of a window it looks at the envelope's own flows, kicked, and at
// small motions between them: a tenth of the time.
#include "among/among.h"
#include "trims/trim_study.h"

#include <math.h>
#include <string.h>

enum { TRIM_SERVES, TRIM_STEADY, TRIM_PASSES, TRIM_ALONE, TRIM_PRESSURE, TRIM_METRICS };

static const struct among_metric metrics[TRIM_METRICS] = {
    [TRIM_SERVES] = {.key = "serves", .name = "steady over the envelope and passes the peak"},
    [TRIM_STEADY] = {.key = "steady", .name = "steady over the envelope"},
    [TRIM_PASSES] = {.key = "passes_the_peak", .name = "passes the peak"},
    [TRIM_ALONE] = {.key = "lowest_steady_flow_left_alone",
                    .name = "lowest steady flow, left alone",
                    .form = AMONG_NUMBER,
                    .kind = UNIT_FLOW,
                    .below = "at all flows",
                    .above = "none"},
    [TRIM_PRESSURE] = {.key = "settled_pressure_at_the_peak",
                       .name = "settled pressure at the peak",
                       .form = AMONG_NUMBER,
                       .kind = UNIT_PRESSURE_LEVEL},
};

struct trim_context {
    const struct study_job *job;
    const struct trim_study *study;
};

// One item a trim and pressure of the envelope: they are put together in `settle`.
static void describe(void *context, size_t item, size_t draw, struct study_point *point) {
    const struct trim_context *c = context;
    (void)draw;
    point->trim = c->job->trim[item];
    // A set pressure of the envelope changes the scenario itself: the first stands for both here.
    if (c->study->envelope.of_set) {
        envelope_change(&c->study->envelope, 0, point);
    }
}

// A gas flow counted in standard volume stays what it is when the draw's gas is another.
static double scale_of(const struct trim_study *s, const struct scenario_case *scenario) {
    const double own = trim_window_own_flow(scenario);
    return own > 0.0 && s->today > 0.0 ? own / s->today : 1.0;
}

// Small motions die out at every flow of the envelope, and a kick at its own flows.
// Up to what it passes.
static bool steady_at(const struct trim_study *s, const struct steadiness *subject, double scale,
                      bool passes) {
    const double *flow = s->envelope.flow;
    const double low = scale * flow[ENVELOPE_LOWEST], high = scale * flow[ENVELOPE_PEAK];
    if (low < high) {
        const struct steadiness_window w = steadiness_lowest_flow(subject, low, high);
        if (w.range != STEADINESS_EVERYWHERE) {
            return false;
        }
    }
    for (int f = 0; f < ENVELOPE_FLOW_COUNT; f++) {
        const bool counts = !isnan(flow[f]) && (f != ENVELOPE_PEAK || passes);
        if (counts && !steadiness_kicked(subject, scale * flow[f], s->search.kick)) {
            return false;
        }
    }
    return true;
}

static bool passes_at(const struct trim_study *s, const struct steadiness *subject, double scale,
                      double *pressure) {
    const double peak = scale * s->envelope.flow[ENVELOPE_PEAK];
    const struct steadiness_settled settled = steadiness_settled(subject, peak);
    *pressure = fmax(*pressure, settled.pressure);
    const bool open =
        settled.travel <= STEADINESS_TRAVEL_SHARE * subject->held.model.trim.rated_travel;
    const bool below = isnan(s->search.limit) || settled.pressure <= s->search.limit;
    return open && below && settled.rest <= STEADINESS_UNSTEADY;
}

static void evaluate(void *context, size_t item, const struct scenario_case *scenario,
                     double *metric) {
    const struct trim_study *s = ((const struct trim_context *)context)->study;
    const double scale = scale_of(s, scenario);
    struct steadiness subject;
    (void)item;
    metric[TRIM_STEADY] = metric[TRIM_PASSES] = metric[TRIM_SERVES] = 0.0;
    if (isnan(trim_window_prepare(scenario, scale * s->search.lowest, &subject))) {
        return; // holds its pressure at no flow looked at
    }
    bool steady = true, passes = true;
    double pressure = (double)NAN;
    for (size_t p = 0; p < s->envelope.pressure_count; p++) {
        struct steadiness own = subject;
        envelope_hold(&s->envelope, p, &own);
        const bool here = passes_at(s, &own, scale, &pressure);
        passes = passes && here;
        steady = steady && steady_at(s, &own, scale, here);
    }
    const struct trim_window_search alone = {.lowest = scale * s->search.lowest,
                                             .upper = scale * s->search.upper,
                                             .ceiling = scale * s->search.upper,
                                             .limit = (double)NAN,
                                             .brief = true};
    const struct trim_window window = trim_window_find(&subject, &alone);
    metric[TRIM_STEADY] = steady;
    metric[TRIM_PASSES] = passes;
    metric[TRIM_SERVES] = steady && passes;
    metric[TRIM_ALONE] = isnan(window.settled)                           ? (double)INFINITY
                         : window.settled_range == STEADINESS_EVERYWHERE ? -(double)INFINITY
                                                                         : window.settled / scale;
    metric[TRIM_PRESSURE] = pressure;
}

enum study_status trim_among(struct study_job *job, const struct study_asked *asked,
                             const struct trim_study *s, struct answer *answer) {
    struct trim_context context = {job, s};
    if (s->envelope.of_set && s->envelope.pressure_count > 1) {
        return study_job_fail(job, STUDY_BAD_USAGE,
                              "--draws takes one set pressure; give --pressure-low alone, or the "
                              "line's pressures");
    }
    const struct among_study study = {.metrics = TRIM_METRICS,
                                      .metric = metrics,
                                      .describe = describe,
                                      .evaluate = evaluate,
                                      .context = &context,
                                      .overrides = s->overrides,
                                      .override_count = s->override_count,
                                      .checkpoint = asked[TRIMS_CHECKPOINT].text};
    return among_trims(job, &asked[TRIMS_DRAWS], &asked[TRIMS_MOST], TRIMS_DRAWS_USUAL, study,
                       answer);
}
