// SPDX-License-Identifier: MIT
#include "run/simulate.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define EVENTS_KEPT_MAX 200000
// A run is judged first after this many samples, then each time the record has grown by a fifth.
#define FIRST_JUDGEMENT 200
#define JUDGEMENT_GROWTH 1.2

struct recorder {
    const struct scenario_case *scenario;
    struct simulation *out;
    struct verdict_limits limits;
    struct verdict_input input;
    size_t next_judgement;
    double farthest_from_seat, farthest_from_stop; // since the last counted contact [m]
    bool no_memory;
};

static bool grow(void **array, size_t *capacity, size_t count, size_t size) {
    if (count < *capacity) {
        return true;
    }
    size_t wanted = *capacity ? 2 * *capacity : 1024;
    void *bigger = realloc(*array, wanted * size);
    if (!bigger) {
        return false;
    }
    *array = bigger;
    *capacity = wanted;
    return true;
}

static bool grow_samples(struct simulation *s) {
    if (s->count < s->capacity) {
        return true;
    }
    size_t wanted = s->capacity ? 2 * s->capacity : 4096;
    for (int c = 0; c < CHANNEL_COUNT; c++) {
        double *bigger = realloc(s->channel[c], wanted * sizeof *bigger);
        if (!bigger) {
            return false;
        }
        s->channel[c] = bigger;
    }
    s->capacity = wanted;
    return true;
}

static void observe(const struct simulation *s, const struct regulator_mode *mode, double time,
                    const double *state, double value[CHANNEL_COUNT]) {
    struct regulator_observation o;
    regulator_observe(&s->start.regulator, mode, time, state, &o);
    channel_values(&s->start.regulator, &o, value);
}

static void take_sample(void *context, double time, const struct regulator_mode *mode,
                        const double *state) {
    struct recorder *r = context;
    struct simulation *s = r->out;
    if (!grow_samples(s)) {
        r->no_memory = true;
        return;
    }
    struct regulator_observation o;
    double value[CHANNEL_COUNT];
    regulator_observe(&s->start.regulator, mode, time, state, &o);
    channel_values(&s->start.regulator, &o, value);
    for (int c = 0; c < CHANNEL_COUNT; c++) {
        s->channel[c][s->count] = value[c];
    }
    s->count++;
    if (o.trim_flow != 0.0) { // finite only in liquid service
        s->choked_share = fmax(s->choked_share, (o.upstream - o.downstream) / o.choked_drop);
    }
    double travel = state[s->start.regulator.layout.travel];
    r->farthest_from_seat = fmax(r->farthest_from_seat, travel);
    r->farthest_from_stop = fmax(r->farthest_from_stop, r->input.rated_travel - travel);
}

static void keep_event(struct recorder *r, double time, const char *name,
                       const struct regulator_mode *before_mode, const double *before,
                       const struct regulator_mode *mode, const double *state) {
    struct simulation *s = r->out;
    if (s->event_count >= EVENTS_KEPT_MAX) {
        s->events_cut = true;
        return;
    }
    if (!grow((void **)&s->event, &s->event_capacity, s->event_count, sizeof *s->event)) {
        r->no_memory = true;
        return;
    }
    struct simulation_event *e = &s->event[s->event_count++];
    e->time = time;
    e->name = name;
    observe(s, before_mode, time, before, e->before);
    observe(s, mode, time, state, e->after);
}

static void count_contact(struct recorder *r, double time, double speed, bool seat) {
    struct simulation *s = r->out;
    double *farthest = seat ? &r->farthest_from_seat : &r->farthest_from_stop;
    // A bounce that never separates by the stated share of travel belongs to the contact before.
    if (*farthest < r->limits.contact_separation * r->input.rated_travel) {
        return;
    }
    *farthest = 0.0;
    struct contact_event **list = seat ? &s->seat : &s->stop;
    size_t *count = seat ? &s->seat_count : &s->stop_count;
    size_t *capacity = seat ? &s->seat_capacity : &s->stop_capacity;
    if (!grow((void **)list, capacity, *count, sizeof **list)) {
        r->no_memory = true;
        return;
    }
    (*list)[(*count)++] =
        (struct contact_event){.time = time, .speed = speed, .mass = s->start.regulator.solid_mass};
}

