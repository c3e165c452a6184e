// SPDX-License-Identifier: MIT
// Flows between the volumes.
#include "evaluation.h"

#include "inflow.h"

#include <math.h>

double evaluation_restriction(const struct evaluation *e, double area, int from, int to) {
    const struct regulator *r = e->regulator;
    struct flow_side a = e->side[from], b = e->side[to];
    if (r->liquid) {
        return flow_orifice_liquid(area, a.density, a.pressure - b.pressure,
                                   r->parameters.laminar_drop);
    }
    return flow_nozzle(&r->nozzle, area, a, b, r->parameters.laminar_drop);
}

// Flow through the trim, and the share of the drop that pushes on the plug.
double evaluation_trim(const struct evaluation *e, int up, int down, double *share,
                       double *choked_drop) {
    const struct regulator *r = e->regulator;
    const struct regulator_parameters *p = &r->parameters;
    struct flow_side a = e->side[up], b = e->side[down];
    double opening = trim_opening(&r->trim, e->opening_travel);
    double curtain =
        p->trim.force_law == TRIM_FORCE_SERIES ? trim_curtain_ratio(&r->trim, opening) : 0.0;
    double drop = a.pressure - b.pressure;
    double high = fmax(a.pressure, b.pressure), low = fmin(a.pressure, b.pressure);
    double flow, push;
    *choked_drop = (double)INFINITY;
    if (r->liquid) {
        double recovery = p->trim.recovery_factor / p->trim.piping_factor;
        double factor = liquid_critical_ratio_factor(&p->liquid);
        *choked_drop = fmax(0.0, recovery * recovery * (high - factor * p->liquid.vapour_pressure));
        push = trim_drop_share_liquid(curtain);
        flow = p->trim.flow_law == TRIM_FLOW_NOZZLE
                   ? flow_orifice_liquid(r->trim.nozzle_area * opening, a.density, drop,
                                         p->laminar_drop)
                   : flow_trim_liquid(r->trim.rated_area * opening, a.density, drop, *choked_drop,
                                      p->laminar_drop);
    } else {
        bool from_under = (p->trim.direction == TRIM_FLOW_TO_OPEN) == (drop >= 0.0);
        push = share && curtain > 0.0
                   ? trim_drop_share_gas(&r->nozzle, curtain, low / high, from_under)
                   : 1.0;
        flow = p->trim.flow_law == TRIM_FLOW_NOZZLE
                   ? evaluation_restriction(e, r->trim.nozzle_area * opening, up, down)
                   : flow_trim_gas(r->trim.rated_area * opening, r->choking, a, b, p->laminar_drop);
    }
    if (share) {
        *share = push;
    }
    return flow;
}

void evaluation_well_and_demand(struct evaluation *e) {
    const struct regulator *r = e->regulator;
    const struct regulator_parameters *p = &r->parameters;
    double rate = schedule_value(&p->flow, e->mode->flow_piece, e->time);
    int controlled = r->source[NODE_CONTROLLED];
    double pressure = e->side[controlled].pressure;
    if (p->duty == DUTY_BACK_PRESSURE) {
        int first = r->source[NODE_FLOWLINE];
        double inflow =
            inflow_productivity(rate, e->side[first].pressure, p->flow_reference, p->well_pressure);
        evaluation_pass(e, NODE_WELL, first, inflow);
        if (first != controlled) {
            evaluation_pass(e, first, controlled,
                            evaluation_restriction(e, r->flowline_area, first, controlled));
        }
        rate = inflow;
    } else {
        if (p->demand == DEMAND_CONSTANT) {
            rate = inflow_constant_demand(rate, pressure, p->flow_reference, p->demand_outlet);
        } else if (r->liquid) {
            rate = inflow_orifice_demand_liquid(rate, pressure, p->flow_reference, p->demand_outlet,
                                                p->laminar_drop);
        } else {
            rate = inflow_orifice_demand(&r->nozzle, rate, pressure, p->flow_reference,
                                         p->demand_outlet, p->laminar_drop);
        }
        evaluation_pass(e, controlled, NODE_DEMAND, rate);
    }
    if (e->out) {
        e->out->inflow = rate;
    }
}

static double pilot_exhaust(struct evaluation *e, int chamber, int exhaust) {
    const struct regulator *r = e->regulator;
    const struct pilot_parameters *p = &r->parameters.pilot;
    double area = r->bleed_area;
    if (p->exhaust == EXHAUST_THREE_WAY) {
        double lift = pilot_exhaust_lift(p->exhaust_lap, e->lift);
        area = p->bleed_discharge * pilot_seat_area(p->bleed_diameter, lift);
    }
    return evaluation_restriction(e, area, chamber, exhaust);
}

double evaluation_pilot_flows(struct evaluation *e) {
    const struct regulator *r = e->regulator;
    const struct pilot_parameters *p = &r->parameters.pilot;
    int chamber = r->source[NODE_CHAMBER], supply = r->source[NODE_SUPPLY];
    bool back = r->parameters.duty == DUTY_BACK_PRESSURE;
    int downstream = r->source[back ? NODE_DOWNSTREAM : NODE_CONTROLLED];
    int exhaust = p->exhaust_to == REFERENCE_ATMOSPHERE ? NODE_ATMOSPHERE : downstream;
    double area = p->supply_discharge * pilot_seat_area(p->supply_diameter, e->lift);
    double in = evaluation_restriction(e, area, supply, chamber);
    double bled = pilot_exhaust(e, chamber, exhaust);
    evaluation_pass(e, supply, chamber, in);
    evaluation_pass(e, chamber, exhaust, bled);
    if (supply == NODE_SUPPLY) {
        int feed = p->supply_from == SUPPLY_STATED ? NODE_STATED_SUPPLY
                   : back                          ? r->source[NODE_CONTROLLED]
                                                   : NODE_BOUNDARY;
        evaluation_pass(e, feed, supply,
                        evaluation_restriction(e, r->supply_line_area, feed, supply));
    }
    if (e->out) {
        e->out->supply_flow = in;
        e->out->exhaust_flow = bled;
    }
    return e->side[exhaust].pressure;
}

void evaluation_sense(struct evaluation *e, struct flow_side tap, double *rate) {
    const struct regulator *r = e->regulator;
    const struct regulator_layout *l = &r->layout;
    int cavity = r->source[NODE_CAVITY];
    if (cavity != NODE_CAVITY) {
        return;
    }
    double flow;
    if (l->sense_flow >= 0) {
        flow = e->state[l->sense_flow];
        rate[l->sense_flow] = line_flow_rate(&r->sense_line, tap, e->side[cavity], flow);
    } else {
        flow = line_flow(&r->sense_line, &r->nozzle, tap, e->side[cavity]);
    }
    evaluation_pass(e, r->source[NODE_CONTROLLED], cavity, flow);
    if (e->out) {
        e->out->sense_flow = flow;
    }
}
