// SPDX-License-Identifier: MIT
// The pilot in a search for pressures at rest: the levels within those of regulator_search.c,
//
//     feed -|supply line|- p_feed -|restriction|- [p_s] -|seat|- [p_ch] -|bleed|- exhaust
//
// The supply line is the only tubing in which something flows at rest: what the bleed lets out has
// to come through it. So the pressure at its end is one more unknown,
//
//     what the line brings with the flow that is drawn at p_feed, less p_feed     = 0
//
// which falls as p_feed rises: more is drawn, and the less there is left of it at the end.
#include "regulator_search.h"

#include "actuator.h"
#include "regulator_lines.h"
#include "root.h"

#include <math.h>

// Pressure by which the pilot is fed, at the far end of its supply line if it has one [Pa].
static double source_pressure(const struct search *s) {
    const struct regulator *r = s->e.regulator;
    int node = r->has_line[LINE_SUPPLY] ? r->line_far[LINE_SUPPLY] : r->ends.pilot_feed;
    return s->e.side[node].pressure;
}

// Everything ahead of the pilot's seat at its source's pressure, as while nothing flows.
static void put_supply(struct search *s, double pressure) {
    if (s->e.regulator->has_line[LINE_SUPPLY]) {
        search_put(s, NODE_FEED, pressure);
    }
    search_put(s, NODE_SUPPLY, pressure);
}

// Flow left over in the volume ahead of the pilot: feed less supply seat.
static double supply_miss(void *context, double pressure) {
    struct search *s = context;
    search_put(s, NODE_SUPPLY, pressure);
    search_clear_rates(s);
    evaluation_pilot_flows(&s->e);
    return s->e.mass_rate[NODE_SUPPLY];
}

// A supply volume lies somewhere between what it feeds and what feeds it.
static void settle_volume(struct search *s) {
    const struct regulator *r = s->e.regulator;
    if (r->source[NODE_SUPPLY] == NODE_SUPPLY) {
        double chamber = search_pressure(s, NODE_CHAMBER);
        root_near(supply_miss, s, chamber, fmax(chamber, s->e.side[r->ends.pilot_feed].pressure),
                  s->inner_scale, &s->memory->supply);
    }
}

// Pressure that the supply line brings, less that which draws from its end.
static double feed_miss(void *context, double pressure) {
    struct search *s = context;
    search_put(s, NODE_FEED, pressure);
    settle_volume(s);
    search_clear_rates(s);
    evaluation_pilot_flows(&s->e);
    return search_near_miss(s, LINE_SUPPLY, pressure);
}

// What is ahead of the seat, with the pilot held: the end of the line lies between the chamber and
// the line's other end.
static void settle_supply(struct search *s) {
    if (!s->e.regulator->has_line[LINE_SUPPLY]) {
        settle_volume(s);
        return;
    }
    double chamber = search_pressure(s, NODE_CHAMBER), source = source_pressure(s);
    root_near(feed_miss, s, fmin(chamber, source), fmax(chamber, source), s->inner_scale,
              &s->memory->feed);
}

// Flow left over in the chamber at a pilot travel: supply seat less exhaust. It grows with the
// travel, which opens the one and, in a three-way pilot, shuts the other.
static double lift_miss(void *context, double lift) {
    struct search *s = context;
    s->e.lift = lift;
    settle_supply(s);
    search_clear_rates(s);
    evaluation_pilot_flows(&s->e);
    return s->e.mass_rate[s->e.regulator->source[NODE_LOADING]];
}

// Net force on the pilot at a travel; a line ahead of it has less to give the more it opens, and an
// unbalanced seat feels that.
static double held_force(void *context, double lift) {
    struct search *s = context;
    const struct regulator *r = s->e.regulator;
    s->e.lift = lift;
    settle_supply(s);
    struct pilot_pressures pressures = {
        s->e.sensed, r->parameters.atmosphere, search_pressure(s, NODE_CHAMBER),
        s->e.side[r->ends.pilot_exhaust].pressure, search_pressure(s, NODE_SUPPLY)};
    return pilot_force(&r->pilot_forces, &pressures, evaluation_set_force(&s->e), lift);
}

// Travel at which that force is nothing; at a stop where it is nothing nowhere between.
static double held_lift(struct search *s) {
    double end = s->e.regulator->parameters.pilot.travel;
    if (held_force(s, 0.0) <= 0.0) {
        return 0.0;
    }
    return held_force(s, end) >= 0.0 ? end : root_bracketed(held_force, s, 0.0, end, 1e-16);
}

// Flow left over in the chamber at a chamber pressure. The pilot lies where its forces balance: all
// of them but its spring are known here, and that one is k y, so that
//     y = (force without the spring)/k,    cut off at the stops.
// With the chamber's pressure the feedback shuts the pilot and the exhaust takes more: both lower
// what is left over.
static double chamber_miss(void *context, double pressure) {
    struct search *s = context;
    const struct regulator *r = s->e.regulator;
    search_put(s, NODE_CHAMBER, pressure);
    struct pilot_pressures pressures = {s->e.sensed, r->parameters.atmosphere, pressure,
                                        s->e.side[r->ends.pilot_exhaust].pressure,
                                        search_pressure(s, NODE_SUPPLY)};
    double end = r->parameters.pilot.travel;
    bool drawn = r->has_line[LINE_SUPPLY] && r->pilot_forces.supply_area > 0.0;
    double lift =
        drawn ? held_lift(s)
              : pilot_rest_lift(&r->pilot_forces, &pressures, evaluation_set_force(&s->e), end);
    s->pilot_at_stop = lift <= 0.0 || lift >= end;
    return lift_miss(s, fmin(fmax(lift, 0.0), end));
}

// Chamber pressure and pilot travel at rest. The chamber lies between what feeds it and what
// empties it. It follows the sensed pressure nearly in proportion, so the guess for the next search
// is
//     p_ch + (dp_ch/dp_sensed) (move of the sensed pressure),
// with the gain that the last two searches had.
void search_settle_pilot(struct search *s) {
    const struct regulator *r = s->e.regulator;
    double source = source_pressure(s);
    put_supply(s, source);
    double exhaust = s->e.side[r->ends.pilot_exhaust].pressure;
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

// The other way round, when the set screw is what is looked for: the plug is where it is, so the
// chamber must hold it,
//     p_ch = p_exhaust - (force with the chamber emptied)/(sigma_a A),
// and the pilot must be open so far that it holds that pressure in the chamber. Where no chamber
// pressure between feed and exhaust does the one, or no pilot travel the other, it lies at a stop.
void search_balance_pilot(struct search *s) {
    const struct regulator *r = s->e.regulator;
    const struct actuator_parameters *a = &r->parameters.actuator;
    double source = source_pressure(s);
    double exhaust = s->e.side[r->ends.pilot_exhaust].pressure;
    double end = r->parameters.pilot.travel;
    put_supply(s, source);
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

// What the end of its line gives is taken from where the line begins.
void search_pilot_draws(struct search *s) {
    const struct regulator *r = s->e.regulator;
    evaluation_pilot_flows(&s->e);
    if (r->has_line[LINE_SUPPLY]) {
        s->e.mass_rate[r->line_far[LINE_SUPPLY]] += s->e.mass_rate[NODE_FEED];
    }
}
