// SPDX-License-Identifier: MIT
#include "steady/kicked_run.h"

#include "steady/fate.h"

#include <math.h>

#define GROWN 3.0
// That it keeps moving is known sooner than how: fewer cycles must agree than in a single run. What
// comes to rest is judged as ever.
#define KEEPS_REPEATS 3.0
#define KEEPS_CYCLE 0.03
#define KEEPS_EVENTS 20.0

// A swing wider than a kick's own (twice its size from crest to trough) at the end of a run has
// grown on the way.
static bool has_grown(const struct simulation *s, double kick) {
    return kick != 0.0 && s->judged.figures.pressure_swing > GROWN * fabs(kick);
}

static enum steadiness_motion motion_of(const struct simulation *s, double kick, bool ended) {
    if (s->outcome != SIMULATION_DONE) {
        return STEADINESS_NO_RUN;
    }
    switch (s->judged.verdict) {
    case VERDICT_STEADY:
        return STEADINESS_DIES_OUT;
    case VERDICT_RINGING: // under the limits below: still decaying when the run ended
    case VERDICT_UNDECIDED:
        return ended && has_grown(s, kick) ? STEADINESS_KEEPS_MOVING : STEADINESS_TOO_SLOW;
    default:
        return STEADINESS_KEEPS_MOVING;
    }
}

// A run under way, and what is looked at after each of its swings.
struct under_way {
    struct simulation_run *run;
    const struct simulation *simulation;
    struct fate_watch watch;
    double period, next; // [s]
    bool lives;          // its swing grows
};

static struct under_way open_run(const struct scenario_case *begun, double period,
                                 struct simulation *out) {
    struct verdict_limits limits = steadiness_limits(begun);
    limits.cycle_repeats = KEEPS_REPEATS;
    limits.cycle_tolerance = KEEPS_CYCLE;
    limits.irregular_cycles = KEEPS_EVENTS;
    const double atmosphere = begun->model.atmosphere;
    const double scale =
        fmax(fabs(begun->set_pressure - atmosphere), limits.scale_floor * atmosphere);
    struct simulation_run *run =
        simulation_open(begun, &(struct simulation_manner){.limits = &limits, .brief = true}, out);
    return (struct under_way){
        .run = run,
        .simulation = out,
        .watch = fate_begin(limits.steady_pressure * scale, begun->start.kick_pressure),
        .period = period,
        .next = period};
}

// On to a time [s]. False when the run has ended, or its swing is known to live.
static bool go_on(struct under_way *u, double time) {
    for (; u->next < time; u->next += u->period) {
        if (!simulation_continue(u->run, u->next)) {
            return false;
        }
        const struct simulation *s = u->simulation;
        const struct series pressure = {
            .value = s->channel[CHANNEL_CONTROLLED_PRESSURE], .count = s->count, .step = s->step};
        u->lives = fate_lives(&u->watch, &pressure);
        if (u->lives) {
            return false;
        }
    }
    return simulation_continue(u->run, time);
}

void kicked_run(const struct scenario_case *begun, const struct kicked_run_times *times,
                struct kicked_run *out) {
    const double kick = begun->start.kick_pressure;
    struct simulation *s = &out->simulation;
    struct under_way u = open_run(begun, times->period, s);
    out->motion = STEADINESS_TOO_SLOW;
    for (double time = times->first;
         out->motion == STEADINESS_TOO_SLOW && time < begun->run.duration;
         time *= SIMULATION_PATIENCE) {
        if (!go_on(&u, time)) {
            break;
        }
        simulation_judge_at(u.run, time);
        out->motion = motion_of(s, kick, false);
        out->verdict = s->judged.verdict;
    }
    const bool looked = out->motion != STEADINESS_TOO_SLOW;
    const struct verdict_result judged = s->judged;
    if (!looked && !u.lives) {
        go_on(&u, (double)INFINITY);
    }
    simulation_close(u.run);
    out->foretold = u.lives && s->outcome == SIMULATION_DONE;
    if (out->foretold) {
        out->motion = STEADINESS_KEEPS_MOVING;
        out->verdict = VERDICT_UNDECIDED;
    } else if (!looked || s->outcome != SIMULATION_DONE) {
        out->motion = motion_of(s, kick, true);
        out->verdict = s->judged.verdict;
    } else {
        s->judged = judged;
    }
}

// A swing that has grown to nearly what counts, or just so far.
bool kicked_run_is_sure(const struct kicked_run *run, double kick) {
    const double ratio = run->simulation.judged.figures.pressure_swing / (GROWN * fabs(kick));
    return run->motion != STEADINESS_TOO_SLOW && run->motion != STEADINESS_NO_RUN &&
           (kick == 0.0 || !(ratio > 0.7 && ratio < 1.4));
}
