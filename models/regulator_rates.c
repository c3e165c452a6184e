// SPDX-License-Identifier: MIT
// One evaluation: from a state to its derivative, or to what a run reports. The order follows what
// each step needs of the ones before:
//
//     state -> travels and speeds -> pressures of all volumes (moving parts have made room)
//           -> flows, first the trim's: it lowers the pressure at a tap in the pipe
//           -> sensed pressure -> forces on plug and pilot -> accelerations
//           -> sums of the flows -> rates of what the volumes hold
//
// No step looks forward, so there is no loop to be solved, but for the drop that curtain and port
// share (trim.h).
#include "evaluation.h"

#include <math.h>
#include <string.h>

static void read_motion(struct evaluation *e) {
    const struct regulator_layout *l = &e->regulator->layout;
    e->travel = e->state[l->travel];
    e->speed = e->state[l->speed];
    e->opening_travel = l->plug >= 0 ? e->state[l->plug] : e->travel;
    if (l->pilot_travel >= 0) {
        e->lift = e->state[l->pilot_travel];
        e->lift_speed = l->pilot_speed >= 0 ? e->state[l->pilot_speed] : 0.0;
    }
}

// The gas or liquid at the tap.
static struct flow_side tap_of(const struct evaluation *e, double flow) {
    const struct regulator *r = e->regulator;
    struct flow_side tap = e->side[r->source[NODE_SENSE]];
    if (r->tap_area > 0.0) { // velocity head at a tap in the pipe
        tap.pressure -= 0.5 * flow * flow / (tap.density * r->tap_area * r->tap_area);
    }
    return tap;
}

// Pressure at the sensing diaphragm.
static double sensed_of(const struct evaluation *e, struct flow_side tap) {
    int cavity = e->regulator->source[NODE_CAVITY];
    return cavity == NODE_CAVITY ? e->side[cavity].pressure : tap.pressure;
}

static int evaluate(struct evaluation *e, double *rate) {
    const struct regulator *r = e->regulator;
    const struct regulator_parameters *p = &r->parameters;
    read_motion(e);
    if (r->has_pilot && r->layout.pilot_speed < 0) {
        e->lift_speed = 0.0; // a massless pilot's sweep is neglected with its inertia
    }
    if (evaluation_pressures(e) != 0) {
        return 1;
    }
    int up = r->ends.trim_up, down = r->ends.trim_down;
    // What pushes on a held plug moves nothing.
    bool pushed = e->out || e->mode->plug == HOLD_FREE;
    double share = 1.0, choked_drop;
    double flow = evaluation_trim(e, up, down, pushed ? &share : NULL, &choked_drop);
    evaluation_pass(e, up, down, flow);
    double fluid_force = pushed ? evaluation_fluid_force(e, up, down, share) : 0.0;
    evaluation_well_and_demand(e);
    if (r->source[NODE_DOWNSTREAM] == NODE_DOWNSTREAM) {
        evaluation_pass(
            e, NODE_DOWNSTREAM, NODE_BOUNDARY,
            evaluation_restriction(e, p->downstream_outlet_area, NODE_DOWNSTREAM, NODE_BOUNDARY));
    }
    if (r->source[NODE_CASE] == NODE_CASE) {
        int beyond = r->ends.case_outside;
        evaluation_pass(e, NODE_CASE, beyond,
                        evaluation_restriction(e, r->vent_area, NODE_CASE, beyond));
    }
    double exhaust = r->has_pilot ? evaluation_pilot_flows(e) : p->atmosphere;
    struct flow_side tap = tap_of(e, flow);
    evaluation_sense(e, tap, rate);
    double sensed = sensed_of(e, tap);
    evaluation_plug(e, fluid_force, sensed, rate);
    if (r->has_pilot) {
        evaluation_pilot(e, sensed, exhaust, rate);
    }
    if (r->has_lines) {
        evaluation_line_rates(e, rate);
    }
    evaluation_volumes(e, rate);
    if (e->out) {
        e->out->sensed = sensed;
        e->out->trim_flow = flow;
        e->out->fluid_force = fluid_force;
        e->out->drop_share = share;
        e->out->choked_drop = choked_drop;
        e->out->upstream = e->side[up].pressure;
        e->out->downstream = e->side[down].pressure;
    }
    return 0;
}

