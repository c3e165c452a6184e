// SPDX-License-Identifier: MIT
#include "fixtures.h"

#include <math.h>

static const double PI = 3.14159265358979323846;
static const double INCH = 0.0254, PSI = 6894.757293168361, POUND = 0.45359237;
static const double POUND_FORCE = 4.4482216152605;
static const double ATMOSPHERE = 101325.0;

struct regulator_parameters fixture_still(enum regulator_duty duty) {
    struct regulator_parameters p = {
        .duty = duty,
        .actuation = ACTUATION_DIRECT,
        .phase = FLUID_LIQUID,
        .liquid = {.density = 1000.0,
                   .bulk_modulus = 2e9,
                   .critical_pressure = 22.064e6,
                   .viscosity = 1e-3},
        .temperature = 300.0,
        .atmosphere = ATMOSPHERE,
        .laminar_drop = 1.0,
        .controlled = {.volume = 1.0},
        .flow = schedule_constant(0.0),
        .level = schedule_constant(0.0),
        .boundary = schedule_constant(ATMOSPHERE),
        .set_point = schedule_constant(ATMOSPHERE),
        .set_is_force = true,
    };
    p.trim = (struct trim_parameters){.port_diameter = 0.01,
                                      .rated_travel = 1.0,
                                      .discharge_coefficient = 1.0,
                                      .characteristic = TRIM_SLOT,
                                      .slot_width = 1e-3,
                                      .flow_law = TRIM_FLOW_NOZZLE,
                                      .choking_ratio = 0.7,
                                      .recovery_factor = 1.0,
                                      .piping_factor = 1.0,
                                      .force_law = TRIM_FORCE_BALANCED};
    p.actuator.diaphragm_area = 1e-3;
    p.actuator.moving_mass = 1.0;
    p.actuator.seat = (struct contact_parameters){.stiffness = 1e7, .index = 1.0};
    p.actuator.stop = p.actuator.seat;
    return p;
}

struct regulator_parameters fixture_ball(double rest_speed) {
    struct regulator_parameters p = fixture_still(DUTY_BACK_PRESSURE);
    p.trim.rated_travel = 1e-4;
    p.trim.slot_width = 0.0;
    p.actuator.diaphragm_area = 0.0;
    p.actuator.preload = 9.81;
    p.actuator.seat.law = CONTACT_RIGID;
    p.actuator.seat.restitution = 0.8;
    p.actuator.seat.rest_speed = rest_speed;
    return p;
}

struct regulator_parameters fixture_relief_valve(double beta, double kappa, double flow) {
    struct regulator_parameters p = fixture_still(DUTY_BACK_PRESSURE);
    const double density = 1000.0, discharge = 0.6;
    p.liquid.density = density;
    p.controlled.volume = 1e-3;
    p.liquid.bulk_modulus = 1e-3 / (1.5811388300841897e-13 * 20.0 / beta);
    p.flow = schedule_constant(density * flow * 3.1622776601683795e-4);
    p.trim.rated_travel = 0.010;
    p.trim.discharge_coefficient = discharge;
    p.trim.slot_width = 1e-3 / (discharge * sqrt(2.0 / density)); // C = Cd b sqrt(2/rho) = 1e-3
    p.actuator.diaphragm_area = 1e-4;
    p.actuator.spring_rate = 1e4;
    p.actuator.preload = 100.0; // spring rate x 10 mm
    p.actuator.moving_mass = 0.010;
    p.actuator.damping = 10.0 * kappa;
    p.actuator.seat.law = CONTACT_RIGID;
    p.actuator.seat.restitution = 0.8;
    p.actuator.seat.rest_speed = 1e-6;
    return p;
}

struct regulator_parameters fixture_routh(double damping, bool load_follows) {
    struct regulator_parameters p = fixture_still(DUTY_REDUCING);
    p.phase = FLUID_GAS;
    p.gas = (struct gas_properties){.molar_mass = GAS_CONSTANT / 287.05,
                                    .exponent = 1.4,
                                    .compressibility = 1.0,
                                    .viscosity = 1.8e-5};
    p.temperature = 293.15;
    p.isothermal = true;
    p.controlled.volume = 0.010;
    p.boundary = schedule_constant(10e5);
    p.trim.rated_travel = 0.002;
    p.trim.discharge_coefficient = 0.8;
    p.trim.slot_width = PI * 0.020;
    p.actuator.diaphragm_area = 0.01;
    p.actuator.spring_rate = 20e3;
    p.actuator.preload = (2e5 - ATMOSPHERE) * 0.01 + 20e3 * 1e-3;
    p.actuator.moving_mass = 0.2;
    p.actuator.damping = damping;
    // Demand: what the trim passes at 1 mm, choked: written out from the gas laws, not the model.
    const double k = 1.4, critical = pow(2.0 / (k + 1.0), (k + 1.0) / (k - 1.0));
    const double area = 0.8 * PI * 0.020 * 1e-3;
    p.flow = schedule_constant(area * 10e5 * sqrt(k * critical / (287.05 * 293.15)));
    p.demand = load_follows ? DEMAND_ORIFICE : DEMAND_CONSTANT;
    p.flow_reference = 2e5;
    p.demand_outlet = 1e4;
    return p;
}

