// SPDX-License-Identifier: MIT
// Preparation: which states this build carries, and what does not change in a run.
#include "regulator.h"

#include "regulator_lines.h"

#include <math.h>
#include <string.h>

#define QUARTER_PI 0.7853981633974483
#define GRAVITY 9.80665 // standard gravity [m/s2], ISO 80000-3

static double hole_area(double diameter) {
    return QUARTER_PI * diameter * diameter;
}

static int add_slot(struct regulator_layout *layout, const char *name, const char *unit,
                    double scale) {
    int index = layout->count++;
    layout->slot[index] = (struct regulator_slot){name, unit, scale};
    return index;
}

const struct volume_parameters *regulator_volume(const struct regulator_parameters *p, int node) {
    const struct volume_parameters *const table[NODE_VOLUMES] = {
        &p->controlled, &p->actuator.chamber,     &p->sense.cavity, &p->pilot.supply_volume,
        &p->downstream, &p->actuator.spring_case, &p->flowline};
    return table[node];
}

static bool has_volume(const struct regulator_parameters *p, enum regulator_node node) {
    if (regulator_volume(p, (int)node)->volume <= 0.0) {
        return false;
    }
    switch (node) {
    case NODE_CHAMBER:
    case NODE_SUPPLY:
        return p->actuation == ACTUATION_PILOT;
    case NODE_CAVITY:
        return p->sense.passage != SENSE_IDEAL;
    case NODE_DOWNSTREAM:
    case NODE_FLOWLINE:
        return p->duty == DUTY_BACK_PRESSURE;
    default:
        return true;
    }
}

// The one place that knows which role lies where; regulator_prepare then puts the nodes in.
//
//     back-pressure   well - flowline - CONTROLLED =trim= DOWNSTREAM - boundary
//     reducing                           BOUNDARY  =trim= CONTROLLED - demand
//
// A line lies between the trim and that node, and its end at the trim, INLET or OUTLET, takes the
// node's place.
// The pilot is fed from before the trim, or from a stated pressure, if there is one through a line,
// whose end FEED takes that place; what it lets out, and the spring case, go behind the trim or
// into the open.
static struct regulator_ends ends_by_role(const struct regulator *r) {
    const struct regulator_parameters *p = &r->parameters;
    bool back = p->duty == DUTY_BACK_PRESSURE;
    int up = r->has_line[LINE_BEFORE] ? NODE_INLET : back ? NODE_CONTROLLED : NODE_BOUNDARY;
    int down = r->has_line[LINE_AFTER] ? NODE_OUTLET : back ? NODE_DOWNSTREAM : NODE_CONTROLLED;
    bool open_case = p->actuator.case_reference == REFERENCE_ATMOSPHERE;
    return (struct regulator_ends){
        .trim_up = up,
        .trim_down = down,
        .pilot_feed = r->has_line[LINE_SUPPLY]                ? NODE_FEED
                      : p->pilot.supply_from == SUPPLY_STATED ? NODE_STATED_SUPPLY
                                                              : up,
        .pilot_exhaust = p->pilot.exhaust_to == REFERENCE_ATMOSPHERE ? NODE_ATMOSPHERE : down,
        .case_outside = open_case ? NODE_ATMOSPHERE : down,
    };
}

// Where a role without a volume of its own reads its state.
static int stand_in(const struct regulator_ends *ends, int node) {
    switch (node) {
    case NODE_CAVITY:
        return NODE_SENSE;
    case NODE_FLOWLINE:
        return NODE_CONTROLLED;
    case NODE_CHAMBER: // a direct build has none
        return NODE_ATMOSPHERE;
    case NODE_SUPPLY:
        return ends->pilot_feed;
    case NODE_DOWNSTREAM:
        return NODE_BOUNDARY;
    case NODE_CASE:
        return ends->case_outside;
    default:
        return node;
    }
}