static void take_event(void *context, double time, const struct regulator_mode *before_mode,
                       const double *before, const struct regulator_mode *mode, const double *state,
                       const struct regulator_transition *transition) {
    struct recorder *r = context;
    double travel = before[r->out->start.regulator.layout.travel];
    r->farthest_from_seat = fmax(r->farthest_from_seat, travel);
    r->farthest_from_stop = fmax(r->farthest_from_stop, r->input.rated_travel - travel);
    switch (transition->event) {
    case EVENT_TRAVEL_REVERSAL:
        return; // an extreme, not a jump
    case EVENT_SEAT_CONTACT:
    case EVENT_SEAT_HELD:
        count_contact(r, time, transition->approach_speed, true);
        break;
    case EVENT_STOP_CONTACT:
    case EVENT_STOP_HELD:
        count_contact(r, time, transition->approach_speed, false);
        break;
    default:
        break;
    }
    keep_event(r, time, regulator_event_name(transition->event), before_mode, before, mode, state);
}

static void take_step(void *context, double time, const struct regulator_mode *before_mode,
                      const double *before, const struct regulator_mode *mode,
                      const double *state) {
    keep_event(context, time, "schedule step", before_mode, before, mode, state);
}

static void refresh_input(struct recorder *r, double time) {
    struct simulation *s = r->out;
    struct verdict_input *in = &r->input;
    struct series shape = {.count = s->count, .start = 0.0, .step = s->step};
    in->motion.pressure = shape;
    in->motion.pressure.value = s->channel[CHANNEL_CONTROLLED_PRESSURE];
    in->motion.travel = shape;
    in->motion.travel.value = s->channel[CHANNEL_TRAVEL];
    in->motion.seat = (struct contact_list){s->seat, s->seat_count};
    in->motion.stop = (struct contact_list){s->stop, s->stop_count};
    in->schedule_changing = time < in->from;
}

static bool enough(void *context, double time) {
    struct recorder *r = context;
    if (r->no_memory) {
        return true;
    }
    const struct run_options *run = &r->scenario->run;
    if (!run->stop_early || r->out->count < r->next_judgement) {
        return false;
    }
    r->next_judgement = (size_t)((double)r->out->count * JUDGEMENT_GROWTH) + 1;
    if (time < run->minimum_duration) {
        return false;
    }
    refresh_input(r, time);
    struct verdict_result result;
    return verdict_judge(&r->input, &r->limits, &result) && result.decided;
}

struct verdict_limits simulation_limits(const struct scenario_case *scenario) {
    struct verdict_limits limits = verdict_limits_default();
    limits.chatter_rate = 60.0 * scenario->run.chatter_rate;
    return limits;
}

static double schedule_repeat(const struct schedule *schedule) {
    bool repeats = schedule->kind == SCHEDULE_SLUG || schedule->kind == SCHEDULE_SINE;
    return repeats ? schedule->period : 0.0;
}

static void fill_input(struct recorder *r) {
    const struct regulator_parameters *p = &r->out->start.regulator.parameters;
    struct verdict_input *in = &r->input;
    in->set_pressure = r->scenario->set_pressure;
    in->pressure_scale = fmax(fabs(in->set_pressure - p->atmosphere), 1e-3 * p->atmosphere);
    in->rated_travel = p->trim.rated_travel;
    in->from = r->out->start.kick_end;
    in->limit = r->scenario->run.duration;
    in->schedule_period = fmax(fmax(schedule_repeat(&p->flow), schedule_repeat(&p->boundary)),
                               fmax(schedule_repeat(&p->set_point), schedule_repeat(&p->level)));
    const struct linear_mode *ringing = linearise_ringing(&r->out->modes);
    if (ringing && ringing->frequency > 0.0) {
        in->period_hint = 1.0 / ringing->frequency;
    }
}

