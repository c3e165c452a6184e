// SPDX-License-Identifier: MIT
// The event loop: steps, samples, roots, restarts, schedule jumps.
#include "solve/integrate_session.h"

#include <float.h>
#include <math.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>

// So many steps that together advance less than this mean that the state runs against a wall the
// model does not know, such as an emptied vessel (CVODE itself goes on for ever).
#define STALL_STEPS 1000
#define STALL_TIME 1e-9 // [s]
// Events at one instant beyond this mean that the model cannot leave the spot.
#define EVENTS_AT_ONE_TIME_MAX 100

static volatile sig_atomic_t interrupted;

void integrate_interrupt(void) {
    interrupted = 1;
}

bool integrate_interrupted(void) {
    return interrupted != 0;
}

struct integrate_options integrate_options_default(void) {
    return (struct integrate_options){
        .end = 60.0,
        .sample_interval = 5e-3,
        .relative_tolerance = 1e-6,
        .initial_step = 1e-6,
        .max_steps = 20000000,
        .max_order = 5,
    };
}

static double sample_time(const struct integrate_session *s, long sample) {
    return s->options->start + (double)sample * s->options->sample_interval;
}

// Samples up to and including the present time; returns true when the observer has seen enough.
static bool emit_samples(struct integrate_session *s) {
    const struct integrate_observer *o = s->observer;
    for (double t = sample_time(s, s->next_sample); t <= s->time;
         t = sample_time(s, s->next_sample)) {
        const double *state = NV_DATA_S(s->state);
        if (t < s->time) {
            if (!integrate_session_sample(s, t)) {
                break;
            }
            state = NV_DATA_S(s->scratch);
        }
        if (o->sample) {
            o->sample(o->context, t, s->mode, state);
        }
        s->next_sample++;
        if (o->stop && o->stop(o->context, t)) {
            return true;
        }
    }
    return false;
}

static double next_break(const struct integrate_session *s) {
    const struct regulator_parameters *p = &s->regulator->parameters;
    double t = s->options->end;
    t = fmin(t, schedule_piece_end(&p->flow, s->mode->flow_piece));
    t = fmin(t, schedule_piece_end(&p->boundary, s->mode->boundary_piece));
    t = fmin(t, schedule_piece_end(&p->set_point, s->mode->set_piece));
    t = fmin(t, schedule_piece_end(&p->level, s->mode->level_piece));
    return t;
}

static bool advance_piece(const struct schedule *schedule, size_t *piece, double time) {
    double before = schedule_value(schedule, *piece, time);
    while (schedule_piece_end(schedule, *piece) <= time) {
        (*piece)++;
    }
    return schedule_value(schedule, *piece, time) != before;
}

static void tell_jump(const struct integrate_session *s, const struct regulator_mode *mode,
                      const double *state, const struct regulator_transition *transition) {
    struct integrate_jump jump = {.time = s->time,
                                  .mode_before = mode,
                                  .mode_after = s->mode,
                                  .before = state,
                                  .after = NV_DATA_S(s->state),
                                  .transition = transition};
    if (s->observer->jump) {
        s->observer->jump(s->observer->context, &jump);
    }
}

// Carry out one fired guard. Sets *changed when state or mode jumped.
static bool apply_guard(struct integrate_session *s, enum regulator_guard guard, bool *changed) {
    double before[REGULATOR_STATES_MAX];
    memcpy(before, NV_DATA_S(s->state), (size_t)s->states * sizeof *before);
    struct regulator_mode mode = *s->mode;
    struct regulator_transition t =
        regulator_transition(s->regulator, s->mode, s->time, NV_DATA_S(s->state), guard);
    if (t.event == EVENT_NONE) {
        return true;
    }
    s->result->statistics.events++;
    tell_jump(s, &mode, before, &t);
    *changed = *changed || t.changed;
    s->events_at_time = s->time > s->last_event_time ? 0 : s->events_at_time + 1;
    s->last_event_time = s->time;
    if (s->events_at_time > EVENTS_AT_ONE_TIME_MAX) {
        return integrate_session_fail(s, "events do not end at one instant", CV_UNRECOGNIZED_ERR);
    }
    return true;
}

static bool handle_roots(struct integrate_session *s) {
    int found[GUARD_COUNT];
    integrate_session_found(s, found);
    bool changed = false;
    for (int i = 0; i < GUARD_COUNT; i++) {
        // A transition may have changed the meaning of a later guard; then it waits for its own
        // root.
        bool stale = changed && i == GUARD_REVERSAL;
        if (found[i] != 0 && !stale && !apply_guard(s, (enum regulator_guard)i, &changed)) {
            return false;
        }
    }
    return !changed || integrate_session_restart(s);
}

static bool handle_penetration(struct integrate_session *s) {
    enum regulator_guard guard = regulator_penetration(s->regulator, s->mode, NV_DATA_S(s->state));
    if (guard == GUARD_COUNT) {
        return true;
    }
    bool changed = false;
    return apply_guard(s, guard, &changed) && (!changed || integrate_session_restart(s));
}

