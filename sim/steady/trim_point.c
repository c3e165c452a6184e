// SPDX-License-Identifier: MIT
#include "steady/trim_point.h"

#include "run/screening.h"

#include <math.h>

#define SEATED_SHARE 1e-3 // of the rated travel

// A run and its verdict; while it is undecided it goes on to SIMULATION_PATIENCE times the time.
static enum verdict run_on(const struct scenario_case *scenario, struct simulation *s,
                           struct verdict_figures *figures) {
    struct scenario_case c = *scenario;
    c.run.duration *= SIMULATION_PATIENCE;
    struct simulation_run *run = simulation_open(&c, &(struct simulation_manner){.brief = true}, s);
    enum verdict verdict = VERDICT_UNDECIDED;
    if (simulation_continue(run, scenario->run.duration)) {
        simulation_judge_at(run, scenario->run.duration);
        verdict = s->judged.verdict;
    }
    const struct verdict_result judged = s->judged;
    if (verdict == VERDICT_UNDECIDED) {
        simulation_continue(run, (double)INFINITY);
    }
    simulation_close(run);
    if (verdict == VERDICT_UNDECIDED) {
        verdict = s->outcome == SIMULATION_DONE ? s->judged.verdict : VERDICT_UNDECIDED;
    } else {
        s->judged = judged;
    }
    *figures = s->judged.figures;
    return verdict;
}

static enum verdict point_run(const struct scenario_case *scenario,
                              struct verdict_figures *figures) {
    struct simulation s;
    enum verdict verdict = VERDICT_UNDECIDED, quick = VERDICT_UNDECIDED;
    enum screening_next next = SCREENING_AGAIN;
    if (screening_applies(scenario)) {
        const struct scenario_case fast = screening_quick(scenario);
        verdict = quick = run_on(&fast, &s, figures);
        next = screening_after(scenario, &s, quick != VERDICT_UNDECIDED);
        simulation_free(&s);
    }
    if (next != SCREENING_KEEP) {
        verdict = run_on(scenario, &s, figures);
        simulation_free(&s);
    }
    if (next == SCREENING_SAMPLE) {
        screening_compare(scenario, verdict == quick);
    }
    return verdict;
}

enum verdict trim_point_run(const struct scenario_case *scenario, double *swing,
                            double *seat_rate) {
    struct verdict_figures figures;
    const enum verdict verdict = point_run(scenario, &figures);
    *swing = figures.pressure_swing;
    *seat_rate = figures.seat_rate;
    return verdict;
}

// Verdict where there is nothing open to kick.
static bool verdict_of_rest(enum steadiness_rest rest, enum verdict *verdict) {
    switch (rest) {
    case STEADINESS_STEADY:
    case STEADINESS_UNSTEADY:
        return false;
    case STEADINESS_SHUT:
        *verdict = VERDICT_SHUT;
        break;
    case STEADINESS_WIDE_OPEN:
    case STEADINESS_NO_REST:
        *verdict = VERDICT_WIDE_OPEN;
        break;
    case STEADINESS_CANNOT_OPEN:
        *verdict = VERDICT_CANNOT_OPEN;
        break;
    case STEADINESS_CANNOT_SHUT:
        *verdict = VERDICT_CANNOT_SHUT;
        break;
    case STEADINESS_FAILED:
        *verdict = VERDICT_UNDECIDED;
        break;
    }
    return true;
}

static struct scenario_case at_flow(const struct steadiness *subject, double flow,
                                    const struct steadiness_settled *settled) {
    struct scenario_case at = subject->held;
    at.model.flow = schedule_constant(flow);
    at.run.stop_early = true;
    at.run.sample_interval = steadiness_interval(subject, 1.0 / settled->swing_frequency);
    return at;
}

struct trim_point trim_point_at(const struct steadiness *subject, double flow, double kick) {
    const struct steadiness_settled settled = steadiness_settled(subject, flow);
    struct trim_point out = {
        .opening = settled.travel / subject->held.model.trim.rated_travel,
        .pressure = settled.pressure,
        .swing = (double)NAN,
    };
    if (verdict_of_rest(settled.rest, &out.verdict)) {
        return out;
    }
    struct scenario_case kicked = at_flow(subject, flow, &settled);
    for (int way = 1; way >= -1; way -= 2) {
        double swing;
        double seat_rate;
        kicked.start =
            (struct start_options){.from = START_EQUILIBRIUM, .kick_pressure = way * kick};
        const enum verdict verdict = trim_point_run(&kicked, &swing, &seat_rate);
        out.verdict = verdict > out.verdict ? verdict : out.verdict;
        out.swing = fmax(out.swing, swing); // NaN gives way
    }
    return out;
}

// What a kick leads to; nothing clear with the plug next to its seat is shut.
static enum verdict trouble(const struct scenario_case *scenario) {
    struct verdict_figures figures;
    const enum verdict verdict = point_run(scenario, &figures);
    const bool seated = figures.travel_mean + figures.travel_swing <
                        SEATED_SHARE * scenario->model.trim.rated_travel;
    return verdict == VERDICT_UNDECIDED && seated ? VERDICT_SHUT : verdict;
}

enum verdict trim_point_trouble(const struct steadiness *subject, double flow, double kick) {
    enum verdict verdict = VERDICT_UNDECIDED;
    const struct steadiness_settled settled = steadiness_settled(subject, flow);
    if (verdict_of_rest(settled.rest, &verdict)) {
        return verdict;
    }
    struct scenario_case kicked = at_flow(subject, flow, &settled);
    for (int way = 1; way >= -1; way -= 2) {
        kicked.start =
            (struct start_options){.from = START_EQUILIBRIUM, .kick_pressure = way * kick};
        verdict = trouble(&kicked);
        if (verdict > VERDICT_RINGING) {
            break;
        }
    }
    return verdict;
}
