// SPDX-License-Identifier: MIT
#include "regulator_static.h"

#include "regulator_search.h"
#include "root.h"

#include <math.h>

// A set pressure nearer to the atmosphere than that counts as that far from it [share of it]: ten
// per cent of nothing would ask the plug to be shut at the set pressure itself, where it is about
// to open. A tenth of it is 0.4 in of water; our own choice, no source.
#define LEAST_GAUGE 0.01

static struct regulator_static report(struct search *s) {
    const struct regulator *r = s->e.regulator;
    struct regulator_static out = {.travel = s->e.travel,
                                   .pilot_travel = s->e.lift,
                                   .sensed = s->e.sensed,
                                   .pilot_at_stop = s->pilot_at_stop};
    search_place_followers(s);
    out.force = search_plug_force(s);
    out.flow = fabs(search_inflow(s));
    for (int n = 0; n < NODE_COUNT; n++) {
        out.pressure[n] = s->e.side[r->source[n]].pressure;
    }
    double tolerance = 1e-6 * fmax(out.flow, 1e-9);
    out.balanced = fabs(s->miss) <= tolerance;
    return out;
}

// Where the pressure will be at a travel. A gas flow that does not change needs a pressure that
// goes as one over the opening: its inverse runs straight.
static double foresee(const struct regulator_static_memory *m, double travel) {
    double width = m->travel[0] - m->travel[1];
    double p0 = m->pressure[0], p1 = m->pressure[1];
    if (m->known < 2 || width == 0.0) {
        return p0;
    }
    double share = (travel - m->travel[0]) / width;
    double inverse = p0 > 0.0 && p1 > 0.0 ? 1.0 / p0 + (1.0 / p0 - 1.0 / p1) * share : 0.0;
    return inverse > 0.0 ? 1.0 / inverse : p0 + (p0 - p1) * share;
}

static void push(struct regulator_static_memory *m, double travel, double pressure) {
    m->travel[1] = m->travel[0];
    m->pressure[1] = m->pressure[0];
    m->travel[0] = travel;
    m->pressure[0] = pressure;
    m->known += m->known < 2;
}

static struct root_memory root_at(double x) {
    return (struct root_memory){.known = true, .x = x, .slope = (double)NAN};
}

void regulator_static_remember(const struct regulator_static *known,
                               struct regulator_static_memory *memory) {
    push(memory, known->travel, known->pressure[NODE_CONTROLLED]);
    memory->controlled = root_at(known->pressure[NODE_CONTROLLED]);
    memory->downstream = root_at(known->pressure[NODE_DOWNSTREAM]);
    memory->chamber = root_at(known->pressure[NODE_CHAMBER]);
    memory->supply = root_at(known->pressure[NODE_SUPPLY]);
    memory->flowline = root_at(known->pressure[NODE_FLOWLINE]);
    memory->inlet = root_at(known->pressure[NODE_INLET]);
    memory->outlet = root_at(known->pressure[NODE_OUTLET]);
    memory->feed = root_at(known->pressure[NODE_FEED]);
    memory->sensed = known->sensed;
}

struct regulator_static regulator_static_next(const struct regulator *regulator,
                                              const struct regulator_mode *mode, double time,
                                              double travel,
                                              struct regulator_static_memory *memory) {
    struct search s;
    search_begin(&s, regulator, mode, time, memory);
    search_place_plug(&s, travel);
    memory->controlled.x = foresee(memory, travel);
    double pressure =
        root_near(search_controlled_miss, &s, s.floor, s.ceiling, s.scale, &memory->controlled);
    push(memory, travel, pressure);
    return report(&s);
}

struct regulator_static regulator_static_at(const struct regulator *regulator,
                                            const struct regulator_mode *mode, double time,
                                            double travel) {
    struct regulator_static_memory memory = {0};
    return regulator_static_next(regulator, mode, time, travel, &memory);
}

double regulator_static_shut_force(const struct regulator *r, const struct regulator_mode *mode,
                                   double time) {
    struct search s;
    struct regulator_static_memory memory = {0};
    search_begin(&s, r, mode, time, &memory);
    const struct regulator_parameters *p = &r->parameters;
    double set =
        p->set_is_force ? p->flow_reference : schedule_value(&p->set_point, mode->set_piece, time);
    bool back = p->duty == DUTY_BACK_PRESSURE;
    double gauge = fmax(fabs(set - p->atmosphere), LEAST_GAUGE * p->atmosphere);
    double away = 0.1 * gauge * (back ? -1.0 : 1.0);
    double boundary = s.e.side[NODE_BOUNDARY].pressure;
    search_put(&s, NODE_CONTROLLED, set + away);
    if (back) {
        search_put(&s, NODE_DOWNSTREAM, boundary);
    }
    search_place_plug(&s, 0.0);
    s.pilot = PILOT_SHUT;
    search_still_lines(&s);
    if (r->has_pilot) {
        search_put(&s, NODE_SUPPLY, s.e.side[r->ends.pilot_feed].pressure);
        search_put(&s, NODE_CHAMBER, s.e.side[r->ends.pilot_exhaust].pressure);
    }
    search_all_flows(&s);
    return report(&s).force;
}

// Flow left over in the controlled volume [kg/s] at a travel [m], at the set pressure.
static double set_miss(void *context, double travel) {
    struct search *s = context;
    search_place_plug(s, travel);
    const struct schedule *set = &s->e.regulator->parameters.set_point;
    return search_controlled_miss(s, schedule_value(set, s->e.mode->set_piece, s->e.time));
}

bool regulator_static_passes(const struct regulator *r, const struct regulator_mode *mode,
                             double time) {
    struct search s;
    struct regulator_static_memory memory = {0};
    search_begin(&s, r, mode, time, &memory);
    s.pilot = PILOT_BALANCES;
    return (set_miss(&s, 0.0) > 0.0) != (set_miss(&s, r->parameters.trim.rated_travel) > 0.0);
}

double regulator_static_set_offset(const struct regulator *r, const struct regulator_mode *mode,
                                   double time) {
    struct search s;
    struct regulator_static_memory memory = {0};
    search_begin(&s, r, mode, time, &memory);
    s.pilot = PILOT_BALANCES;
    double rated = r->parameters.trim.rated_travel;
    double shut = set_miss(&s, 0.0), open = set_miss(&s, rated);
    if ((shut > 0.0) == (open > 0.0)) {
        return (double)NAN;
    }
    set_miss(&s,
             root_bracketed(set_miss, &s, 0.0, rated, 1e-14)); // leave everything as at the root
    if (!r->has_pilot) { // the spring carries what the rest of the forces leave
        return report(&s).force / r->spring_side;
    }
    if (s.pilot_at_stop) {
        return (double)NAN;
    }
    struct pilot_pressures pressures = {
        s.e.sensed, r->parameters.atmosphere, search_pressure(&s, NODE_CHAMBER),
        s.e.side[r->ends.pilot_exhaust].pressure, search_pressure(&s, NODE_SUPPLY)};
    double force = pilot_force(&r->pilot_forces, &pressures, evaluation_set_force(&s.e), s.e.lift);
    return force / r->pilot_forces.sign;
}