// A jump may turn the force on a part that is held: its guard then stands beyond zero already and
// would never be seen to cross it.
static bool release_held(struct integrate_session *s) {
    double guard[GUARD_COUNT];
    bool changed = false;
    regulator_guards(s->regulator, s->mode, s->time, NV_DATA_S(s->state), guard);
    const bool held[GUARD_COUNT] = {
        [GUARD_SEAT] = s->mode->plug == HOLD_LOW,
        [GUARD_STOP] = s->mode->plug == HOLD_HIGH,
        [GUARD_PILOT_LOW] = s->mode->pilot == HOLD_LOW,
        [GUARD_PILOT_HIGH] = s->mode->pilot == HOLD_HIGH,
    };
    for (int i = 0; i < GUARD_COUNT; i++) {
        if (held[i] && guard[i] < 0.0 && !apply_guard(s, (enum regulator_guard)i, &changed)) {
            return false;
        }
    }
    return true;
}

// Move to the schedule pieces in force from now on; restart only if a value really jumps.
static bool advance_schedules(struct integrate_session *s) {
    const struct regulator_parameters *p = &s->regulator->parameters;
    struct regulator_mode before = *s->mode;
    bool jumped = advance_piece(&p->flow, &s->mode->flow_piece, s->time);
    jumped |= advance_piece(&p->boundary, &s->mode->boundary_piece, s->time);
    jumped |= advance_piece(&p->set_point, &s->mode->set_piece, s->time);
    jumped |= advance_piece(&p->level, &s->mode->level_piece, s->time);
    if (!jumped) {
        return true;
    }
    tell_jump(s, &before, NV_DATA_S(s->state), NULL);
    return release_held(s) && integrate_session_restart(s);
}

// One solver step and all that follows from it. False ends the run.
static bool advance(struct integrate_session *s) {
    double stop = next_break(s);
    if (stop - s->time > 4.0 * DBL_EPSILON * fmax(fabs(stop), fabs(s->time))) {
        const enum integrate_step step = integrate_session_step(s, stop);
        if (step == INTEGRATE_STEP_FAILED) {
            return false;
        }
        bool enough = emit_samples(s);
        if (enough && integrate_session_cut(s, sample_time(s, s->next_sample - 1))) {
            s->result->status = INTEGRATE_STOPPED;
            return false;
        }
        // Carried out even if the run ends here: state and mode are then fit to go on from.
        bool good = step == INTEGRATE_STEP_ROOT ? handle_roots(s) : handle_penetration(s);
        if (good && enough) {
            s->result->status = INTEGRATE_STOPPED;
        }
        if (!good || enough) {
            return false;
        }
    } else {
        s->time = stop;
    }
    if (s->time >= s->options->end) {
        return false;
    }
    if (s->time >= stop && !advance_schedules(s)) {
        return false;
    }
    if (s->result->statistics.steps + integrate_session_steps(s) > s->options->max_steps) {
        return integrate_session_fail(s, "more steps than run.max_steps", CV_TOO_MUCH_WORK);
    }
    if (++s->step_calls % STALL_STEPS == 0) {
        if (s->time - s->stall_time < STALL_TIME) {
            return integrate_session_fail(s, "time no longer advances", CV_TOO_MUCH_WORK);
        }
        s->stall_time = s->time;
    }
    if (interrupted) {
        s->result->status = INTEGRATE_INTERRUPTED;
        return false;
    }
    return true;
}

struct integrate_run {
    struct integrate_session session;
    struct integrate_result result;
    double *state; // of the caller, filled at the close
    bool open, ended;
};

struct integrate_run *integrate_open(const struct regulator *regulator, struct regulator_mode *mode,
                                     double *state, const struct integrate_options *options,
                                     const struct integrate_observer *observer) {
    struct integrate_run *run = calloc(1, sizeof *run);
    if (!run) {
        return NULL;
    }
    run->state = state;
    run->session = (struct integrate_session){
        .regulator = regulator,
        .mode = mode,
        .options = options,
        .observer = observer,
        .result = &run->result,
        .time = options->start,
        .last_event_time = options->start - 1.0,
        .stall_time = options->start - 1.0,
    };
    run->open = integrate_session_open(&run->session, state);
    run->ended = !run->open || emit_samples(&run->session);
    if (run->open && run->ended) {
        run->result.status = INTEGRATE_STOPPED;
    }
    return run;
}

bool integrate_continue(struct integrate_run *run, double until) {
    while (run && !run->ended && run->session.time < until) {
        run->ended = !advance(&run->session);
    }
    return run && !run->ended;
}

double integrate_time(const struct integrate_run *run) {
    return run ? run->session.time : 0.0;
}

struct integrate_result integrate_close(struct integrate_run *run) {
    if (!run) {
        return (struct integrate_result){.status = INTEGRATE_NO_MEMORY, .message = "out of memory"};
    }
    struct integrate_session *s = &run->session;
    if (run->open) {
        integrate_session_gather(s);
        memcpy(run->state, NV_DATA_S(s->state), (size_t)s->states * sizeof *run->state);
    }
    run->result.statistics.rate_calls = s->rate_calls;
    run->result.statistics.end_time = s->time;
    integrate_session_close(s);
    struct integrate_result result = run->result;
    free(run);
    return result;
}

struct integrate_result integrate_run(const struct regulator *regulator,
                                      struct regulator_mode *mode, double *state,
                                      const struct integrate_options *options,
                                      const struct integrate_observer *observer) {
    struct integrate_run *run = integrate_open(regulator, mode, state, options, observer);
    integrate_continue(run, (double)INFINITY);
    return integrate_close(run);
}
