// SPDX-License-Identifier: MIT
#include "run/simulate.h"

#include "models/regulator_events.h"
#include "run/blow.h"
#include "run/recorder.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

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
    r->next_judgement = (size_t)((double)r->out->count * r->limits.judge_growth) + 1;
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
    in->pressure_scale =
        fmax(fabs(in->set_pressure - p->atmosphere), r->limits.scale_floor * p->atmosphere);
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
    const struct regulator *r = &s->start.regulator;
    linearise_prepare_with(&smooth, &r->parameters, &r->nozzle);
    struct regulator_mode mode = regulator_mode_at(&smooth, 0.0);
    double state[REGULATOR_STATES_MAX];
    struct regulator_rest rest = {from->travel, from->pilot_travel, from->pressure};
    regulator_rest_state_flowing(&smooth, &mode, 0.0, &rest, from->line_flow, state);
    if (!linearise_modes(&smooth, &mode, 0.0, state, &s->modes)) {
        s->modes.count = 0;
    }
}

// What the last schedule values and the largest flow come to at rest. False without memory.
static bool find_outcomes(struct simulation *s) {
    const struct regulator *r = &s->start.regulator;
    double end = s->start.kick_end;
    struct regulator_mode mode = regulator_mode_at(r, end);
    struct equilibria rest = end > 0.0 ? equilibrium_find(r, &mode, end) : s->start.rest;
    bool no_memory = s->start.rest.no_memory || rest.no_memory;
    const struct equilibrium *at = equilibrium_choose(&rest);
    s->last_exists = at != NULL;
    s->last_kind = at ? at->kind : EQUILIBRIUM_OPEN;
    s->peak_not_passed = !at || at->kind == EQUILIBRIUM_WIDE_OPEN;
    if (r->parameters.flow.kind == SCHEDULE_SLUG) {
        mode = regulator_mode_at(r, r->parameters.flow.start);
        mode.flow_piece = 1;
        rest = equilibrium_find(r, &mode, r->parameters.flow.start);
        no_memory = no_memory || rest.no_memory;
        at = equilibrium_choose(&rest);
        s->peak_not_passed |= !at || at->kind == EQUILIBRIUM_WIDE_OPEN;
    }
    return !no_memory;
}

// A trim too small for the set pressure at the first flow: the pressure settles on the wrong side.
static bool cannot_hold(const struct simulation *s) {
    double offset = s->judged.figures.pressure_mean;
    bool back = s->start.regulator.parameters.duty == DUTY_BACK_PRESSURE;
    return s->set_out_of_reach && (back ? offset > 0.0 : offset < 0.0);
}

// Highest travel from a time on [m].
static double highest_since(const struct simulation *s, double time) {
    double highest = 0.0;
    for (size_t i = 0; i < s->count; i++) {
        highest =
            (double)i * s->step >= time ? fmax(highest, s->channel[CHANNEL_TRAVEL][i]) : highest;
    }
    return highest;
}

// On its seat for the whole later part of the run, with the pressure where it should be open. Most
// often a diaphragm, a spring or a pilot that cannot lift it.
static bool cannot_open(const struct simulation *s, const struct verdict_input *input,
                        const struct verdict_limits *limits) {
    const bool back = s->start.regulator.parameters.duty == DUTY_BACK_PRESSURE;
    const double end = (double)s->count * s->step;
    const double late = end - limits->last_share * (end - fmin(input->from, end));
    return s->count > 1 && end > input->from &&
           highest_since(s, late) <= limits->shut_travel * input->rated_travel &&
           verdict_is_stuck(s->judged.figures.pressure_mean, input->pressure_scale, back, limits);
}

