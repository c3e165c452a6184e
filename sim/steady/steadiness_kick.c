// SPDX-License-Identifier: MIT
// Kicks by simulation.
#include "steady/steadiness.h"

#include "run/screening.h"
#include "steady/kicked_run.h"

#include <math.h>

#define FIRST_SWINGS 20.0 // length of the first run
#define SIZE_SHARE 0.03   // bracket of the smallest kick
#define FLOOR_SHARE 1e-3  // and its floor, share of the largest

// Samples of a swing, and the widest spacing: what a run takes where nothing is said. A slow
// regulator that is watched for hours keeps fewer.
#define SWING_SAMPLES 40.0
#define WIDEST_INTERVAL 10e-3
#define SAMPLES_MOST 2e5

double steadiness_interval(const struct steadiness *subject, double period) {
    const double fine = fmin(WIDEST_INTERVAL, period / SWING_SAMPLES); // leaves out a NaN
    return fmax(fine, SIMULATION_PATIENCE * subject->held.run.duration / SAMPLES_MOST);
}

static bool open_at(const struct steadiness_settled *settled) {
    return settled->rest == STEADINESS_STEADY || settled->rest == STEADINESS_UNSTEADY;
}

static enum steadiness_motion run_from(const struct steadiness *subject, double flow,
                                       struct start_options start, double period,
                                       enum verdict *verdict) {
    struct scenario_case begun = subject->held;
    begun.model.flow = schedule_constant(flow);
    begun.start = start;
    begun.run.stop_early = true;
    begun.run.sample_interval = steadiness_interval(subject, period);
    const double whole = begun.run.duration;
    begun.run.duration = SIMULATION_PATIENCE * whole;
    // Most kicks are decided in a few swings; only those near the border take longer.
    const bool kicked = start.from != START_SHUT;
    const struct kicked_run_times times = {
        .first = kicked ? fmin(whole, FIRST_SWINGS * period) : whole,
        .period = kicked && !subject->patient ? period : (double)NAN};
    struct kicked_run quick, run;
    enum screening_next next = SCREENING_AGAIN;
    if (screening_applies(&begun)) {
        const struct scenario_case fast = screening_quick(&begun);
        kicked_run(&fast, &times, &quick);
        next = quick.foretold ? screening_after_told(&begun)
                              : screening_after(&begun, &quick.simulation,
                                                kicked_run_is_sure(&quick, start.kick_pressure));
        simulation_free(&quick.simulation);
        if (next == SCREENING_KEEP) {
            *verdict = quick.verdict;
            return quick.motion;
        }
    }
    kicked_run(&begun, &times, &run);
    simulation_free(&run.simulation);
    if (next == SCREENING_SAMPLE) {
        screening_compare(&begun, run.motion == quick.motion);
    }
    *verdict = run.verdict;
    return run.motion;
}

static enum steadiness_motion run_kick(const struct steadiness *subject, double flow, double period,
                                       double kick) {
    enum verdict verdict;
    struct start_options start = {.from = START_EQUILIBRIUM, .kick_pressure = kick};
    return run_from(subject, flow, start, period, &verdict);
}

enum steadiness_motion steadiness_restart(const struct steadiness *subject, double flow,
                                          double pressure, enum verdict *verdict) {
    enum verdict own;
    struct start_options start = {.from = START_SHUT, .pressure = pressure};
    const double period = 1.0 / steadiness_settled(subject, flow).swing_frequency;
    return run_from(subject, flow, start, period, verdict ? verdict : &own);
}

enum steadiness_motion steadiness_kicked_once(const struct steadiness *subject, double flow,
                                              double kick) {
    struct steadiness_settled settled = steadiness_settled(subject, flow);
    return open_at(&settled) ? run_kick(subject, flow, 1.0 / settled.swing_frequency, kick)
                             : STEADINESS_NO_RUN;
}

// Whether a kick dies out both ways; tells which way does not.
static bool both_ways(const struct steadiness *subject, double flow, double period, double kick,
                      bool *upward, size_t *runs) {
    *upward = true;
    (*runs)++;
    if (run_kick(subject, flow, period, kick) != STEADINESS_DIES_OUT) {
        return false;
    }
    *upward = false;
    (*runs)++;
    return run_kick(subject, flow, period, -kick) == STEADINESS_DIES_OUT;
}

bool steadiness_kicked(const struct steadiness *subject, double flow, double kick) {
    bool upward;
    size_t runs = 0;
    struct steadiness_settled settled = steadiness_settled(subject, flow);
    return settled.rest == STEADINESS_STEADY &&
           (kick == 0.0 ||
            both_ways(subject, flow, 1.0 / settled.swing_frequency, kick, &upward, &runs));
}

bool steadiness_kicked_way(const struct steadiness *subject, double flow, double kick) {
    struct steadiness_settled settled = steadiness_settled(subject, flow);
    return settled.rest == STEADINESS_STEADY &&
           run_kick(subject, flow, 1.0 / settled.swing_frequency, kick) == STEADINESS_DIES_OUT;
}

static bool rubs(const struct regulator_parameters *p) {
    return p->actuator.friction.static_force > 0.0 || p->pilot.friction.static_force > 0.0;
}

struct steadiness_kick steadiness_smallest_kick(const struct steadiness *subject, double flow,
                                                double largest) {
    struct steadiness_settled settled = steadiness_settled(subject, flow);
    struct steadiness_kick out = {settled.rest, (double)NAN, largest, true, 0};
    if (!open_at(&settled)) {
        return out;
    }
    if (settled.rest == STEADINESS_UNSTEADY && !rubs(&subject->held.model)) {
        out.size = 0.0;
        return out;
    }
    bool upward;
    double period = 1.0 / settled.swing_frequency;
    if (both_ways(subject, flow, period, largest, &upward, &out.runs)) {
        out.size = (double)INFINITY;
        return out;
    }
    double fine = 0.0;
    out.size = largest;
    out.upward = upward;
    while (out.size - fine > fmax(SIZE_SHARE * out.size, FLOOR_SHARE * largest)) {
        double middle = 0.5 * (fine + out.size);
        if (both_ways(subject, flow, period, middle, &upward, &out.runs)) {
            fine = middle;
        } else {
            out.size = middle;
            out.upward = upward;
        }
    }
    if (fine == 0.0) {
        out.size = 0.0; // even a thousandth of the largest sets it off
    }
    return out;
}