static void find_modes(struct simulation *s) {
    const struct equilibrium *from = equilibrium_choose(&s->start.rest);
    if (!from || from->kind != EQUILIBRIUM_OPEN) {
        return;
    }
    struct regulator smooth;
    linearise_prepare(&smooth, &s->start.regulator.parameters);
    struct regulator_mode mode = regulator_mode_at(&smooth, 0.0);
    double state[REGULATOR_STATES_MAX];
    struct regulator_rest rest = {from->travel, from->pilot_travel, from->pressure};
    regulator_rest_state(&smooth, &mode, 0.0, &rest, state);
    if (!linearise_modes(&smooth, &mode, 0.0, state, &s->modes)) {
        s->modes.count = 0;
    }
}

// What the last values of the schedules, and the largest flow, come to at rest.
static void find_outcomes(struct simulation *s) {
    const struct regulator *r = &s->start.regulator;
    double end = s->start.kick_end;
    struct regulator_mode mode = regulator_mode_at(r, end);
    struct equilibria rest = end > 0.0 ? equilibrium_find(r, &mode, end) : s->start.rest;
    const struct equilibrium *at = equilibrium_choose(&rest);
    s->last_exists = at != NULL;
    s->last_kind = at ? at->kind : EQUILIBRIUM_OPEN;
    s->peak_not_passed = !at || at->kind == EQUILIBRIUM_WIDE_OPEN;
    if (r->parameters.flow.kind == SCHEDULE_SLUG) {
        mode = regulator_mode_at(r, r->parameters.flow.start);
        mode.flow_piece = 1;
        rest = equilibrium_find(r, &mode, r->parameters.flow.start);
        at = equilibrium_choose(&rest);
        s->peak_not_passed |= !at || at->kind == EQUILIBRIUM_WIDE_OPEN;
    }
}

// A trim too small for the set pressure at the first flow: the pressure settles on the wrong side.
static bool cannot_hold(const struct simulation *s) {
    double offset = s->judged.figures.pressure_mean;
    bool back = s->start.regulator.parameters.duty == DUTY_BACK_PRESSURE;
    return s->set_out_of_reach && (back ? offset > 0.0 : offset < 0.0);
}

// Outcomes at rest outrank whatever the motion looks like, where the motion bears them out.
static void apply_outcomes(struct simulation *s) {
    struct verdict_result *v = &s->judged;
    double rated = s->start.regulator.parameters.trim.rated_travel;
    double highest = 0.0, last = s->count ? s->channel[CHANNEL_TRAVEL][s->count - 1] : 0.0;
    for (size_t i = 0; i < s->count; i++) {
        highest = fmax(highest, s->channel[CHANNEL_TRAVEL][i]);
    }
    if (!s->start.rest.can_shut) {
        v->verdict = VERDICT_CANNOT_SHUT;
        strcpy(v->reason, "the closing force does not hold the plug on its seat");
    } else if (cannot_hold(s)) {
        v->verdict = VERDICT_WIDE_OPEN;
        strcpy(v->reason, "no travel of this trim passes the first flow at the set pressure");
    } else if (s->peak_not_passed && highest >= 0.999 * rated) {
        v->verdict = VERDICT_WIDE_OPEN;
        strcpy(v->reason, "the trim at full travel does not pass the flow at the set pressure");
    } else if (v->verdict == VERDICT_STEADY && last <= 1e-6 * rated) {
        v->verdict = VERDICT_SHUT;
        strcpy(v->reason, "the plug stays on its seat");
    }
}

static void balance(struct simulation *s, const double *before, const double *after) {
    const struct regulator *r = &s->start.regulator;
    const struct regulator_layout *l = &r->layout;
    double change = regulator_stored_mass(r, after) - regulator_stored_mass(r, before);
    double in = after[l->mass_in], out = after[l->mass_out];
    double through = fmax(fmax(fabs(in), fabs(out)), 1e-300);
    s->mass_error = fabs(change - in + out) / through;
    s->energy_error = (double)NAN;
    if (r->thermal) {
        change = regulator_stored_energy(r, after) - regulator_stored_energy(r, before);
        in = after[l->energy_in];
        out = after[l->energy_out];
        through = fmax(fmax(fabs(in), fabs(out)), 1e-300);
        s->energy_error = fabs(change - in + out) / through;
    }
}