static void map_nodes(struct regulator *r) {
    const struct regulator_parameters *p = &r->parameters;
    struct regulator_ends ends = ends_by_role(r);
    for (int n = 0; n < NODE_COUNT; n++) {
        r->source[n] = n;
    }
    if (!p->sense.tap_on_line || !r->has_line[regulator_line_held(p)]) {
        r->source[NODE_TAP] = NODE_CONTROLLED;
    } else if (p->sense.tap_distance <= 0.0) {
        r->source[NODE_TAP] = regulator_line_near(regulator_line_held(p));
    }
    if (!r->has_line[LINE_SENSE]) {
        r->source[NODE_SENSE] = r->source[NODE_TAP];
    }
    if (!r->has_line[LINE_LOADING]) {
        r->source[NODE_LOADING] = NODE_CHAMBER;
    }
    for (int n = 0; n < NODE_VOLUMES; n++) {
        if (!has_volume(p, (enum regulator_node)n)) {
            r->source[n] = stand_in(&ends, n);
        }
    }
    // One stand-in may name another (case -> downstream -> boundary).
    for (int n = 0; n < NODE_VOLUMES; n++) {
        r->source[n] = r->source[r->source[n]];
    }
    r->source[NODE_LOADING] = r->source[r->source[NODE_LOADING]];
    r->ends = (struct regulator_ends){
        .trim_up = r->source[ends.trim_up],
        .trim_down = r->source[ends.trim_down],
        .pilot_feed = r->source[ends.pilot_feed],
        .pilot_exhaust = r->source[ends.pilot_exhaust],
        .case_outside = r->source[ends.case_outside],
    };
    r->source[NODE_FEED] = r->ends.pilot_feed;
}

static void lay_out_motion(struct regulator *r) {
    const struct regulator_parameters *p = &r->parameters;
    struct regulator_layout *l = &r->layout;
    double travel = p->trim.rated_travel;
    l->travel = add_slot(l, "plug travel", "m", travel);
    l->speed = add_slot(l, "plug speed", "m/s", 10.0 * travel);
    if (r->has_friction) {
        l->bristle =
            add_slot(l, "stem bristle", "m",
                     p->actuator.friction.static_force / p->actuator.friction.bristle_stiffness);
    }
    if (p->actuator.backlash > 0.0) {
        l->plug = add_slot(l, "plug opening", "m", travel);
    }
    if (r->has_pilot) {
        l->pilot_travel = add_slot(l, "pilot travel", "m", p->pilot.travel);
        if (p->pilot.moving_mass > 0.0) {
            l->pilot_speed = add_slot(l, "pilot speed", "m/s", 1000.0 * p->pilot.travel);
        }
        if (r->has_pilot_friction) {
            l->pilot_bristle =
                add_slot(l, "pilot bristle", "m",
                         p->pilot.friction.static_force / p->pilot.friction.bristle_stiffness);
        }
    }
}

static double reference_pressure(const struct regulator_parameters *p) {
    return p->flow_reference > 0.0 ? p->flow_reference : p->atmosphere;
}

static void lay_out_volumes(struct regulator *r) {
    static const char *const mass_name[NODE_VOLUMES] = {
        "controlled mass", "chamber mass", "cavity mass",  "supply mass",
        "downstream mass", "case mass",    "flowline mass"};
    static const char *const energy_name[NODE_VOLUMES] = {
        "controlled energy", "chamber energy", "cavity energy",  "supply energy",
        "downstream energy", "case energy",    "flowline energy"};
    static const char *const excess_name[NODE_VOLUMES] = {
        "controlled excess volume", "chamber excess volume",    "cavity excess volume",
        "supply excess volume",     "downstream excess volume", "case excess volume",
        "flowline excess volume"};
    const struct regulator_parameters *p = &r->parameters;
    struct regulator_layout *l = &r->layout;
    double pressure = reference_pressure(p);
    for (int n = 0; n < NODE_VOLUMES; n++) {
        if (r->source[n] != n) {
            continue;
        }
        double volume = r->size[n];
        if (r->liquid) {
            r->compliance[n] = volume / p->liquid.bulk_modulus;
            double give =
                n == NODE_CONTROLLED && p->gas_cap > 0.0 ? p->gas_cap / pressure : r->compliance[n];
            l->mass[n] = add_slot(l, excess_name[n], "m3", give * pressure);
            continue;
        }
        l->mass[n] = add_slot(l, mass_name[n], "kg", volume * pressure / r->pressure_per_density);
        if (r->thermal) {
            l->energy[n] =
                add_slot(l, energy_name[n], "J", volume * pressure / (p->gas.exponent - 1.0));
        }
    }
    if (p->sense.inertance && p->sense.passage != SENSE_IDEAL) {
        double density = r->liquid ? p->liquid.density : pressure / r->pressure_per_density;
        l->sense_flow = add_slot(l, "sense line flow", "kg/s",
                                 hole_area(p->sense.bore) * sqrt(density * 0.01 * pressure));
    }
}

