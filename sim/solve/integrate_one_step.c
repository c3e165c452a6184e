// SPDX-License-Identifier: MIT
// A regulator integrated by the one-step method, and the search for events in its steps.
//
// A step may be longer than a bounce. So the ends of travel are looked at inside it too, on the
// continuous solution; the first fall through zero is closed in upon, and what is left of the step
// stays good unless state or mode then jump:
//
//     guard  +      .
//            |   .     .             looked at: 0, 1/4, 1/2, 3/4, 1
//            0--------------x-----
//            |                 .     found: x, and the state just behind it
#include "solve/integrate_session.h"

#include <float.h>
#include <math.h>
#include <string.h>

#define SMALLEST_STEP 1e-13 // [s], as CVODE's
#define TIME_STEP 1e-5      // over which rates are differenced in time [s]
#define LOOKS 4             // a step
// A part that leaves its stop and comes back within this share of a step has not left it.
#define SHORTEST_BOUNCE 1e-6

static int rates(void *context, double time, const double *state, double *rate) {
    struct integrate_session *s = context;
    s->rate_calls++;
    return regulator_derivatives(s->regulator, s->mode, time, state, rate);
}

static int slopes(void *context, double time, const double *state, double *row) {
    struct integrate_session *s = context;
    return regulator_slopes(s->regulator, s->mode, time, state, row);
}

static bool moves(const struct schedule *schedule, size_t piece, double time) {
    return schedule->kind == SCHEDULE_SINE || schedule_slope(schedule, piece, time) != 0.0;
}

// Central differences: in time a schedule is smooth within its piece, and runs on beyond it.
static int time_slopes(void *context, double time, const double *state, double *slope, bool *zero) {
    struct integrate_session *s = context;
    const struct regulator_parameters *p = &s->regulator->parameters;
    const struct regulator_mode *m = s->mode;
    *zero = !moves(&p->flow, m->flow_piece, time) &&
            !moves(&p->boundary, m->boundary_piece, time) &&
            !moves(&p->set_point, m->set_piece, time) && !moves(&p->level, m->level_piece, time);
    if (*zero) {
        return 0;
    }
    double before[REGULATOR_STATES_MAX];
    if (rates(s, time - TIME_STEP, state, before) != 0 ||
        rates(s, time + TIME_STEP, state, slope) != 0) {
        return 1;
    }
    for (int i = 0; i < s->states; i++) {
        slope[i] = (slope[i] - before[i]) / (2.0 * TIME_STEP);
    }
    return 0;
}

bool integrate_one_step_open(struct integrate_session *s) {
    const struct rosenbrock_problem problem = {
        .context = s,
        .count = s->states,
        .driving = s->dynamic_states,
        .rates = rates,
        .slopes = slopes,
        .time_slopes = time_slopes,
        .relative = s->options->relative_tolerance,
        .absolute = NV_DATA_S(s->tolerance),
        .smallest = SMALLEST_STEP,
        .largest = s->options->max_step,
    };
    s->one.method = rosenbrock_new(&problem, s->options->initial_step);
    if (!s->one.method || !s->regulator->has_lines) {
        return s->one.method != NULL;
    }
    struct regulator_band band;
    regulator_band(s->regulator, &band);
    const struct bordered_shape shape = {
        s->dynamic_states, band.banded, band.below, band.above, s->states - s->dynamic_states,
        band.order};
    return rosenbrock_shape(s->one.method, &shape);
}

static double time_at(const struct integrate_session *s, double share) {
    const struct rosenbrock *m = s->one.method;
    return share >= 1.0 ? s->one.end : rosenbrock_begun(m) + share * rosenbrock_taken(m);
}

static const double *state_at(struct integrate_session *s, double share) {
    rosenbrock_between(s->one.method, share, NV_DATA_S(s->scratch));
    return NV_DATA_S(s->scratch);
}

// What the guards of free parts look at, and nothing else.
static const double *places_at(struct integrate_session *s, double share) {
    const struct regulator_layout *l = &s->regulator->layout;
    double *state = NV_DATA_S(s->scratch);
    const int looked_at[] = {l->travel, l->speed, l->pilot_travel};
    for (int k = 0; k < 3; k++) {
        if (looked_at[k] >= 0) {
            state[looked_at[k]] = rosenbrock_between_one(s->one.method, share, looked_at[k]);
        }
    }
    return state;
}

// Guards at a share of the step; those of held parts ask for forces, and are as they were unless
// `all`.
static void guards_at(struct integrate_session *s, double share, bool all,
                      const double before[GUARD_COUNT], double guard[GUARD_COUNT]) {
    struct regulator_mode mode = *s->mode;
    const bool plug = !all && mode.plug != HOLD_FREE, pilot = !all && mode.pilot != HOLD_FREE;
    mode.plug = plug ? HOLD_FREE : mode.plug;
    mode.pilot = pilot ? HOLD_FREE : mode.pilot;
    const double *state = s->one.state;
    if (share < 1.0) {
        const bool free = mode.plug == HOLD_FREE && mode.pilot == HOLD_FREE;
        state = free ? places_at(s, share) : state_at(s, share);
    }
    regulator_guards(s->regulator, &mode, time_at(s, share), state, guard);
    for (int i = 0; i < GUARD_COUNT; i++) {
        const bool of_pilot = i == GUARD_PILOT_LOW || i == GUARD_PILOT_HIGH;
        if (of_pilot ? pilot : plug) {
            guard[i] = before[i];
        }
    }
}

static bool fires(int i, double before, double now) {
    return (before > 0.0 && now <= 0.0) || (i == GUARD_REVERSAL && before < 0.0 && now >= 0.0);
}

