// SPDX-License-Identifier: MIT
// At rest nothing that a volume holds changes, so the flows into each of them add up to nothing.
// With the plug held the pressures p_i are the unknowns, and each has an equation of its own:
//
//     well            w(p_well, p_f) - w(p_f, p_c)                        = 0    flowline     p_f
//      |              inflow - trim(p_c, p_d) - what the pilot takes      = 0    controlled   p_c
//     [p_f]           trim(p_c, p_d) + exhaust - outlet(p_d)              = 0    downstream   p_d
//      |              supply(p_s, p_ch, y) - exhaust(p_ch)                = 0    chamber      p_ch
//     [p_c]--pilot--[p_s]-->[p_ch]    feed(p_s) - supply(p_s, p_ch, y)    = 0    pilot supply p_s
//      |  trim                        force on the pilot(p_c, p_ch, y)    = 0    pilot        y
//     [p_d]-->outlet
//
// (back-pressure; reducing has the boundary for p_c before the trim, p_c for p_d behind it, and its
// demand for the inflow. The pilot's are in regulator_search_pilot.c.) They are solved one inside
// the other and not all together, because each alone is, in every build here, a function of one
// pressure that falls as the pressure rises: more pressure in a volume, less flow into it. Such a
// function has one root, and a bracket between the lowest and highest of its neighbours holds it,
// so that the search cannot run away, wherever it begins. The order from outside to inside is p_c,
// p_d, p_ch, p_s; the spring case and the sensing cavity pass nothing at rest and follow. What is
// left over in the end is the force on the plug.
//
// The price is the product of the rounds of all levels. A row of searches at neighbouring travels
// makes up for it: every level begins at its own last root with the slope it had there (root_near),
// and needs two or three calls where a first search needs a dozen.
#include "regulator_search.h"

#include "regulator_lines.h"
#include "root.h"

#include <math.h>

// Pressures beyond this share of the largest pressure named do not occur: "no balance".
#define PRESSURE_CEILING 100.0
#define PRESSURE_FLOOR 10.0 // [Pa]

// At rest every volume has taken the stream's temperature, so that its pressure says all.
void search_put(struct search *s, int role, double pressure) {
    if (role == NODE_CHAMBER && s->e.regulator->has_line[LINE_LOADING]) {
        search_put(s, NODE_LOADING, pressure); // nothing flows between them at rest
    }
    int node = role < NODE_VOLUMES ? s->e.regulator->source[role] : role;
    s->e.side[node].pressure = pressure;
    s->e.side[node].density = s->e.regulator->liquid
                                  ? s->e.regulator->parameters.liquid.density
                                  : pressure / s->e.regulator->pressure_per_density;
}

double search_pressure(const struct search *s, int role) {
    return s->e.side[s->e.regulator->source[role]].pressure;
}

void search_begin(struct search *s, const struct regulator *r, const struct regulator_mode *mode,
                  double time, struct regulator_static_memory *memory) {
    const struct regulator_parameters *p = &r->parameters;
    *s = (struct search){.e = {.regulator = r, .mode = mode, .time = time}, .memory = memory};
    double boundary = schedule_value(&p->boundary, mode->boundary_piece, time);
    double set = p->set_is_force ? 0.0 : schedule_value(&p->set_point, mode->set_piece, time);
    // No pressure that matters is far above the largest one named. That scale also says what is
    // nothing: an inner search is held a hundred times closer than the outer one that calls it,
    // whose function would else show the inner one's rounding as steps.
    double high = fmax(fmax(boundary, set), fmax(p->flow_reference, p->atmosphere));
    s->floor = r->liquid ? p->atmosphere - high : PRESSURE_FLOOR;
    s->ceiling = PRESSURE_CEILING * high;
    s->scale = 1e-12 * high;
    s->inner_scale = 1e-2 * s->scale;
    if (p->duty == DUTY_REDUCING) { // nothing lifts the vessel above what feeds it
        s->ceiling = fmax(boundary, high);
    } else if (p->well_pressure > 0.0) { // nothing flows in above it
        s->ceiling = fmax(boundary, p->well_pressure);
    }
    search_put(s, NODE_BOUNDARY, boundary);
    search_put(s, NODE_ATMOSPHERE, p->atmosphere);
    search_put(s, NODE_STATED_SUPPLY, p->pilot_supply_pressure);
    search_put(s, NODE_WELL, p->well_pressure);
}

