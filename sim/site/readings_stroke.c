// SPDX-License-Identifier: MIT
#include "site/readings_stroke.h"

#include "models/actuator.h"
#include "models/flow.h"
#include "models/gas.h"
#include "models/pilot.h"
#include "models/trim.h"

#include <math.h>

enum { STEPS = 40 };

// Pressures about the regulator while it is stroked.
struct service {
    double held, line, supply, exhaust, atmosphere;
};

static struct service service_of(const struct scenario_case *c) {
    const struct regulator_parameters *m = &c->model;
    const double line = schedule_value(&m->boundary, schedule_piece(&m->boundary, 0.0), 0.0);
    const bool back = m->duty == DUTY_BACK_PRESSURE;
    const double up = back ? c->set_pressure : line;
    const double down = back ? line : c->set_pressure;
    return (struct service){
        .held = up,
        .line = down,
        .supply = m->pilot.supply_from == SUPPLY_STATED ? m->pilot_supply_pressure : up,
        .exhaust = m->pilot.exhaust_to == REFERENCE_DOWNSTREAM ? down : m->atmosphere,
        .atmosphere = m->atmosphere};
}

// Chamber pressure that holds the plug at a travel against its friction.
static double chamber_at(const struct scenario_case *c, const struct service *s,
                         const struct trim *trim, double travel, double friction) {
    const struct regulator_parameters *m = &c->model;
    const struct actuator_parameters *a = &m->actuator;
    const double ratio = trim_curtain_ratio(trim, trim_opening(trim, travel));
    const double push = (s->held - s->line) * trim->port_area * (1.0 - m->trim.balance) *
                        trim_drop_share_liquid(ratio) *
                        (m->trim.direction == TRIM_FLOW_TO_CLOSE ? 1.0 : -1.0);
    const double outside = a->case_reference == REFERENCE_DOWNSTREAM ? s->line : s->atmosphere;
    return outside +
           (a->preload + a->spring_rate * travel + push + friction) /
               actuator_area(a->diaphragm_area, a->area_loss, m->trim.rated_travel, travel);
}

static double flow_between(const struct scenario_case *c, const struct nozzle *nozzle, double area,
                           double from, double to) {
    const struct regulator_parameters *m = &c->model;
    const struct flow_side a = {from, gas_density(&m->gas, from, m->temperature)};
    const struct flow_side b = {to, gas_density(&m->gas, to, m->temperature)};
    return flow_nozzle(nozzle, area, a, b, m->laminar_drop);
}

double readings_stroke(const struct scenario_case *c, bool opens) {
    const struct regulator_parameters *m = &c->model;
    if (m->actuation != ACTUATION_PILOT || m->phase != FLUID_GAS) {
        return (double)NAN;
    }
    const struct pilot_parameters *p = &m->pilot;
    const struct service s = service_of(c);
    const struct trim trim = trim_prepare(&m->trim);
    const struct nozzle nozzle = nozzle_prepare(m->gas.exponent);
    const double lift = opens ? p->travel : 0.0;
    const double supply = p->supply_discharge * pilot_seat_area(p->supply_diameter, lift);
    const double bleed =
        p->bleed_discharge *
        (p->exhaust == EXHAUST_THREE_WAY
             ? pilot_seat_area(p->bleed_diameter, pilot_exhaust_lift(p->exhaust_lap, lift))
             : 0.25 * acos(-1.0) * p->bleed_diameter * p->bleed_diameter);
    const double friction = m->actuator.friction.kinetic_force * (opens ? 1.0 : -1.0);
    double time = 0.0;
    double before = 0.0;
    for (int i = 0; i <= STEPS; i++) {
        const double share = (double)i / STEPS;
        const double travel = m->trim.rated_travel * (opens ? share : 1.0 - share);
        const double pressure = chamber_at(c, &s, &trim, travel, friction);
        const double held = gas_density(&m->gas, pressure, m->temperature) *
                            (m->actuator.chamber.volume +
                             actuator_sweep(m->actuator.diaphragm_area, m->actuator.area_loss,
                                            m->trim.rated_travel, travel));
        const double flow = flow_between(c, &nozzle, supply, s.supply, pressure) -
                            flow_between(c, &nozzle, bleed, pressure, s.exhaust);
        if (opens ? flow <= 0.0 : flow >= 0.0) {
            return (double)INFINITY;
        }
        time += i > 0 ? fmax((held - before) / flow, 0.0) : 0.0;
        before = held;
    }
    return time;
}