// Shares of a step: guards at `low` are above zero where those at `high` have fired.
struct bracket {
    double low, high;
    double before[GUARD_COUNT], after[GUARD_COUNT];
};

static bool any_fires(const struct bracket *b) {
    bool any = false;
    for (int i = 0; i < GUARD_COUNT; i++) {
        any = any || fires(i, b->before[i], b->after[i]);
    }
    return any;
}

// A part that has just left its stop has its guard at zero. If it is behind it again at `high`, it
// was off in between: the bracket begins where it was.
static void look_behind_start(struct integrate_session *s, struct bracket *b) {
    bool suspect = false;
    for (int i = 0; i < GUARD_COUNT; i++) {
        suspect = suspect || (i != GUARD_REVERSAL && b->before[i] == 0.0 && b->after[i] < 0.0);
    }
    double share = b->high;
    while (suspect && share - b->low > SHORTEST_BOUNCE) {
        double guard[GUARD_COUNT];
        share = b->low + 0.25 * (share - b->low);
        guards_at(s, share, false, b->before, guard);
        for (int i = 0; i < GUARD_COUNT; i++) {
            suspect = suspect && !(i != GUARD_REVERSAL && b->before[i] == 0.0 && guard[i] > 0.0);
        }
        if (!suspect) {
            memcpy(b->before, guard, sizeof guard);
            b->low = share;
        } else {
            memcpy(b->after, guard, sizeof guard);
            b->high = share;
        }
    }
}

// Closes in on the first guard to fire, to the last digits of time. The bracket's high end stays
// behind it, as CVODE's does.
static void close_in(struct integrate_session *s, struct bracket *b, bool all) {
    const double width =
        4.0 * DBL_EPSILON * (1.0 + fabs(s->one.end) / rosenbrock_taken(s->one.method));
    int side = 0;
    double weight = 1.0;
    for (int k = 0; k < 100 && b->high - b->low > width; k++) {
        double cut = 1.0; // the earliest of all that fire, along straight lines
        for (int i = 0; i < GUARD_COUNT; i++) {
            if (fires(i, b->before[i], b->after[i])) {
                const double low = b->before[i] * (side > 0 ? weight : 1.0);
                const double high = b->after[i] * (side < 0 ? weight : 1.0);
                cut = fmin(cut, low / (low - high));
            }
        }
        const double span = b->high - b->low;
        cut = k % 4 == 3 ? 0.5 : cut; // so that it always ends
        double share = b->low + fmin(fmax(cut * span, 0.4 * width), span - 0.4 * width);
        double guard[GUARD_COUNT];
        guards_at(s, share, all, b->before, guard);
        bool behind = false;
        for (int i = 0; i < GUARD_COUNT; i++) {
            behind = behind || fires(i, b->before[i], guard[i]);
        }
        const int now = behind ? -1 : 1; // the end that stays is weighed less (Illinois)
        weight = now == -side ? 1.0 : 0.5 * weight;
        side = -now;
        if (behind) {
            b->high = share;
            memcpy(b->after, guard, sizeof guard);
        } else {
            b->low = share;
            memcpy(b->before, guard, sizeof guard);
        }
    }
}

// Looks for events in what is left of the step. True: one is found, and time and state are there.
static bool find_event(struct integrate_session *s) {
    struct integrate_one_step *o = &s->one;
    struct bracket b = {.low = o->share};
    memcpy(b.before, o->guard, sizeof b.before);
    for (int k = 1; k <= LOOKS; k++) {
        b.high = (double)k / LOOKS;
        if (b.high <= b.low) {
            continue;
        }
        const bool all = true;
        guards_at(s, b.high, all, b.before, b.after);
        look_behind_start(s, &b);
        if (any_fires(&b)) {
            close_in(s, &b, all);
            for (int i = 0; i < GUARD_COUNT; i++) {
                o->found[i] = fires(i, b.before[i], b.after[i]);
            }
            o->share = b.high;
            memcpy(o->guard, b.after, sizeof o->guard);
            return true;
        }
        b.low = b.high = (double)k / LOOKS;
        memcpy(b.before, b.after, sizeof b.before);
    }
    memcpy(o->guard, b.after, sizeof o->guard);
    return false;
}

enum integrate_step integrate_one_step_take(struct integrate_session *s, double stop) {
    struct integrate_one_step *o = &s->one;
    if (!o->guards_known) {
        regulator_guards(s->regulator, s->mode, s->time, NV_DATA_S(s->state), o->guard);
        o->guards_known = true;
    }
    if (!o->pending) {
        memcpy(o->state, NV_DATA_S(s->state), (size_t)s->states * sizeof *o->state);
        o->end = s->time;
        if (!rosenbrock_step(o->method, &o->end, o->state, stop)) {
            o->failure = CV_ERR_FAILURE;
            return INTEGRATE_STEP_FAILED;
        }
        o->share = 0.0;
    }
    const bool event = find_event(s);
    for (int i = 0; i < GUARD_COUNT; i++) {
        if (!isfinite(o->guard[i])) {
            o->failure = CV_RTFUNC_FAIL;
            return INTEGRATE_STEP_FAILED;
        }
    }
    o->pending = event && o->share < 1.0;
    s->time = time_at(s, event ? o->share : 1.0);
    if (o->pending) {
        rosenbrock_between(o->method, o->share, NV_DATA_S(s->state));
    } else {
        memcpy(NV_DATA_S(s->state), o->state, (size_t)s->states * sizeof *o->state);
    }
    return event ? INTEGRATE_STEP_ROOT : INTEGRATE_STEP_TAKEN;
}