static void fill_pilot(struct pilot_parameters *pilot) {
    *pilot = (struct pilot_parameters){
        .moving_mass = 0.3 * POUND,
        .damping = 60.0,
        .spring_rate = 3314.0 * POUND_FORCE / INCH,
        .travel = 0.03 * INCH,
        .diaphragm_area = 3.75 * INCH * INCH,
        .feedback_area = 0.757 * INCH * INCH,
        .supply_diameter = 0.091 * INCH,
        .supply_discharge = 0.8,
        .bleed_diameter = 0.100 * INCH,
        .bleed_discharge = 0.8,
        .exhaust_to = REFERENCE_DOWNSTREAM,
        .stops = {.law = CONTACT_COMPLIANT, .stiffness = 1e8, .index = 1.0, .damping = 0.5},
    };
}

struct regulator_parameters fixture_pilot_gas(double port, double stem_friction) {
    struct regulator_parameters p = fixture_still(DUTY_BACK_PRESSURE);
    p.actuation = ACTUATION_PILOT;
    p.phase = FLUID_GAS;
    p.gas = (struct gas_properties){
        .molar_mass = 0.0188, .exponent = 1.27, .compressibility = 1.0, .viscosity = 1.1e-5};
    p.laminar_drop = 50.0;
    p.set_is_force = false;
    p.controlled.volume = 8.0 * pow(12.0 * INCH, 3.0);
    p.flow = schedule_constant(0.15e6 / 86400.0 * POUND * 1e3 / 379.483 * 0.0188);
    p.boundary = schedule_constant(ATMOSPHERE + 15.0 * PSI);
    p.set_point = schedule_constant(ATMOSPHERE + 50.0 * PSI);
    p.trim.port_diameter = port;
    p.trim.seat_land = 0.06 * INCH;
    p.trim.rated_travel = 0.76 * INCH;
    p.trim.discharge_coefficient = 0.75;
    p.trim.characteristic = TRIM_CURTAIN;
    p.trim.force_law = TRIM_FORCE_SERIES;
    struct actuator_parameters *a = &p.actuator;
    a->diaphragm_area = 38.0 * INCH * INCH;
    a->area_loss = 0.1;
    a->spring_rate = 1474.0 * POUND_FORCE / INCH;
    a->preload = 87.0 * POUND_FORCE;
    a->moving_mass = 6.0 * POUND;
    a->damping = 514.0;
    a->case_reference = REFERENCE_DOWNSTREAM;
    a->chamber.volume = 98.0 * INCH * INCH * INCH;
    a->swept_volume = true;
    a->friction = (struct friction_parameters){.static_force = 1.3 * stem_friction,
                                               .kinetic_force = stem_friction,
                                               .stribeck_speed = 2e-3,
                                               .bristle_stiffness = 2e6,
                                               .bristle_damping = 2e3};
    a->seat = (struct contact_parameters){
        .law = CONTACT_COMPLIANT, .stiffness = 5e7, .index = 1.0, .damping = 0.5};
    a->stop = a->seat;
    p.sense = (struct sense_parameters){.passage = SENSE_ORIFICE,
                                        .bore = 0.087 * INCH,
                                        .length = 60.0 * 0.087 * INCH,
                                        .discharge = 0.8,
                                        .cavity = {.volume = 3.0 * INCH * INCH * INCH}};
    fill_pilot(&p.pilot);
    return p;
}

// Optional parts, one bit each.
enum { VOLUMES = 1, LAMINAR = 2, INERTANCE = 4, THREE_WAY = 8, BACKLASH = 16, ISOTHERMAL = 32 };
enum { REDUCING = 64, DIRECT = 128, LIQUID = 256, CAP = 512, RIGID = 1024, SUPPLY = 2048 };