// Called at every stage of every step: all its parts in one, without what only observers ask for.
__attribute__((flatten)) int regulator_derivatives(const struct regulator *regulator,
                                                   const struct regulator_mode *mode, double time,
                                                   const double *state, double *derivative) {
    struct pipe_view pipes[LINE_COUNT]; // written before it is read
    struct evaluation e;
    evaluation_begin(&e, regulator, mode, time, state);
    e.pipes = pipes;
    return evaluate(&e, derivative);
}

int regulator_observe(const struct regulator *r, const struct regulator_mode *mode, double time,
                      const double *state, struct regulator_observation *out) {
    memset(out, 0, sizeof *out);
    double rate[REGULATOR_STATES_MAX];
    struct pipe_view pipes[LINE_COUNT];
    struct evaluation e;
    evaluation_begin(&e, r, mode, time, state);
    e.out = out;
    e.pipes = pipes;
    memset(e.side, 0, sizeof e.side); // roles that this build leaves out
    int status = evaluate(&e, rate);
    out->travel = e.travel;
    out->speed = e.speed;
    out->opening_travel = e.opening_travel;
    out->pilot_travel = e.lift;
    for (int n = 0; n < NODE_COUNT; n++) {
        struct flow_side side = e.side[r->source[n]];
        out->pressure[n] = side.pressure;
        out->temperature[n] = r->liquid || side.density <= 0.0
                                  ? r->parameters.temperature
                                  : side.pressure / side.density / r->pressure_per_density *
                                        r->parameters.temperature;
    }
    return status;
}

int regulator_free_forces(const struct regulator *r, const struct regulator_mode *mode, double time,
                          const double *state, double *plug, double *pilot) {
    struct pipe_view pipes[LINE_COUNT];
    struct evaluation e;
    evaluation_begin(&e, r, mode, time, state);
    e.pipes = pipes;
    read_motion(&e);
    if (evaluation_pressures(&e) != 0) {
        return 1;
    }
    int up = r->ends.trim_up, down = r->ends.trim_down;
    double share = 1.0, choked_drop, flow = 0.0;
    if (plug || r->tap_area > 0.0) {
        flow = evaluation_trim(&e, up, down, plug ? &share : NULL, &choked_drop);
    }
    double sensed = sensed_of(&e, tap_of(&e, flow));
    if (plug) {
        *plug = evaluation_plug_force(&e, evaluation_fluid_force(&e, up, down, share), sensed);
    }
    if (pilot) {
        double exhaust = r->has_pilot ? e.side[r->ends.pilot_exhaust].pressure : 0.0;
        *pilot = evaluation_pilot_force(&e, sensed, exhaust);
    }
    return 0;
}

int regulator_glance(const struct regulator *regulator, const struct regulator_mode *mode,
                     double time, const double *state, double *pressure, double *opening_travel) {
    struct pipe_view pipes[LINE_COUNT];
    struct evaluation e;
    e.regulator = regulator;
    e.mode = mode;
    e.time = time;
    e.state = state;
    e.lift = 0.0;
    e.side[NODE_CONTROLLED].pressure = 0.0;
    e.pipes = pipes;
    read_motion(&e);
    const int status = evaluation_controlled(&e);
    *pressure = e.side[NODE_CONTROLLED].pressure;
    *opening_travel = e.opening_travel;
    return status;
}

int regulator_glance_states(const struct regulator *regulator, int state[REGULATOR_GLANCE_STATES]) {
    const struct regulator_layout *l = &regulator->layout;
    const int read[REGULATOR_GLANCE_STATES] = {
        l->travel, l->plug, l->pilot_travel, l->mass[NODE_CONTROLLED], l->energy[NODE_CONTROLLED]};
    int count = 0;
    for (int i = 0; i < REGULATOR_GLANCE_STATES; i++) {
        if (read[i] >= 0) {
            state[count++] = read[i];
        }
    }
    return count;
}