static void lay_out_totals(struct regulator *r) {
    struct regulator_layout *l = &r->layout;
    double mass = l->slot[l->mass[NODE_CONTROLLED]].scale;
    if (r->liquid) {
        mass *= r->parameters.liquid.density;
    }
    l->mass_in = add_slot(l, "mass in", "kg", mass);
    l->mass_out = add_slot(l, "mass out", "kg", mass);
    if (r->thermal) {
        double energy = l->slot[l->energy[NODE_CONTROLLED]].scale;
        l->energy_in = add_slot(l, "energy in", "J", energy);
        l->energy_out = add_slot(l, "energy out", "J", energy);
    }
}

static void lay_out(struct regulator *r) {
    struct regulator_layout *l = &r->layout;
    l->bristle = l->plug = l->pilot_travel = l->pilot_speed = l->pilot_bristle = -1;
    l->sense_flow = l->energy_in = l->energy_out = -1;
    for (int n = 0; n < NODE_VOLUMES; n++) {
        l->mass[n] = l->energy[n] = -1;
    }
    lay_out_motion(r);
    lay_out_volumes(r);
    regulator_lines_lay_out(r, reference_pressure(&r->parameters));
    lay_out_totals(r);
}

static void prepare_passages(struct regulator *r) {
    const struct regulator_parameters *p = &r->parameters;
    double area = hole_area(p->sense.bore);
    struct line *line = &r->sense_line;
    *line = (struct line){.laminar = p->sense.passage == SENSE_LAMINAR,
                          .gas = !r->liquid,
                          .flow_area = p->sense.discharge * area,
                          .inertance = area > 0.0 ? p->sense.length / area : 0.0};
    double viscosity = r->liquid ? p->liquid.viscosity : p->gas.viscosity;
    line->creep = area > 0.0 ? flow_creep(p->sense.bore, p->sense.length, viscosity) : 0.0;
    if (line->laminar) {
        line->conductance =
            r->liquid ? flow_laminar_liquid_conductance(p->sense.bore, p->sense.length,
                                                        p->liquid.viscosity, p->liquid.density)
                      : flow_laminar_gas_conductance(p->sense.bore, p->sense.length,
                                                     p->gas.viscosity, p->gas.molar_mass,
                                                     p->gas.compressibility * p->temperature);
    }
    r->tap_area = hole_area(p->sense.tap_bore);
    r->vent_area = p->actuator.case_vent_discharge * hole_area(p->actuator.case_vent_diameter);
    r->bleed_area = p->pilot.bleed_discharge * hole_area(p->pilot.bleed_diameter);
    r->supply_line_area = 0.8 * hole_area(p->pilot.supply_line_diameter);
    r->flowline_area = 0.8 * hole_area(p->flowline_diameter);
}

static void prepare_pilot(struct regulator *r) {
    const struct pilot_parameters *p = &r->parameters.pilot;
    bool three_way = p->exhaust == EXHAUST_THREE_WAY;
    r->pilot_forces = (struct pilot_forces){
        .sign = r->parameters.duty == DUTY_BACK_PRESSURE ? 1.0 : -1.0,
        .diaphragm_area = p->diaphragm_area,
        .feedback_area = p->feedback_area,
        .spring_rate = p->spring_rate,
        .supply_diameter = p->supply_diameter,
        .supply_area = p->seat_unbalance * hole_area(p->supply_diameter),
        .exhaust_diameter = p->bleed_diameter,
        .exhaust_area = three_way ? p->seat_unbalance * hole_area(p->bleed_diameter) : 0.0,
        .lap = three_way ? p->exhaust_lap : 0.0,
    };
}

static void set_edge(struct regulator *r, int node, double pressure) {
    bool liquid = r->liquid;
    struct flow_side *side = &r->edge[node - NODE_VOLUMES];
    side->pressure = pressure;
    side->density = liquid ? r->parameters.liquid.density : pressure / r->pressure_per_density;
    if (r->thermal) { // h = k/(k-1) Z R T/M
        double k = r->parameters.gas.exponent;
        r->edge_enthalpy[node - NODE_VOLUMES] = k / (k - 1.0) * r->pressure_per_density;
    }
}

