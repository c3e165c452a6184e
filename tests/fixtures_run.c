// SPDX-License-Identifier: MIT
// What tests do with a ready-made regulator: settle it, linearise it, run it and keep a record.
#include "fixtures.h"

#include <lapacke.h>

#include <string.h>

// What is out of balance in a trial state of a pilot build at rest.
struct trial {
    double travel, lift, pressure[NODE_COUNT];
    struct regulator_observation seen;
};

static void trial_look(const struct regulator *r, struct trial *t, double *state) {
    struct regulator_mode mode = regulator_mode_at(r, 0.0);
    regulator_rest_state(r, &mode, 0.0, &(struct regulator_rest){t->travel, t->lift, t->pressure},
                         state);
    regulator_observe(r, &mode, 0.0, state, &t->seen);
}

void fixture_settle_pilot(struct regulator *r, double pressure, double *state) {
    struct trial t = {.lift = 0.0};
    for (int n = 0; n < NODE_COUNT; n++) {
        t.pressure[n] = pressure;
    }
    double high, low, end = r->parameters.trim.rated_travel;
    for (int pass = 0; pass < 60; pass++) {
        low = 0.0, high = end; // travel: inflow = trim + pilot supply
        for (int i = 0; i < 60; i++) {
            t.travel = 0.5 * (low + high);
            trial_look(r, &t, state);
            bool more = t.seen.inflow > t.seen.trim_flow + t.seen.supply_flow;
            *(more ? &low : &high) = t.travel;
        }
        low = 0.0, high = pressure; // chamber: plug in balance
        for (int i = 0; i < 60; i++) {
            t.pressure[NODE_CHAMBER] = 0.5 * (low + high);
            trial_look(r, &t, state);
            *(t.seen.free_force < 0.0 ? &low : &high) = t.pressure[NODE_CHAMBER];
        }
        low = 0.0, high = r->parameters.pilot.travel; // pilot: supply = bleed
        for (int i = 0; i < 60; i++) {
            t.lift = 0.5 * (low + high);
            trial_look(r, &t, state);
            *(t.seen.supply_flow < t.seen.exhaust_flow ? &low : &high) = t.lift;
        }
    }
    trial_look(r, &t, state);
    r->parameters.set_offset += r->pilot_forces.sign * t.seen.pilot_free_force;
}

int fixture_linearise(const struct regulator *r, const struct regulator_mode *mode,
                      const double *state, double least_frequency, struct fixture_modes *modes) {
    const struct regulator_layout *l = &r->layout;
    int n = l->mass_in;
    double jacobian[REGULATOR_STATES_MAX * REGULATOR_STATES_MAX];
    double y[REGULATOR_STATES_MAX], up[REGULATOR_STATES_MAX], down[REGULATOR_STATES_MAX];
    memcpy(y, state, (size_t)l->count * sizeof *y);
    for (int c = 0; c < n; c++) {
        double h = 1e-7 * l->slot[c].scale;
        y[c] = state[c] + h;
        regulator_derivatives(r, mode, 0.0, y, up);
        y[c] = state[c] - h;
        regulator_derivatives(r, mode, 0.0, y, down);
        y[c] = state[c];
        for (int i = 0; i < n; i++) { // in units of the scales, for a well balanced matrix
            double unit = l->slot[c].scale / l->slot[i].scale;
            jacobian[i * n + c] = (up[i] - down[i]) / (2.0 * h) * unit;
        }
    }
    modes->count = n;
    LAPACKE_dgeev(LAPACK_ROW_MAJOR, 'N', 'V', n, jacobian, n, modes->real, modes->imaginary, NULL,
                  n, modes->vector, n);
    int best = -1;
    for (int i = 0; i < n; i++) {
        for (int c = 0; c < n; c++) {
            modes->vector[i * n + c] *= l->slot[i].scale;
        }
        bool fast = modes->imaginary[i] > least_frequency;
        best = fast && (best < 0 || modes->real[i] > modes->real[best]) ? i : best;
    }
    return best;
}

static void record_sample(void *context, double time, const struct regulator_mode *mode,
                          const double *state) {
    (void)mode;
    struct fixture_record *r = context;
    int i = r->sample_count++;
    if (i < FIXTURE_SAMPLES_MAX) {
        const struct regulator_layout *l = &r->regulator->layout;
        r->time[i] = time;
        r->travel[i] = state[l->travel];
        r->speed[i] = state[l->speed];
        r->controlled[i] = state[l->mass[NODE_CONTROLLED]];
    }
}

static void record_jump(void *context, const struct integrate_jump *jump) {
    struct fixture_record *r = context;
    if (!jump->transition) {
        r->step_count++;
        return;
    }
    int i = r->event_count++;
    if (i < FIXTURE_EVENTS_MAX) {
        const struct regulator_layout *l = &r->regulator->layout;
        r->event[i] = (struct fixture_event){jump->time, *jump->transition, jump->before[l->travel],
                                             jump->before[l->speed]};
    }
}

bool fixture_rosenbrock;

struct integrate_options fixture_options(double end, double relative_tolerance) {
    struct integrate_options o = integrate_options_default();
    o.end = end;
    o.relative_tolerance = relative_tolerance;
    o.initial_step = 1e-8;
    o.rosenbrock = fixture_rosenbrock;
    return o;
}

struct integrate_result fixture_run(const struct regulator *regulator, struct regulator_mode *mode,
                                    double *state, const struct integrate_options *options,
                                    struct fixture_record *record) {
    struct integrate_observer observer = {0};
    if (record) {
        record->regulator = regulator;
        record->event_count = record->sample_count = record->step_count = 0;
        observer = (struct integrate_observer){
            .context = record, .sample = record_sample, .jump = record_jump};
    }
    return integrate_run(regulator, mode, state, options, &observer);
}

int fixture_count(const struct fixture_record *record, enum regulator_event event) {
    int count = 0;
    for (int i = 0; i < record->event_count && i < FIXTURE_EVENTS_MAX; i++) {
        count += record->event[i].transition.event == event;
    }
    return count;
}

const struct fixture_event *fixture_last(const struct fixture_record *record,
                                         enum regulator_event event) {
    int room = record->event_count < FIXTURE_EVENTS_MAX ? record->event_count : FIXTURE_EVENTS_MAX;
    for (int i = room - 1; i >= 0; i--) {
        if (record->event[i].transition.event == event) {
            return &record->event[i];
        }
    }
    return NULL;
}