// Outcomes at rest outrank whatever the motion looks like, where the motion bears them out.
static void apply_outcomes(struct simulation *s, const struct verdict_input *input,
                           const struct verdict_limits *limits) {
    struct verdict_result *v = &s->judged;
    const double rated = input->rated_travel;
    const double last = s->count ? s->channel[CHANNEL_TRAVEL][s->count - 1] : 0.0;
    if (!s->start.rest.can_shut) {
        v->verdict = VERDICT_CANNOT_SHUT;
        strcpy(v->reason, "the closing force does not hold the plug on its seat");
    } else if (cannot_open(s, input, limits)) {
        v->verdict = VERDICT_CANNOT_OPEN;
        snprintf(v->reason, sizeof v->reason,
                 "the plug stays on its seat with the pressure %.3g times the set pressure %s it",
                 fabs(v->figures.pressure_mean) / input->pressure_scale,
                 v->figures.pressure_mean > 0.0 ? "above" : "below");
    } else if (cannot_hold(s) && s->passes_at_set) {
        v->verdict = VERDICT_CANNOT_OPEN;
        strcpy(v->reason, "the port is large enough for the first flow at the set pressure, but "
                          "nothing lifts the plug so far");
    } else if (cannot_hold(s)) {
        v->verdict = VERDICT_WIDE_OPEN;
        strcpy(v->reason, "no travel of this trim passes the first flow at the set pressure");
    } else if (s->peak_not_passed && highest_since(s, 0.0) >= limits->open_travel * rated) {
        v->verdict = VERDICT_WIDE_OPEN;
        strcpy(v->reason, "the trim at full travel does not pass the flow at the set pressure");
    } else if (v->verdict == VERDICT_STEADY && last <= limits->shut_travel * rated) {
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
    o.rosenbrock = run->method == RUN_ROSENBROCK;
    return o;
}

// What was held when that run ended is let go where the present values, or a kick, pull it away:
// its guard would never be seen to cross zero. The running totals begin anew.
static void start_from(struct start *start, const struct simulation_state *from) {
    const struct regulator_layout *l = &start->regulator.layout;
    double guard[GUARD_COUNT];
    start->mode = from->mode;
    memcpy(start->state, from->state, sizeof start->state);
    regulator_guards(&start->regulator, &start->mode, 0.0, start->state, guard);
    if (fmin(guard[GUARD_SEAT], guard[GUARD_STOP]) < 0.0) {
        start->mode.plug = HOLD_FREE;
    }
    if (fmin(guard[GUARD_PILOT_LOW], guard[GUARD_PILOT_HIGH]) < 0.0) {
        start->mode.pilot = HOLD_FREE;
    }
    for (int i = l->mass_in; i < l->count; i++) {
        start->state[i] = 0.0;
    }
}

// A run under way.
struct simulation_run {
    struct recorder recorder;
    struct integrate_options options;
    struct integrate_observer observer;
    struct integrate_run *integration;
};

// False without memory.
static bool prepare(const struct scenario_case *scenario, const struct simulation_state *from,
                    struct simulation *out) {
    memset(out, 0, sizeof *out);
    out->step = scenario->run.sample_interval;
    out->set_out_of_reach = start_prepare(scenario, &out->start) == START_SET_OUT_OF_REACH;
    out->passes_at_set = regulator_static_passes(&out->start.regulator, &out->start.mode, 0.0);
    if (from) {
        start_from(&out->start, from);
    }
    find_modes(out);
    const bool fine = find_outcomes(out);
    out->end = (struct simulation_state){.mode = out->start.mode};
    memcpy(out->end.state, out->start.state, sizeof out->end.state);
    return fine;
}

struct simulation_run *simulation_open(const struct scenario_case *scenario,
                                       const struct simulation_manner *manner,
                                       struct simulation *out) {
    const struct simulation_manner usual = {0};
    const struct simulation_manner *m = manner ? manner : &usual;
    const bool fine = prepare(scenario, m->from, out);
    struct simulation_run *run = calloc(1, sizeof *run);
    if (!run) {
        out->outcome = SIMULATION_NO_MEMORY;
        return NULL;
    }
    run->recorder =
        (struct recorder){.scenario = scenario, .out = out, .brief = m->brief, .no_memory = !fine};
    run->recorder.limits = m->limits ? *m->limits : simulation_limits(scenario);
    run->recorder.next_judgement = (size_t)run->recorder.limits.judge_first;
    fill_input(&run->recorder);
    run->options = options_of(&scenario->run);
    run->observer = recorder_observer(&run->recorder);
    run->observer.stop = enough;
    run->integration = integrate_open(&out->start.regulator, &out->end.mode, out->end.state,
                                      &run->options, &run->observer);
    return run;
}

bool simulation_continue(struct simulation_run *run, double until) {
    return run && integrate_continue(run->integration, until);
}

double simulation_time(const struct simulation_run *run) {
    return run ? integrate_time(run->integration) : 0.0;
}

static void judge(struct recorder *r) {
    struct simulation *s = r->out;
    refresh_input(r, s->statistics.end_time);
    verdict_judge(&r->input, &r->limits, &s->judged);
    apply_outcomes(s, &r->input, &r->limits);
}

static size_t contacts_until(const struct contact_event *contact, size_t count, double time) {
    while (count > 0 && contact[count - 1].time > time) {
        count--;
    }
    return count;
}

void simulation_judge_at(struct simulation_run *run, double time) {
    struct recorder *r = &run->recorder;
    struct simulation *s = r->out;
    const struct simulation kept = *s;
    const double limit = r->input.limit;
    // The last step may have gone beyond.
    while (s->count > 0 && (double)(s->count - 1) * s->step > time) {
        s->count--;
    }
    s->seat_count = contacts_until(s->seat, s->seat_count, time);
    s->stop_count = contacts_until(s->stop, s->stop_count, time);
    s->statistics.end_time = time;
    r->input.limit = time;
    r->input.goes_on = time < limit;
    judge(r);
    r->input.limit = limit;
    r->input.goes_on = false;
    s->count = kept.count;
    s->seat_count = kept.seat_count;
    s->stop_count = kept.stop_count;
    s->statistics = kept.statistics;
}

void simulation_close(struct simulation_run *run) {
    if (!run) {
        return;
    }
    struct recorder *r = &run->recorder;
    struct simulation *s = r->out;
    struct integrate_result result = integrate_close(run->integration);
    s->statistics = result.statistics;
    r->no_memory = r->no_memory || result.status == INTEGRATE_NO_MEMORY;
    s->outcome = r->no_memory                             ? SIMULATION_NO_MEMORY
                 : result.status == INTEGRATE_FAILED      ? SIMULATION_FAILED
                 : result.status == INTEGRATE_INTERRUPTED ? SIMULATION_INTERRUPTED
                                                          : SIMULATION_DONE;
    memcpy(s->message, result.message, sizeof s->message);
    balance(s, s->start.state, s->end.state);
    judge(r);
    s->input = r->input;
    s->limits = r->limits;
    severity(s);
    blow_say(s);
    free(run);
}

void simulate(const struct scenario_case *scenario, struct simulation *out) {
    simulate_so(scenario, NULL, out);
}

void simulate_so(const struct scenario_case *scenario, const struct simulation_manner *manner,
                 struct simulation *out) {
    struct simulation_run *run = simulation_open(scenario, manner, out);
    simulation_continue(run, (double)INFINITY);
    simulation_close(run);
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