static void severity(struct simulation *s) {
    const struct regulator_parameters *p = &s->start.regulator.parameters;
    double speed = s->judged.figures.seat_speed;
    if (s->seat_count > 0 && speed > 0.0 && p->actuator.seat.stiffness > 0.0) {
        s->seat_force = contact_peak_force(&p->actuator.seat, s->start.regulator.solid_mass, speed);
    }
}

static struct integrate_options options_of(const struct run_options *run) {
    struct integrate_options o = integrate_options_default();
    o.end = run->duration;
    o.sample_interval = run->sample_interval;
    o.relative_tolerance = run->relative_tolerance;
    o.max_steps = run->max_steps;
    o.max_order = run->max_order;
    o.adams = run->method == RUN_ADAMS;
    return o;
}

static void run(struct recorder *r) {
    struct simulation *s = r->out;
    struct integrate_options options = options_of(&r->scenario->run);
    struct integrate_observer observer = {.context = r,
                                          .sample = take_sample,
                                          .event = take_event,
                                          .step = take_step,
                                          .stop = enough};
    s->end = (struct simulation_state){.mode = s->start.mode};
    memcpy(s->end.state, s->start.state, sizeof s->end.state);
    struct integrate_result result =
        integrate_run(&s->start.regulator, &s->end.mode, s->end.state, &options, &observer);
    s->statistics = result.statistics;
    s->outcome = r->no_memory                             ? SIMULATION_NO_MEMORY
                 : result.status == INTEGRATE_FAILED      ? SIMULATION_FAILED
                 : result.status == INTEGRATE_INTERRUPTED ? SIMULATION_INTERRUPTED
                                                          : SIMULATION_DONE;
    memcpy(s->message, result.message, sizeof s->message);
    balance(s, s->start.state, s->end.state);
}

// The running totals begin anew.
static void start_from(struct start *start, const struct simulation_state *from) {
    const struct regulator_layout *l = &start->regulator.layout;
    start->mode = from->mode;
    memcpy(start->state, from->state, sizeof start->state);
    for (int i = l->mass_in; i < l->count; i++) {
        start->state[i] = 0.0;
    }
}

static void begin(const struct scenario_case *scenario, const struct verdict_limits *limits,
                  const struct simulation_state *from, struct simulation *out) {
    memset(out, 0, sizeof *out);
    out->step = scenario->run.sample_interval;
    out->set_out_of_reach = start_prepare(scenario, &out->start) == START_SET_OUT_OF_REACH;
    if (from) {
        start_from(&out->start, from);
    }
    find_modes(out);
    find_outcomes(out);
    struct recorder r = {
        .scenario = scenario, .out = out, .limits = *limits, .next_judgement = FIRST_JUDGEMENT};
    fill_input(&r);
    run(&r);
    refresh_input(&r, out->statistics.end_time);
    verdict_judge(&r.input, &r.limits, &out->judged);
    apply_outcomes(out);
    severity(out);
}

void simulate(const struct scenario_case *scenario, struct simulation *out) {
    simulate_from(scenario, NULL, NULL, out);
}

void simulate_from(const struct scenario_case *scenario, const struct verdict_limits *limits,
                   const struct simulation_state *from, struct simulation *out) {
    struct verdict_limits own = simulation_limits(scenario);
    begin(scenario, limits ? limits : &own, from, out);
}

void simulate_judged(const struct scenario_case *scenario, const struct verdict_limits *limits,
                     struct simulation *out) {
    begin(scenario, limits, NULL, out);
}

void simulation_free(struct simulation *s) {
    for (int c = 0; c < CHANNEL_COUNT; c++) {
        free(s->channel[c]);
    }
    free(s->event);
    free(s->seat);
    free(s->stop);
    memset(s, 0, sizeof *s);
}
