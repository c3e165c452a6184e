// SPDX-License-Identifier: MIT
// Slopes of the rates over the states, part 3: well, demand, pilot's flows, sense line. Follows
// regulator_flows.c.
#include "regulator_slopes.h"

#include "inflow.h"

#include <string.h>

static void pass_slopes(struct slopes *s, double area, int area_state, double area_slope, int from,
                        int to) {
    const struct regulator *r = s->e.regulator;
    struct flow_side a = s->e.side[from], b = s->e.side[to];
    double laminar_drop = r->parameters.laminar_drop, flow[SLOPES_MAX];
    struct flow_slope law =
        r->liquid
            ? flow_slope_orifice_liquid(area, a.density, a.pressure - b.pressure, laminar_drop)
            : flow_slope_nozzle(&r->nozzle, area, a, b, laminar_drop);
    slopes_of_flow(s, &law, from, to, flow);
    if (area_state >= 0) {
        flow[area_state] += law.area * area_slope;
    }
    slopes_pass(s, from, to, law.flow, flow);
}

// Slope of what is drawn over the pressure.
static double demand_slope(const struct regulator *r, double rate, double pressure) {
    const struct regulator_parameters *p = &r->parameters;
    double reference = p->flow_reference, outlet = p->demand_outlet, drop = p->laminar_drop;
    if (p->demand == DEMAND_CONSTANT) {
        double width = 0.05 * (reference - outlet), u = (pressure - outlet) / width;
        return u >= 1.0 || u <= 0.0 ? 0.0 : rate * 6.0 * u * (1.0 - u) / width;
    }
    if (r->liquid) {
        double slope;
        flow_slope_root(pressure - outlet, drop, &slope);
        return rate * slope / flow_signed_root(reference - outlet, drop);
    }
    struct flow_side beyond = {outlet, outlet}, at = {reference, reference};
    struct flow_side now = {pressure, pressure};
    struct flow_slope law = flow_slope_nozzle(&r->nozzle, 1.0, now, beyond, drop);
    return rate * (law.from_pressure + law.from_density) /
           flow_nozzle(&r->nozzle, 1.0, at, beyond, drop);
}

static double demanded(const struct regulator *r, double rate, double pressure) {
    const struct regulator_parameters *p = &r->parameters;
    double reference = p->flow_reference, outlet = p->demand_outlet;
    if (p->demand == DEMAND_CONSTANT) {
        return inflow_constant_demand(rate, pressure, reference, outlet);
    }
    return r->liquid
               ? inflow_orifice_demand_liquid(rate, pressure, reference, outlet, p->laminar_drop)
               : inflow_orifice_demand(&r->nozzle, rate, pressure, reference, outlet,
                                       p->laminar_drop);
}

static void well_and_demand_slopes(struct slopes *s) {
    const struct regulator *r = s->e.regulator;
    const struct regulator_parameters *p = &r->parameters;
    double rate = schedule_value(&p->flow, s->e.mode->flow_piece, s->e.time);
    int controlled = r->source[NODE_CONTROLLED];
    double flow[SLOPES_MAX] = {0.0};
    if (p->duty != DUTY_BACK_PRESSURE) {
        double pressure = s->e.side[controlled].pressure;
        slopes_add(flow, demand_slope(r, rate, pressure), s->pressure[controlled], s->n);
        slopes_pass(s, controlled, NODE_DEMAND, demanded(r, rate, pressure), flow);
        return;
    }
    int first = r->source[NODE_FLOWLINE];
    double pressure = s->e.side[first].pressure;
    if (p->well_pressure > 0.0 && p->well_pressure > pressure) {
        slopes_add(flow, -rate / (p->well_pressure - p->flow_reference), s->pressure[first], s->n);
    }
    slopes_pass(s, NODE_WELL, first,
                inflow_productivity(rate, pressure, p->flow_reference, p->well_pressure), flow);
    if (first != controlled) {
        pass_slopes(s, r->flowline_area, -1, 0.0, first, controlled);
    }
}

static void pilot_flow_slopes(struct slopes *s) {
    const struct regulator *r = s->e.regulator;
    const struct pilot_parameters *p = &r->parameters.pilot;
    int lift = r->layout.pilot_travel;
    int chamber = r->source[NODE_LOADING], supply = r->source[NODE_SUPPLY];
    pass_slopes(s, p->supply_discharge * pilot_seat_area(p->supply_diameter, s->e.lift), lift,
                p->supply_discharge * pilot_seat_slope(p->supply_diameter, s->e.lift), supply,
                chamber);
    double area = r->bleed_area, slope = 0.0;
    if (p->exhaust == EXHAUST_THREE_WAY) {
        double open = pilot_exhaust_lift(p->exhaust_lap, s->e.lift);
        area = p->bleed_discharge * pilot_seat_area(p->bleed_diameter, open);
        slope = p->bleed_discharge * pilot_seat_slope(p->bleed_diameter, open) *
                pilot_exhaust_slope(p->exhaust_lap, s->e.lift);
    }
    pass_slopes(s, area, lift, slope, chamber, r->ends.pilot_exhaust);
    if (supply == NODE_SUPPLY) {
        pass_slopes(s, r->supply_line_area, -1, 0.0, r->ends.pilot_feed, supply);
    }
}

// From the tap, whose pressure and row stand in `sensed`, into the cavity, which is sensed then.
static void sense_slopes(struct slopes *s) {
    const struct regulator *r = s->e.regulator;
    int cavity = r->source[NODE_CAVITY], from = r->source[NODE_SENSE];
    if (cavity != NODE_CAVITY) {
        return;
    }
    struct flow_side tap = {s->sensed_pressure, s->e.side[from].density};
    double flow[SLOPES_MAX] = {0.0}, *into = flow;
    int state = r->layout.sense_flow;
    struct flow_slope law;
    if (state >= 0) {
        into = slopes_row(s, state);
        law = flow_slope_line_rate(&r->sense_line, tap, s->e.side[cavity], s->e.state[state]);
        into[state] = law.area;
        flow[state] = 1.0;
    } else {
        law = flow_slope_line(&r->sense_line, &r->nozzle, tap, s->e.side[cavity]);
    }
    slopes_add(into, law.from_pressure, s->sensed, s->n);
    slopes_add(into, law.from_density, s->density[from], s->n);
    slopes_add(into, law.to_pressure, s->pressure[cavity], s->n);
    slopes_add(into, law.to_density, s->density[cavity], s->n);
    slopes_pass(s, from, cavity, state >= 0 ? s->e.state[state] : law.flow, flow);
    memcpy(s->sensed, s->pressure[cavity], (size_t)s->n * sizeof *s->sensed);
    s->sensed_pressure = s->e.side[cavity].pressure;
}

void slopes_other_flows(struct slopes *s) {
    const struct regulator *r = s->e.regulator;
    well_and_demand_slopes(s);
    if (r->source[NODE_DOWNSTREAM] == NODE_DOWNSTREAM) {
        pass_slopes(s, r->parameters.downstream_outlet_area, -1, 0.0, NODE_DOWNSTREAM,
                    NODE_BOUNDARY);
    }
    if (r->source[NODE_CASE] == NODE_CASE) {
        pass_slopes(s, r->vent_area, -1, 0.0, NODE_CASE, r->ends.case_outside);
    }
    if (r->has_pilot) {
        pilot_flow_slopes(s);
    }
    sense_slopes(s);
}
