// SPDX-License-Identifier: MIT
// Slopes of the rates over the states, part 2: flows. Follows regulator_flows.c.
#include "regulator_slopes.h"

#include <math.h>
#include <string.h>

void slopes_of_flow(const struct slopes *s, const struct flow_slope *law, int from, int to,
                    double *flow) {
    memset(flow, 0, (size_t)s->n * sizeof *flow);
    slopes_add(flow, law->from_pressure, s->pressure[from], s->n);
    slopes_add(flow, law->from_density, s->density[from], s->n);
    slopes_add(flow, law->to_pressure, s->pressure[to], s->n);
    slopes_add(flow, law->to_density, s->density[to], s->n);
}

void slopes_pass(struct slopes *s, int from, int to, double value, const double *flow) {
    evaluation_pass(&s->e, from, to, value);
    slopes_add(s->mass_rate[from], -1.0, flow, s->n);
    slopes_add(s->mass_rate[to], 1.0, flow, s->n);
    if (!s->e.regulator->thermal) {
        return;
    }
    int up = value >= 0.0 ? from : to;
    double power[SLOPES_MAX] = {0.0};
    slopes_add(power, s->e.enthalpy[up], flow, s->n);
    slopes_add(power, value, s->enthalpy[up], s->n);
    slopes_add(s->energy_rate[from], -1.0, power, s->n);
    slopes_add(s->energy_rate[to], 1.0, power, s->n);
}

// --- Trim

static struct flow_slope restriction_slopes(const struct slopes *s, double area, int from, int to) {
    const struct regulator *r = s->e.regulator;
    struct flow_side a = s->e.side[from], b = s->e.side[to];
    double laminar_drop = r->parameters.laminar_drop;
    return r->liquid
               ? flow_slope_orifice_liquid(area, a.density, a.pressure - b.pressure, laminar_drop)
               : flow_slope_nozzle(&r->nozzle, area, a, b, laminar_drop);
}

// Area, choking ratio and recovery factor of rate_trim, each with its slope over the opening.
struct rating_slopes {
    double area, choking, recovery;
    double area_slope, choking_slope, recovery_slope;
};

static struct rating_slopes rate_trim_slopes(const struct regulator *r, double opening) {
    const struct trim_parameters *p = &r->parameters.trim;
    double bare = r->trim.rated_area * opening, per = r->trim.rated_area;
    struct rating_slopes out = {.area = bare,
                                .choking = p->choking_ratio,
                                .recovery = p->recovery_factor / p->piping_factor,
                                .area_slope = per};
    if (!r->has_fittings) {
        return out;
    }
    const struct fittings *f = &r->fittings;
    double factor = fittings_piping_factor(f, bare), cube = factor * factor * factor;
    out.area = bare * factor;
    out.area_slope = per * cube; // d(a/sqrt(1 + L a^2)) = (1 + L a^2)^(-3/2) da
    double choked = 8.0 / 9.0 * p->choking_ratio * f->inlet;
    double loss = 1.0 + f->loss * bare * bare, entry = 1.0 + choked * bare * bare;
    out.choking = fittings_choking_ratio(f, bare, p->choking_ratio);
    out.choking_slope = p->choking_ratio * 2.0 * bare * (f->loss - choked) / (entry * entry) * per;
    // FLP/FP = FL sqrt(1 + L a^2)/sqrt(1 + FL^2 I a^2)
    double square = p->recovery_factor * p->recovery_factor * f->inlet;
    double inner = 1.0 + square * bare * bare;
    out.recovery = fittings_recovery(f, bare, p->recovery_factor) / factor;
    out.recovery_slope = out.recovery * bare * (f->loss / loss - square / inner) * per;
    return out;
}