// What a derivative would else work out at every call.
static void prepare_nodes(struct regulator *r) {
    const struct regulator_parameters *p = &r->parameters;
    for (int n = 0; n < NODE_VOLUMES; n++) {
        if (r->source[n] == n) {
            r->volume[r->volumes++] = n;
            r->size[n] = regulator_volume(p, n)->volume + r->line_share[n];
            r->wall[n] = regulator_volume(p, n)->wall_conductance;
        }
    }
    set_edge(r, NODE_BOUNDARY, p->boundary.base);
    set_edge(r, NODE_ATMOSPHERE, p->atmosphere);
    set_edge(r, NODE_WELL, p->well_pressure);
    set_edge(r, NODE_STATED_SUPPLY, p->pilot_supply_pressure);
}

void regulator_prepare(struct regulator *r, const struct regulator_parameters *parameters) {
    const struct nozzle none = {0};
    regulator_prepare_with(r, parameters, &none);
}

void regulator_prepare_with(struct regulator *r, const struct regulator_parameters *parameters,
                            const struct nozzle *nozzle) {
    memset(r, 0, sizeof *r);
    r->parameters = *parameters;
    const struct regulator_parameters *p = &r->parameters;
    r->liquid = p->phase == FLUID_LIQUID;
    r->thermal = !r->liquid && !p->isothermal;
    r->has_pilot = p->actuation == ACTUATION_PILOT;
    r->has_friction = p->actuator.friction.static_force > 0.0;
    r->has_pilot_friction =
        r->has_pilot && p->pilot.friction.static_force > 0.0 && p->pilot.moving_mass > 0.0;
    bool back = p->duty == DUTY_BACK_PRESSURE;
    r->action = r->has_pilot || back ? 1.0 : -1.0;
    r->spring_side = r->action;
    r->pressure_per_density =
        r->liquid ? 0.0
                  : p->gas.compressibility * GAS_CONSTANT * p->temperature / p->gas.molar_mass;
    if (!r->liquid) {
        const double exponent = p->gas.exponent;
        r->nozzle = nozzle->exponent == exponent ? *nozzle : nozzle_prepare(exponent);
        r->heat_ratio = p->gas.exponent / 1.4;
    }
    r->fittings = fittings_prepare(&p->fittings);
    r->has_fittings = r->fittings.loss != 0.0 || r->fittings.inlet != 0.0;
    r->trim = trim_prepare(&p->trim);
    r->seat = seat_prepare(p->trim.port_diameter, p->trim.seat_land,
                           r->liquid ? p->liquid.viscosity : p->gas.viscosity);
    r->stem_area = hole_area(p->actuator.stem_diameter);
    r->solid_mass = p->actuator.moving_mass + p->trim.moving_mass;
    r->moving_mass = r->solid_mass + damper_oil_mass(&p->actuator.oil);
    double side = p->actuator.stem == STEM_HORIZONTAL      ? 0.0
                  : p->actuator.stem == STEM_WEIGHT_CLOSES ? -1.0
                                                           : 1.0;
    r->weight = side * GRAVITY * r->solid_mass;
    prepare_pilot(r);
    // A set screw gives a fixed force: it is turned with the downstream pressure at the start.
    r->set_reference = p->actuator.case_reference == REFERENCE_DOWNSTREAM && back
                           ? schedule_value(&p->boundary, schedule_piece(&p->boundary, 0.0), 0.0)
                           : p->atmosphere;
    prepare_passages(r);
    regulator_lines_find(r);
    map_nodes(r);
    regulator_lines_prepare(r);
    prepare_nodes(r);
    lay_out(r);
}

struct regulator_mode regulator_mode_at(const struct regulator *r, double time) {
    const struct regulator_parameters *p = &r->parameters;
    return (struct regulator_mode){
        .flow_piece = schedule_piece(&p->flow, time),
        .boundary_piece = schedule_piece(&p->boundary, time),
        .set_piece = schedule_piece(&p->set_point, time),
        .level_piece = schedule_piece(&p->level, time),
    };
}