// Flows are summed up in the nodes; a sum begins at nothing.
void search_clear_rates(struct search *s) {
    for (int n = 0; n < NODE_COUNT; n++) {
        s->e.mass_rate[n] = 0.0;
    }
}

// At a tap between two nodes of a line; what the pilot takes besides is left out.
static void sense_on_line(struct search *s, double trim_flow) {
    const struct regulator *r = s->e.regulator;
    int line = regulator_line_held(&r->parameters), i = r->tap_cell;
    double far = s->e.side[r->line_far[line]].pressure;
    struct pipe_view view;
    pipe_rest(&r->pipe[line], far, line == LINE_BEFORE ? trim_flow : -trim_flow, NULL, &view);
    double before = i < 0 ? far : view.pressure[i];
    double sensed = before + r->tap_share * (view.pressure[i + 1] - before);
    s->e.sensed = isfinite(sensed) ? sensed : far;
}

// What the diaphragm feels: nothing flows in the sense line at rest, so the pressure at its tap. In
// a pipe that is the static pressure, below the vessel's by the velocity head w^2/(2 rho A^2).
static void sense_at_rest(struct search *s, double trim_flow) {
    const struct regulator *r = s->e.regulator;
    if (r->source[NODE_TAP] == NODE_TAP) {
        sense_on_line(s, trim_flow);
        return;
    }
    struct flow_side tap = s->e.side[r->source[NODE_TAP]];
    s->e.sensed = tap.pressure;
    if (r->tap_area > 0.0) {
        s->e.sensed -= 0.5 * trim_flow * trim_flow / (tap.density * r->tap_area * r->tap_area);
    }
}

// Spring case and sensing cavity rest at the pressure of what they are open to.
void search_place_followers(struct search *s) {
    const struct regulator *r = s->e.regulator;
    if (r->source[NODE_CASE] == NODE_CASE) {
        search_put(s, NODE_CASE, s->e.side[r->ends.case_outside].pressure);
    }
    if (r->source[NODE_CAVITY] == NODE_CAVITY) {
        search_put(s, NODE_CAVITY, s->e.sensed);
    }
}

// The same functions as in a run give the force.
double search_plug_force(struct search *s) {
    const struct regulator *r = s->e.regulator;
    int up = r->ends.trim_up, down = r->ends.trim_down;
    double share, choked;
    evaluation_trim(&s->e, up, down, &share, &choked);
    double fluid_force = evaluation_fluid_force(&s->e, up, down, share);
    return evaluation_plug_force(&s->e, fluid_force, s->e.sensed);
}

// Everything that hangs on the controlled and downstream pressures as they are put. First the trim,
// since its flow lowers the pressure at a tap in the pipe; then the pilot, which senses that; then
// all flows into their nodes, from nothing, because the searches inside have left theirs there.
static void flows_at_trim(struct search *s) {
    const struct regulator *r = s->e.regulator;
    int up = r->ends.trim_up, down = r->ends.trim_down;
    double choked;
    double flow = evaluation_trim(&s->e, up, down, NULL, &choked);
    sense_at_rest(s, flow);
    if (r->has_pilot && s->pilot == PILOT_FOLLOWS) {
        search_settle_pilot(s);
    } else if (r->has_pilot && s->pilot == PILOT_BALANCES) {
        search_balance_pilot(s);
    }
    search_clear_rates(s);
    evaluation_pass(&s->e, up, down, flow);
    if (r->has_pilot) {
        search_pilot_draws(s);
    }
    if (r->source[NODE_DOWNSTREAM] == NODE_DOWNSTREAM) {
        evaluation_pass(&s->e, NODE_DOWNSTREAM, NODE_BOUNDARY,
                        evaluation_restriction(&s->e, r->parameters.downstream_outlet_area,
                                               NODE_DOWNSTREAM, NODE_BOUNDARY));
    }
}

void search_still_lines(struct search *s) {
    const struct regulator *r = s->e.regulator;
    for (int line = 0; line < LINE_COUNT; line++) {
        if (r->has_line[line] && regulator_line_flows_at_rest(line)) {
            search_put(s, regulator_line_near(line), s->e.side[r->line_far[line]].pressure);
        }
    }
}

// Pressure that a line brings to its near end, with what is drawn there, less that which draws it.
// More pressure before the trim draws more and leaves less; more behind it lets less through, which
// has to overcome less. A pipe that cannot pass the flow says so by the sign alone.
double search_near_miss(const struct search *s, int line, double pressure) {
    const struct regulator *r = s->e.regulator;
    double far = s->e.side[r->line_far[line]].pressure;
    double drawn = -s->e.mass_rate[regulator_line_near(line)];
    double brought = pipe_rest(&r->pipe[line], far, drawn, NULL, NULL);
    return isfinite(brought) ? brought - pressure : drawn > 0.0 ? -pressure : pressure;
}

