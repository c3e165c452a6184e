// SPDX-License-Identifier: MIT
// Kicks by simulation.
#include "steadiness.h"

#include "simulate.h"

#include <math.h>

// A run that does not decide in the scenario's own time gets this many times as long.
#define PATIENCE 4.0
#define SIZE_SHARE 0.03  // bracket of the smallest kick
#define FLOOR_SHARE 1e-3 // and its floor, share of the largest

static enum steadiness_motion motion_of(const struct simulation *s) {
    if (s->outcome != SIMULATION_DONE) {
        return STEADINESS_NO_RUN;
    }
    switch (s->judged.verdict) {
    case VERDICT_STEADY:
    case VERDICT_RINGING:
        return STEADINESS_DIES_OUT;
    case VERDICT_UNDECIDED:
        return STEADINESS_TOO_SLOW;
    default:
        return STEADINESS_KEEPS_MOVING;
    }
}

static bool open_at(const struct steadiness_settled *settled) {
    return settled->rest == STEADINESS_STEADY || settled->rest == STEADINESS_UNSTEADY;
}

static enum steadiness_motion run_kick(const struct steadiness *subject, double flow, double kick) {
    struct scenario_case kicked = subject->held;
    kicked.model.flow = schedule_constant(flow);
    kicked.start = (struct start_options){.from = START_EQUILIBRIUM, .kick_pressure = kick};
    kicked.run.stop_early = true;
    enum steadiness_motion motion = STEADINESS_TOO_SLOW;
    for (int tries = 0; tries < 2 && motion == STEADINESS_TOO_SLOW; tries++) {
        struct simulation simulation;
        simulate(&kicked, &simulation);
        motion = motion_of(&simulation);
        simulation_free(&simulation);
        kicked.run.duration *= PATIENCE;
    }
    return motion;
}

enum steadiness_motion steadiness_kicked_once(const struct steadiness *subject, double flow,
                                              double kick) {
    struct steadiness_settled settled = steadiness_settled(subject, flow);
    return open_at(&settled) ? run_kick(subject, flow, kick) : STEADINESS_NO_RUN;
}

// Whether a kick dies out both ways; tells which way does not.
static bool both_ways(const struct steadiness *subject, double flow, double kick, bool *upward,
                      size_t *runs) {
    *upward = true;
    ++*runs;
    if (run_kick(subject, flow, kick) != STEADINESS_DIES_OUT) {
        return false;
    }
    *upward = false;
    ++*runs;
    return run_kick(subject, flow, -kick) == STEADINESS_DIES_OUT;
}

bool steadiness_kicked(const struct steadiness *subject, double flow, double kick) {
    bool upward;
    size_t runs = 0;
    return steadiness_settled(subject, flow).rest == STEADINESS_STEADY &&
           (kick == 0.0 || both_ways(subject, flow, kick, &upward, &runs));
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
    if (both_ways(subject, flow, largest, &upward, &out.runs)) {
        out.size = (double)INFINITY;
        return out;
    }
    double fine = 0.0;
    out.size = largest;
    out.upward = upward;
    while (out.size - fine > fmax(SIZE_SHARE * out.size, FLOOR_SHARE * largest)) {
        double middle = 0.5 * (fine + out.size);
        if (both_ways(subject, flow, middle, &upward, &out.runs)) {
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