static void add_parts(struct regulator_parameters *p, int parts) {
    if (parts & VOLUMES) {
        p->downstream = (struct volume_parameters){0.05, 2.0};
        p->downstream_outlet_area = 1e-3;
        p->actuator.spring_case = (struct volume_parameters){2e-3, 0.5};
        p->actuator.case_vent_diameter = 0.002;
        p->actuator.case_vent_discharge = 0.8;
        p->flowline = (struct volume_parameters){0.1, 0.0};
        p->flowline_diameter = 0.03;
        p->well_pressure = 9e5;
        p->flow_reference = 4e5;
    }
    if (parts & LAMINAR) {
        p->sense.passage = SENSE_LAMINAR;
        p->liquid.viscosity = 1e-3;
    }
    p->sense.inertance = (parts & INERTANCE) != 0;
    if (parts & THREE_WAY) {
        p->pilot.exhaust = EXHAUST_THREE_WAY;
        p->pilot.exhaust_lap = 4e-4;
        p->pilot.seat_unbalance = 0.5;
        p->pilot.friction = p->actuator.friction;
    }
    if (parts & BACKLASH) {
        p->actuator.backlash = 2e-4;
        p->actuator.backlash_time = 1e-3;
        p->actuator.oil =
            (struct oil_damper_parameters){0.01, 0.004, 0.02, 870.0, 0.05, 0.7, 0.003};
        p->actuator.stem = STEM_WEIGHT_CLOSES;
    }
    p->isothermal = (parts & ISOTHERMAL) != 0;
    p->actuator.seat.restitution = p->actuator.stop.restitution = 0.3;
    if (parts & RIGID) {
        p->actuator.seat.law = p->actuator.stop.law = p->pilot.stops.law = CONTACT_RIGID;
        p->actuator.seat.rest_speed = p->actuator.stop.rest_speed = 1e-3;
        p->pilot.stops.rest_speed = 1e-3;
    }
    if (parts & SUPPLY) {
        p->pilot.supply_from = SUPPLY_STATED;
        p->pilot_supply_pressure = 7e5;
        p->pilot.supply_volume = (struct volume_parameters){1e-3, 0.0};
        p->pilot.supply_line_diameter = 0.003;
        p->pilot.exhaust_to = REFERENCE_ATMOSPHERE;
    }
    p->gas_cap = parts & CAP ? 0.01 : 0.0;
    p->gas_cap_pressure = 4e5;
}

struct regulator_parameters fixture_variant(int index) {
    static const int list[FIXTURE_VARIANTS] = {
        0,
        VOLUMES | LAMINAR | SUPPLY,
        INERTANCE | THREE_WAY | BACKLASH,
        REDUCING | RIGID,
        REDUCING | LAMINAR | INERTANCE | VOLUMES | SUPPLY,
        DIRECT | VOLUMES,
        DIRECT | REDUCING | ISOTHERMAL | BACKLASH,
        ISOTHERMAL | THREE_WAY | RIGID | VOLUMES,
        LIQUID | DIRECT | CAP,
        LIQUID | LAMINAR | SUPPLY | VOLUMES,
        LIQUID | REDUCING | DIRECT | INERTANCE,
        LIQUID | REDUCING | THREE_WAY | RIGID | BACKLASH,
    };
    int parts = list[index];
    struct regulator_parameters p = fixture_pilot_gas(0.07, 20.0);
    add_parts(&p, parts);
    if (parts & LIQUID) {
        p.phase = FLUID_LIQUID;
        p.liquid.vapour_pressure = 3e3;
        p.flow = schedule_constant(3.0);
    }
    if (parts & REDUCING) {
        p.duty = DUTY_REDUCING;
        p.boundary = schedule_constant(9e5);
        p.demand = DEMAND_ORIFICE;
        p.flow_reference = 4.5e5;
        p.demand_outlet = 1e5;
    }
    if (parts & DIRECT) { // the diaphragm sweeps the sensing cavity
        p.actuation = ACTUATION_DIRECT;
        p.sense.cavity.volume = 2e-3;
    }
    return p;
}

struct regulator_mode fixture_random_state(const struct regulator *r, unsigned long long *seed,
                                           double *state) {
    const struct regulator_layout *l = &r->layout;
    double pressure[NODE_COUNT];
    for (int n = 0; n < NODE_FEED; n++) {
        pressure[n] = 1.2e5 + 7e5 * fixture_random(seed);
    }
    pressure[NODE_FEED] = pressure[NODE_SUPPLY];
    struct regulator_mode mode = regulator_mode_at(r, 0.0);
    double travel = r->parameters.trim.rated_travel * (1.1 * fixture_random(seed) - 0.01);
    double lift = r->parameters.pilot.travel * (1.1 * fixture_random(seed) - 0.01);
    regulator_rest_state(r, &mode, 0.0, &(struct regulator_rest){travel, lift, pressure}, state);
    const int scaled[] = {l->speed, l->bristle, l->pilot_speed, l->pilot_bristle, l->sense_flow};
    for (int i = 0; i < 5; i++) {
        if (scaled[i] >= 0) {
            state[scaled[i]] = (2.0 * fixture_random(seed) - 1.0) * l->slot[scaled[i]].scale;
        }
    }
    for (int n = 0; n < NODE_VOLUMES; n++) { // some gas warmer, some colder
        if (l->energy[n] >= 0) {
            state[l->energy[n]] *= 0.8 + 0.4 * fixture_random(seed);
        }
    }
    return mode;
}

struct regulator_mode fixture_rest(const struct regulator *regulator, double travel,
                                   double pressure, double *state) {
    double all[NODE_COUNT];
    for (int n = 0; n < NODE_COUNT; n++) {
        all[n] = pressure;
    }
    struct regulator_mode mode = regulator_mode_at(regulator, 0.0);
    regulator_rest_state(regulator, &mode, 0.0, &(struct regulator_rest){travel, 0.0, all}, state);
    return mode;
}

double fixture_random(unsigned long long *seed) {
    *seed = *seed * 6364136223846793005ULL + 1442695040888963407ULL; // Knuth, MMIX
    return (double)(*seed >> 11) * 0x1p-53;
}
