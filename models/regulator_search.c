// SPDX-License-Identifier: MIT
#include "regulator_search.h"

#include "actuator.h"
#include "root.h"

#include <math.h>

// Pressures beyond this share of the largest pressure named do not occur: "no balance".
#define PRESSURE_CEILING 100.0
#define PRESSURE_FLOOR 10.0 // [Pa]

void search_put(struct search *s, int role, double pressure) {
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
    double high = fmax(fmax(boundary, set), fmax(p->flow_reference, p->atmosphere));
    s->floor = r->liquid ? p->atmosphere - high : PRESSURE_FLOOR;
    s->ceiling = PRESSURE_CEILING * high;
    s->scale = 1e-12 * high;
    s->inner_scale = 1e-2 * s->scale;
    if (p->duty == DUTY_REDUCING) {
        s->ceiling = fmax(boundary, high);
    } else if (p->well_pressure > 0.0) { // nothing flows in above it
        s->ceiling = fmax(boundary, p->well_pressure);
    }
    search_put(s, NODE_BOUNDARY, boundary);
    search_put(s, NODE_ATMOSPHERE, p->atmosphere);
    search_put(s, NODE_STATED_SUPPLY, p->pilot_supply_pressure);
    search_put(s, NODE_WELL, p->well_pressure);
}

// Net mass flow into a node when everything that touches it is evaluated afresh.
static void clear_rates(struct search *s) {
    for (int n = 0; n < NODE_COUNT; n++) {
        s->e.mass_rate[n] = 0.0;
    }
}

static double supply_miss(void *context, double pressure) {
    struct search *s = context;
    search_put(s, NODE_SUPPLY, pressure);
    clear_rates(s);
    evaluation_pilot_flows(&s->e);
    return s->e.mass_rate[NODE_SUPPLY];
}

// Node that feeds the pilot's supply.
int search_feed_node(const struct regulator *r) {
    return r->parameters.pilot.supply_from == SUPPLY_STATED ? NODE_STATED_SUPPLY
           : r->parameters.duty == DUTY_BACK_PRESSURE       ? r->source[NODE_CONTROLLED]
                                                            : NODE_BOUNDARY;
}

// Flow left over in the chamber at a pilot travel, a supply volume following.
static double lift_miss(void *context, double lift) {
    struct search *s = context;
    const struct regulator *r = s->e.regulator;
    s->e.lift = lift;
    if (r->source[NODE_SUPPLY] == NODE_SUPPLY) {
        double chamber = search_pressure(s, NODE_CHAMBER);
        root_near(supply_miss, s, chamber, fmax(chamber, s->e.side[search_feed_node(r)].pressure),
                  s->inner_scale, &s->memory->supply);
    }
    clear_rates(s);
    evaluation_pilot_flows(&s->e);
    return s->e.mass_rate[NODE_CHAMBER];
}

// Flow left over in the chamber at a chamber pressure, the pilot following its force balance.
static double chamber_miss(void *context, double pressure) {
    struct search *s = context;
    const struct regulator *r = s->e.regulator;
    search_put(s, NODE_CHAMBER, pressure);
    clear_rates(s);
    double exhaust = evaluation_pilot_flows(&s->e);
    struct pilot_pressures pressures = {s->e.sensed, r->parameters.atmosphere, pressure, exhaust,
                                        search_pressure(s, NODE_SUPPLY)};
    double end = r->parameters.pilot.travel;
    double lift = pilot_rest_lift(&r->pilot_forces, &pressures, evaluation_set_force(&s->e), end);
    s->pilot_at_stop = lift <= 0.0 || lift >= end;
    return lift_miss(s, fmin(fmax(lift, 0.0), end));
}

int search_exhaust_node(const struct regulator *r) {
    bool back = r->parameters.duty == DUTY_BACK_PRESSURE;
    return r->parameters.pilot.exhaust_to == REFERENCE_ATMOSPHERE
               ? NODE_ATMOSPHERE
               : r->source[back ? NODE_DOWNSTREAM : NODE_CONTROLLED];
}

static void settle_pilot(struct search *s) {
    const struct regulator *r = s->e.regulator;
    double source = s->e.side[search_feed_node(r)].pressure;
    search_put(s, NODE_SUPPLY, source);
    double exhaust = s->e.side[search_exhaust_node(r)].pressure;
    struct regulator_static_memory *m = s->memory;
    double last = m->chamber.x, moved = s->e.sensed - m->sensed;
    bool known = m->chamber.known;
    m->chamber.x += m->chamber_gain * moved; // a good guess is half the work
    double chamber = root_near(chamber_miss, s, fmin(source, exhaust), fmax(source, exhaust),
                               s->inner_scale, &m->chamber);
    // Over a shorter way the gain would be rounding.
    if (known && fabs(moved) > 1e6 * s->scale) {
        m->chamber_gain = (chamber - last) / moved;
    }
    m->sensed = s->e.sensed;
}

static void sense_at_rest(struct search *s, double trim_flow) {
    const struct regulator *r = s->e.regulator;
    struct flow_side tap = s->e.side[r->source[NODE_CONTROLLED]];
    s->e.sensed = tap.pressure;
    if (r->tap_area > 0.0) {
        s->e.sensed -= 0.5 * trim_flow * trim_flow / (tap.density * r->tap_area * r->tap_area);
    }
}