// The trim's flow; its slope over the opening is returned in `by_opening`.
static struct flow_slope trim_flow_slopes(const struct slopes *s, double opening,
                                          double *by_opening) {
    const struct regulator *r = s->e.regulator;
    const struct regulator_parameters *p = &r->parameters;
    int up = r->ends.trim_up, down = r->ends.trim_down;
    struct flow_side a = s->e.side[up], b = s->e.side[down];
    if (p->trim.flow_law == TRIM_FLOW_NOZZLE) {
        struct flow_slope law = restriction_slopes(s, r->trim.nozzle_area * opening, up, down);
        *by_opening = law.area * r->trim.nozzle_area;
        return law;
    }
    struct rating_slopes trim = rate_trim_slopes(r, opening);
    if (!r->liquid) {
        struct flow_slope law =
            flow_slope_trim_gas(trim.area, r->heat_ratio * trim.choking, a, b, p->laminar_drop);
        *by_opening = law.area * trim.area_slope + law.choking * r->heat_ratio * trim.choking_slope;
        return law;
    }
    double factor = liquid_critical_ratio_factor(&p->liquid),
           square = trim.recovery * trim.recovery;
    double over = fmax(a.pressure, b.pressure) - factor * p->liquid.vapour_pressure;
    double choked = fmax(0.0, square * over);
    struct flow_slope law = flow_slope_trim_liquid(trim.area, a.density, a.pressure - b.pressure,
                                                   choked, p->laminar_drop);
    *by_opening = law.area * trim.area_slope;
    if (choked > 0.0) {
        *by_opening += law.choking * 2.0 * trim.recovery * trim.recovery_slope * over;
        *(a.pressure >= b.pressure ? &law.from_pressure : &law.to_pressure) += law.choking * square;
    }
    return law;
}

// Share of the drop on the plug: value, slope over the opening, and over the ratio of pressures.
static double push_of(const struct slopes *s, double opening, double *by_opening,
                      double *by_ratio) {
    const struct regulator *r = s->e.regulator;
    const struct trim_parameters *t = &r->parameters.trim;
    double up = s->e.side[r->ends.trim_up].pressure, down = s->e.side[r->ends.trim_down].pressure;
    *by_opening = *by_ratio = 0.0;
    double curtain =
        t->force_law == TRIM_FORCE_SERIES ? trim_curtain_ratio(&r->trim, opening) : 0.0;
    if (!(curtain > 0.0)) {
        return 1.0;
    }
    double slope[2] = {0.0, 0.0}, share;
    if (r->liquid) {
        share = trim_drop_share_liquid(curtain);
        slope[0] = -2.0 * curtain * share * share;
    } else {
        bool from_under = (t->direction == TRIM_FLOW_TO_OPEN) == (up >= down);
        share = trim_drop_share_slopes(&r->nozzle, curtain, fmin(up, down) / fmax(up, down),
                                       from_under, slope);
    }
    *by_opening = slope[0] * trim_curtain_slope(&r->trim, opening);
    *by_ratio = slope[1];
    return share;
}

// Pressure over the seat land with its row; `middle` is the pressure under the plug.
static double land_slopes(const struct slopes *s, int over, int under, double middle,
                          const double *middle_row, double *row) {
    const struct regulator *r = s->e.regulator;
    struct flow_side above = s->e.side[over], below = s->e.side[under];
    bool inward = above.pressure >= middle;
    struct seat_flow flow = {.entry = fmax(above.pressure, middle),
                             .exit = fmin(above.pressure, middle),
                             .density = inward ? above.density : below.density,
                             .critical_ratio = r->liquid ? 0.0 : r->nozzle.critical_ratio,
                             .inward = inward};
    double scale = r->liquid || inward ? 1.0 : middle / below.pressure;
    flow.density *= scale;
    double slope[4];
    double pressure = seat_land_slopes(&r->seat, s->e.opening_travel, &flow, slope);
    memset(row, 0, (size_t)s->n * sizeof *row);
    slopes_add(row, slope[inward ? 1 : 2], s->pressure[over], s->n);
    slopes_add(row, slope[inward ? 2 : 1], middle_row, s->n);
    slopes_add(row, slope[3] * scale, s->density[inward ? over : under], s->n);
    if (!r->liquid && !inward) {
        slopes_add(row, slope[3] * below.density / below.pressure, middle_row, s->n);
        slopes_add(row, -slope[3] * flow.density / below.pressure, s->pressure[under], s->n);
    }
    row[s->opening] += slope[0];
    return pressure;
}