static double outlet_miss(void *context, double pressure) {
    struct search *s = context;
    search_put(s, NODE_OUTLET, pressure);
    flows_at_trim(s);
    return search_near_miss(s, LINE_AFTER, pressure);
}

static void settle_outlet(struct search *s) {
    if (s->e.regulator->has_line[LINE_AFTER]) {
        root_near(outlet_miss, s, s->floor, s->ceiling, s->inner_scale, &s->memory->outlet);
    } else {
        flows_at_trim(s);
    }
}

static double inlet_miss(void *context, double pressure) {
    struct search *s = context;
    search_put(s, NODE_INLET, pressure);
    settle_outlet(s);
    return search_near_miss(s, LINE_BEFORE, pressure);
}

// With lines the pressures at the trim are found first: the inlet's, and within that the outlet's.
// What they pass then comes from, and goes to, their far ends.
void search_all_flows(struct search *s) {
    const struct regulator *r = s->e.regulator;
    if (!r->has_lines) {
        flows_at_trim(s);
        return;
    }
    if (r->has_line[LINE_BEFORE]) {
        root_near(inlet_miss, s, s->floor, s->ceiling, s->inner_scale, &s->memory->inlet);
    } else {
        settle_outlet(s);
    }
    for (int line = 0; line < LINE_SIDES; line++) {
        if (r->has_line[line]) {
            s->e.mass_rate[r->line_far[line]] += s->e.mass_rate[regulator_line_near(line)];
        }
    }
}

// Flow left over behind the trim: trim and exhaust less outlet.
static double downstream_miss(void *context, double pressure) {
    struct search *s = context;
    search_put(s, NODE_DOWNSTREAM, pressure);
    search_all_flows(s);
    return s->e.mass_rate[NODE_DOWNSTREAM];
}

// Flow left over in the flowline: well less what goes on to the vessel.
static double flowline_miss(void *context, double pressure) {
    struct search *s = context;
    search_put(s, NODE_FLOWLINE, pressure);
    search_clear_rates(s);
    evaluation_well_and_demand(&s->e);
    return s->e.mass_rate[NODE_FLOWLINE];
}

// What well or demand bring into the vessel. The flowline lies outside all other levels, between
// well and vessel, so its search may use the nodes' sums for itself and put them back.
double search_inflow(struct search *s) {
    const struct regulator *r = s->e.regulator;
    int controlled = r->source[NODE_CONTROLLED];
    double rates[NODE_COUNT];
    for (int n = 0; n < NODE_COUNT; n++) {
        rates[n] = s->e.mass_rate[n];
    }
    if (r->source[NODE_FLOWLINE] == NODE_FLOWLINE) {
        double pressure = s->e.side[controlled].pressure;
        double high = r->parameters.well_pressure > 0.0 ? r->parameters.well_pressure : s->ceiling;
        root_near(flowline_miss, s, pressure, fmax(pressure, high), s->inner_scale,
                  &s->memory->flowline);
    } else {
        search_clear_rates(s);
        evaluation_well_and_demand(&s->e);
    }
    double flow = s->e.mass_rate[controlled];
    for (int n = 0; n < NODE_COUNT; n++) {
        s->e.mass_rate[n] = rates[n];
    }
    return flow;
}

// Flow left over in the controlled volume at its pressure, everything else at rest. The volume
// behind the trim lies between the vessel and where it lets out, whichever is higher.
double search_controlled_miss(void *context, double pressure) {
    struct search *s = context;
    const struct regulator *r = s->e.regulator;
    search_put(s, NODE_CONTROLLED, pressure);
    if (r->source[NODE_DOWNSTREAM] == NODE_DOWNSTREAM) {
        double boundary = s->e.side[NODE_BOUNDARY].pressure;
        double low = fmin(boundary, pressure), high = fmax(boundary, pressure);
        root_near(downstream_miss, s, low, high, s->inner_scale, &s->memory->downstream);
    } else {
        search_all_flows(s);
    }
    s->miss = s->e.mass_rate[r->source[NODE_CONTROLLED]] + search_inflow(s);
    return s->miss;
}

void search_place_plug(struct search *s, double travel) {
    s->e.travel = s->e.opening_travel = travel;
}
