// SPDX-License-Identifier: MIT
// Flows between the volumes. Every one of them is a function of the states at its two ends and of
// an area, and is passed from node to node, so that what leaves one enters another and nothing is
// lost:
//
//     NODE a  (p_a, rho_a, h_a) --->| area |---> (p_b, rho_b, h_b)  NODE b
//             dm_a/dt -= w                        dm_b/dt += w
//             dU_a/dt -= w h                      dU_b/dt += w h,   h of the side w comes from
//
// No opening does work or takes heat: the enthalpy that goes in comes out. A node that is no volume
// (a boundary, the atmosphere, the well) collects what passes it, for the running totals.
#include "evaluation.h"

#include "either.h"
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

// What a trim passes at its present travel, by IEC 60534-2-1.
struct rating {
    double area;            // A_v with FP in it [m2]
    double choking_ratio;   // xT or xTP [-]
    double recovery_factor; // FL/FP or FLP/FP [-]
};

// FP, xTP and FLP belong to the opening that the trim has now, so they are worked out at every
// call; a piping factor that was stated holds at any travel.
static struct rating rate_trim(const struct regulator *r, double opening) {
    const struct trim_parameters *p = &r->parameters.trim;
    struct rating out = {r->trim.rated_area * opening, p->choking_ratio,
                         p->recovery_factor / p->piping_factor};
    if (r->has_fittings) {
        double bare = out.area, factor = fittings_piping_factor(&r->fittings, bare);
        out.area = bare * factor;
        out.choking_ratio = fittings_choking_ratio(&r->fittings, bare, p->choking_ratio);
        out.recovery_factor = fittings_recovery(&r->fittings, bare, p->recovery_factor) / factor;
    }
    return out;
}

// Drop beyond which a liquid passes no more [Pa].
static double choked_drop_of(const struct regulator *r, const struct rating *trim, double high) {
    const struct liquid_properties *liquid = &r->parameters.liquid;
    double factor = liquid_critical_ratio_factor(liquid);
    return either_larger(0.0, trim->recovery_factor * trim->recovery_factor *
                                  (high - factor * liquid->vapour_pressure));
}

static double trim_flow(const struct evaluation *e, int up, int down, double opening,
                        double *choked_drop) {
    const struct regulator *r = e->regulator;
    struct flow_side a = e->side[up], b = e->side[down];
    double laminar_drop = r->parameters.laminar_drop, drop = a.pressure - b.pressure;
    struct rating trim = rate_trim(r, opening);
    *choked_drop = r->liquid ? choked_drop_of(r, &trim, either_larger(a.pressure, b.pressure))
                             : (double)INFINITY;
    if (r->parameters.trim.flow_law == TRIM_FLOW_NOZZLE) {
        return evaluation_restriction(e, r->trim.nozzle_area * opening, up, down);
    }
    if (r->liquid) {
        return flow_trim_liquid(trim.area, a.density, drop, *choked_drop, laminar_drop);
    }
    return flow_trim_gas(trim.area, r->heat_ratio * trim.choking_ratio, a, b, laminar_drop);
}

// Flow through the trim, and the share of the drop that pushes on the plug.
double evaluation_trim(const struct evaluation *e, int up, int down, double *share,
                       double *choked_drop) {
    const struct regulator *r = e->regulator;
    const struct regulator_parameters *p = &r->parameters;
    double opening = trim_opening(&r->trim, e->opening_travel);
    double curtain =
        p->trim.force_law == TRIM_FORCE_SERIES ? trim_curtain_ratio(&r->trim, opening) : 0.0;
    double up_pressure = e->side[up].pressure, down_pressure = e->side[down].pressure;
    double high = either_larger(up_pressure, down_pressure),
           low = either_smaller(up_pressure, down_pressure);
    double push;
    if (r->liquid) {
        push = trim_drop_share_liquid(curtain);
    } else {
        bool from_under =
            (p->trim.direction == TRIM_FLOW_TO_OPEN) == (up_pressure >= down_pressure);
        push = share && curtain > 0.0
                   ? trim_drop_share_gas(&r->nozzle, curtain, low / high, from_under)
                   : 1.0;
    }
    if (share) {
        *share = push;
    }
    return trim_flow(e, up, down, opening, choked_drop);
}

// What comes from the well, through a flowline if there is one, or what a user draws:
//
//     well -> [flowline] -|Cd A|- [vessel]              [vessel] -> demand
//
// A well on a productivity line answers to the pressure that it flows against, the flowline's.
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

// The pilot's flows, by which the chamber fills and empties:
//
//     feed -|line|- [supply] -|seat, opens with the lift|- [chamber] -|bleed or exhaust seat|-
//     exhaust
//
// In between the chamber's pressure is that at which both seats pass the same. Without a volume
// ahead of the pilot the supply is the feed itself.
double evaluation_pilot_flows(struct evaluation *e) {
    const struct regulator *r = e->regulator;
    const struct pilot_parameters *p = &r->parameters.pilot;
    int chamber = r->source[NODE_LOADING], supply = r->source[NODE_SUPPLY];
    int feed = r->ends.pilot_feed, exhaust = r->ends.pilot_exhaust;
    double area = p->supply_discharge * pilot_seat_area(p->supply_diameter, e->lift);
    double in = evaluation_restriction(e, area, supply, chamber);
    double bled = pilot_exhaust(e, chamber, exhaust);
    evaluation_pass(e, supply, chamber, in);
    evaluation_pass(e, chamber, exhaust, bled);
    if (supply == NODE_SUPPLY) {
        evaluation_pass(e, feed, supply,
                        evaluation_restriction(e, r->supply_line_area, feed, supply));
    }
    if (e->out) {
        e->out->supply_flow = in;
        e->out->exhaust_flow = bled;
    }
    return e->side[exhaust].pressure;
}

// Flow from the tap into the sensing cavity: what the diaphragm sweeps, and what squeezes the gas
// in it. With inertance the flow is a state and its rate follows from what the line's drop leaves
// over (line.h); else it follows the drop at once.
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
    evaluation_pass(e, r->source[NODE_SENSE], cavity, flow);
    if (e->out) {
        e->out->sense_flow = flow;
    }
}