// Spring case and sensing cavity rest at the pressure of what they are open to.
void search_place_followers(struct search *s) {
    const struct regulator *r = s->e.regulator;
    int case_node = r->parameters.actuator.case_reference == REFERENCE_ATMOSPHERE ? NODE_ATMOSPHERE
                    : r->parameters.duty == DUTY_BACK_PRESSURE ? r->source[NODE_DOWNSTREAM]
                                                               : r->source[NODE_CONTROLLED];
    if (r->source[NODE_CASE] == NODE_CASE) {
        search_put(s, NODE_CASE, s->e.side[case_node].pressure);
    }
    if (r->source[NODE_CAVITY] == NODE_CAVITY) {
        search_put(s, NODE_CAVITY, s->e.sensed);
    }
}

// Nodes before and behind the trim.
static int trim_up(const struct regulator *r) {
    return r->parameters.duty == DUTY_BACK_PRESSURE ? r->source[NODE_CONTROLLED] : NODE_BOUNDARY;
}

static int trim_down(const struct regulator *r) {
    return r->source[r->parameters.duty == DUTY_BACK_PRESSURE ? NODE_DOWNSTREAM : NODE_CONTROLLED];
}

double search_plug_force(struct search *s) {
    const struct regulator *r = s->e.regulator;
    int up = trim_up(r), down = trim_down(r);
    double share, choked;
    evaluation_trim(&s->e, up, down, &share, &choked);
    s->e.fluid_force = evaluation_fluid_force(&s->e, up, down, share);
    double rate[REGULATOR_STATES_MAX];
    struct regulator_observation out = {0};
    s->e.out = &out;
    double state[REGULATOR_STATES_MAX] = {0.0};
    s->e.state = state;
    evaluation_plug(&s->e, s->e.fluid_force, s->e.sensed, rate);
    s->e.out = NULL;
    return out.free_force;
}

// Chamber pressure that holds the plug where it is, and pilot travel that feeds it.
static void balance_pilot(struct search *s) {
    const struct regulator *r = s->e.regulator;
    const struct actuator_parameters *a = &r->parameters.actuator;
    double source = s->e.side[search_feed_node(r)].pressure;
    double exhaust = s->e.side[search_exhaust_node(r)].pressure;
    double end = r->parameters.pilot.travel;
    search_put(s, NODE_SUPPLY, source);
    search_put(s, NODE_CHAMBER, exhaust);
    search_place_followers(s);
    double area = actuator_area(a->diaphragm_area, a->area_loss, r->parameters.trim.rated_travel,
                                s->e.travel);
    double wanted = exhaust - r->action * search_plug_force(s) / area;
    double chamber = fmin(fmax(wanted, fmin(source, exhaust)), fmax(source, exhaust));
    search_put(s, NODE_CHAMBER, chamber);
    s->pilot_at_stop = chamber != wanted || lift_miss(s, end) < 0.0 || lift_miss(s, 0.0) > 0.0;
    lift_miss(s, root_bracketed(lift_miss, s, 0.0, end, 1e-16)); // leave everything as at the root
}

// Trim, pilot, outlet with the controlled and downstream pressures as they are put.
void search_all_flows(struct search *s) {
    const struct regulator *r = s->e.regulator;
    int up = trim_up(r), down = trim_down(r);
    double choked;
    double flow = evaluation_trim(&s->e, up, down, NULL, &choked);
    sense_at_rest(s, flow);
    if (r->has_pilot && s->pilot == PILOT_FOLLOWS) {
        settle_pilot(s);
    } else if (r->has_pilot && s->pilot == PILOT_BALANCES) {
        balance_pilot(s);
    }
    clear_rates(s);
    evaluation_pass(&s->e, up, down, flow);
    if (r->has_pilot) {
        evaluation_pilot_flows(&s->e);
    }
    if (down == NODE_DOWNSTREAM) {
        evaluation_pass(&s->e, down, NODE_BOUNDARY,
                        evaluation_restriction(&s->e, r->parameters.downstream_outlet_area, down,
                                               NODE_BOUNDARY));
    }
}

static double downstream_miss(void *context, double pressure) {
    struct search *s = context;
    search_put(s, NODE_DOWNSTREAM, pressure);
    search_all_flows(s);
    return s->e.mass_rate[NODE_DOWNSTREAM];
}

static double flowline_miss(void *context, double pressure) {
    struct search *s = context;
    search_put(s, NODE_FLOWLINE, pressure);
    clear_rates(s);
    evaluation_well_and_demand(&s->e);
    return s->e.mass_rate[NODE_FLOWLINE];
}

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
        clear_rates(s);
        evaluation_well_and_demand(&s->e);
    }
    double flow = s->e.mass_rate[controlled];
    for (int n = 0; n < NODE_COUNT; n++) {
        s->e.mass_rate[n] = rates[n];
    }
    return flow;
}

// Flow left over in the controlled volume at its pressure, everything else at rest.
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