// evaluation_fluid_force with its row, the share of the drop and its row given.
static void fluid_force_slopes(struct slopes *s, double share, const double *share_row) {
    const struct regulator *r = s->e.regulator;
    const struct trim_parameters *t = &r->parameters.trim;
    int up = r->ends.trim_up, down = r->ends.trim_down;
    bool closes = t->direction == TRIM_FLOW_TO_CLOSE;
    int over = closes ? up : down, under = closes ? down : up;
    double above = s->e.side[over].pressure, whole = above - s->e.side[under].pressure;
    memset(s->force, 0, (size_t)s->n * sizeof *s->force);
    slopes_add(s->force, r->stem_area, s->pressure[over], s->n);
    if (t->force_law == TRIM_FORCE_BALANCED) {
        return;
    }
    double drop[SLOPES_MAX] = {0.0}, middle[SLOPES_MAX], over_land[SLOPES_MAX];
    slopes_add(drop, whole, share_row, s->n);
    slopes_add(drop, share, s->pressure[over], s->n);
    slopes_add(drop, -share, s->pressure[under], s->n);
    double side = 1.0 - t->balance;
    slopes_add(s->force, -side * r->seat.inner_area, drop, s->n);
    if (r->seat.land_area > 0.0) {
        for (int i = 0; i < s->n; i++) {
            middle[i] = s->pressure[over][i] - drop[i];
        }
        land_slopes(s, over, under, above - share * whole, middle, over_land);
        slopes_add(s->force, -side * r->seat.land_area, s->pressure[over], s->n);
        slopes_add(s->force, side * r->seat.land_area, over_land, s->n);
    }
}

void slopes_trim_and_force(struct slopes *s) {
    const struct regulator *r = s->e.regulator;
    const struct trim_parameters *t = &r->parameters.trim;
    int up = r->ends.trim_up, down = r->ends.trim_down;
    double opening = trim_opening(&r->trim, s->e.opening_travel);
    double opening_slope = trim_opening_slope(&r->trim, s->e.opening_travel);
    double flow[SLOPES_MAX], by_opening;
    struct flow_slope law = trim_flow_slopes(s, opening, &by_opening);
    slopes_of_flow(s, &law, up, down, flow);
    flow[s->opening] += by_opening * opening_slope;
    slopes_pass(s, up, down, law.flow, flow);
    // What a tap in the pipe loses is kept as the row of the tap, in `sensed`.
    int tap = r->source[NODE_SENSE];
    memcpy(s->sensed, s->pressure[tap], (size_t)s->n * sizeof *s->sensed);
    s->sensed_pressure = s->e.side[tap].pressure;
    if (r->tap_area > 0.0) {
        double density = s->e.side[tap].density;
        double head = 0.5 * law.flow / (density * r->tap_area * r->tap_area);
        s->sensed_pressure -= head * law.flow;
        slopes_add(s->sensed, -2.0 * head, flow, s->n);
        slopes_add(s->sensed, head * law.flow / density, s->density[tap], s->n);
    }
    if (s->e.mode->plug != HOLD_FREE) {
        return; // what pushes on a held plug moves nothing
    }
    double row[SLOPES_MAX] = {0.0}, by_ratio, share;
    if (t->force_law == TRIM_FORCE_TABLE) {
        const struct trim_table *table = &r->trim.parameters.force_table;
        double place = s->e.opening_travel / t->rated_travel;
        share = trim_table_value(table, place);
        row[s->opening] = trim_table_slope(table, place) / t->rated_travel;
    } else {
        share = push_of(s, opening, &by_opening, &by_ratio);
        row[s->opening] = by_opening * opening_slope;
        if (by_ratio != 0.0) {
            bool falls = s->e.side[up].pressure >= s->e.side[down].pressure;
            int high = falls ? up : down, low = falls ? down : up;
            double top = s->e.side[high].pressure;
            slopes_add(row, by_ratio / top, s->pressure[low], s->n);
            slopes_add(row, -by_ratio * s->e.side[low].pressure / (top * top), s->pressure[high],
                       s->n);
        }
    }
    fluid_force_slopes(s, share, row);
}
