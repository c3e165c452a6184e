// SPDX-License-Identifier: MIT
#include "steady/steadiness.h"

#include "run/simulate.h"
#include "run/start.h"

#include <math.h>

#define OVERSHOOTS_BELOW 0.7 // damping ratio

static struct schedule held_at_start(const struct schedule *schedule) {
    return schedule_constant(schedule_value(schedule, schedule_piece(schedule, 0.0), 0.0));
}

bool steadiness_prepare(const struct scenario_case *scenario, struct steadiness *out) {
    *out = (struct steadiness){.held = *scenario};
    struct regulator_parameters *p = &out->held.model;
    p->flow = held_at_start(&p->flow);
    p->boundary = held_at_start(&p->boundary);
    p->level = held_at_start(&p->level);
    p->set_point = held_at_start(&p->set_point);
    out->flow = p->flow.base;
    if (p->phase == FLUID_GAS) {
        out->nozzle = nozzle_prepare(p->gas.exponent);
    }
    out->set_gauge = fabs(scenario->set_pressure - p->atmosphere);
    if (!scenario->set_at_flow) {
        return true;
    }
    struct regulator regulator;
    regulator_prepare_with(&regulator, p, &out->nozzle);
    struct regulator_mode mode = regulator_mode_at(&regulator, 0.0);
    double offset = regulator_static_set_offset(&regulator, &mode, 0.0);
    out->held.set_at_flow = false;
    p->set_offset = isfinite(offset) ? offset : 0.0; // else as start_prepare does
    return isfinite(offset);
}

const struct linear_mode *steadiness_swing(const struct linear_modes *modes) {
    const struct linear_mode *any = NULL;
    for (size_t i = 0; i < modes->count; i++) {
        const struct linear_mode *m = &modes->at[i];
        if (m->frequency > 0.0 && m->damping_ratio < OVERSHOOTS_BELOW) {
            return m;
        }
        any = any || m->frequency == 0.0 ? any : m;
    }
    return any;
}

// Fastest-growing mode that is no mere zero, and the least damped of those that oscillate.
static void judge_modes(const struct linear_modes *modes, struct steadiness_settled *out) {
    double zero = linearise_zero(modes);
    for (size_t i = 0; i < modes->count; i++) {
        const struct linear_mode *m = &modes->at[i];
        if (m->frequency > 0.0 || fabs(m->growth) > zero) {
            out->growth = m->growth; // they come by falling growth
            out->frequency = m->frequency;
            break;
        }
    }
    for (size_t i = 0; i < modes->count; i++) {
        const struct linear_mode *m = &modes->at[i];
        if (m->frequency > 0.0 && !(out->damping <= m->damping_ratio)) {
            out->damping = m->damping_ratio;
            out->ringing = m->frequency;
        }
    }
    const struct linear_mode *swing = steadiness_swing(modes);
    if (swing) {
        out->swing_damping = swing->damping_ratio;
        out->swing_frequency = swing->frequency;
    }
    out->rest = out->growth < 0.0 ? STEADINESS_STEADY : STEADINESS_UNSTEADY;
}

static size_t count_open(const struct equilibria *found) {
    size_t open = 0;
    for (size_t i = 0; i < found->count; i++) {
        open += found->at[i].kind == EQUILIBRIUM_OPEN;
    }
    return open;
}

struct verdict_limits steadiness_limits(const struct scenario_case *scenario) {
    struct verdict_limits limits = simulation_limits(scenario);
    limits.ringing_damping = 0.0;
    return limits;
}

bool steadiness_passes(const struct steadiness *subject, double flow) {
    struct regulator_parameters parameters = subject->held.model;
    parameters.flow = schedule_constant(flow);
    struct regulator regulator;
    regulator_prepare_with(&regulator, &parameters, &subject->nozzle);
    const struct regulator_mode mode = regulator_mode_at(&regulator, 0.0);
    return regulator_static_passes(&regulator, &mode, 0.0);
}

// On its seat as it should be, or stuck there.
static enum steadiness_rest stays_shut(const struct steadiness *subject, double pressure) {
    const struct regulator_parameters *p = &subject->held.model;
    const struct verdict_limits limits = simulation_limits(&subject->held);
    const double scale = fmax(subject->set_gauge, limits.scale_floor * p->atmosphere);
    return verdict_is_stuck(pressure - subject->held.set_pressure, scale,
                            p->duty == DUTY_BACK_PRESSURE, &limits)
               ? STEADINESS_CANNOT_OPEN
               : STEADINESS_SHUT;
}

static struct steadiness_settled settle(const struct steadiness *subject, double flow, bool all,
                                        struct linear_modes *modes) {
    const double none = (double)NAN;
    struct steadiness_settled out = {.rest = STEADINESS_NO_REST,
                                     .growth = none,
                                     .frequency = none,
                                     .damping = none,
                                     .ringing = none,
                                     .swing_damping = none,
                                     .swing_frequency = none,
                                     .travel = none,
                                     .pressure = none};
    struct regulator_parameters parameters = subject->held.model;
    parameters.flow = schedule_constant(flow);
    struct regulator regulator;
    linearise_prepare_with(&regulator, &parameters, &subject->nozzle);
    struct regulator_mode mode = regulator_mode_at(&regulator, 0.0);
    struct equilibria found =
        all ? equilibrium_find(&regulator, &mode, 0.0) : equilibrium_first(&regulator, &mode, 0.0);
    const struct equilibrium *at = equilibrium_choose(&found);
    modes->count = 0;
    out.points = count_open(&found);
    if (at) {
        out.travel = at->travel;
        out.pressure = at->pressure[NODE_CONTROLLED];
    }
    if (found.no_memory) {
        out.rest = STEADINESS_FAILED;
        if (subject->no_memory) {
            atomic_store(subject->no_memory, true);
        }
        return out;
    }
    if (!found.can_shut) {
        out.rest = STEADINESS_CANNOT_SHUT;
    } else if (at && at->kind == EQUILIBRIUM_SHUT) {
        out.rest = stays_shut(subject, out.pressure);
    } else if (at && at->kind == EQUILIBRIUM_WIDE_OPEN) {
        out.rest = STEADINESS_WIDE_OPEN;
    }
    if (!at || at->kind != EQUILIBRIUM_OPEN) {
        return out;
    }
    enum steadiness_rest outranking = out.rest;
    if (!linearise_modes(&regulator, &mode, 0.0, at->state, modes)) {
        modes->count = 0;
        out.rest = STEADINESS_FAILED;
        return out;
    }
    judge_modes(modes, &out);
    if (outranking == STEADINESS_CANNOT_SHUT) {
        out.rest = outranking;
    }
    return out;
}

struct steadiness_settled steadiness_modes(const struct steadiness *subject, double flow,
                                           struct linear_modes *modes) {
    return settle(subject, flow, true, modes);
}

struct steadiness_settled steadiness_settled(const struct steadiness *subject, double flow) {
    struct linear_modes modes;
    return settle(subject, flow, false, &modes);
}

const char *steadiness_rest_name(enum steadiness_rest rest) {
    static const char *const name[] = {"steady",           "unsteady",    "shut",
                                       "wide open",        "cannot open", "cannot shut",
                                       "no point of rest", "failed"};
    return name[rest];
}
