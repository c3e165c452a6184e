// SPDX-License-Identifier: MIT
// Rules for what a scenario leaves out. Each is told in the field table as "= ...".
#include "scenario/scenario_resolution.h"

#include <math.h>
#include <string.h>

// Static over kinetic friction when only one is known: common practice, no source.
#define STATIC_OVER_KINETIC 1.3
// Travel before a stuck stem slides [m]; of the order measured on valve stems; no source.
#define STEM_PRESLIDING 20e-6
#define PILOT_PRESLIDING 2e-6
#define SHUTOFF_SHARE 0.05
// Length of a sense orifice over its bore when none is given: a short sense line. It is then
// laminar up to Re 2500, where the flow in a tube turns turbulent anyway. Common practice, no
// source.
#define ORIFICE_BORES 60.0
#define LIQUID_VISCOSITY 1e-3
#define PI 3.14159265358979323846
// A set pressure nearer to the atmosphere than that counts as that far from it [share of it].
#define LEAST_GAUGE 0.01

static double derive_first(const struct schedule *schedule) {
    return schedule_value(schedule, schedule_piece(schedule, 0.0), 0.0);
}

static void derive_default(double *value, double otherwise) {
    if (isnan(*value)) {
        *value = otherwise;
    }
}

// A field that only some choice needs: reported when needed and missing, zero when not needed.
static void derive_need(struct scenario_resolution *r, bool needed, const char *path, double *value,
                        const char *because) {
    if (!isnan(*value)) {
        return;
    }
    *value = 0.0;
    if (needed) {
        resolution_error(r, path, "is missing; %s", because);
    }
}

static void derive_friction(struct friction_parameters *friction, double presliding, double mass) {
    if (isnan(friction->static_force) && isnan(friction->kinetic_force)) {
        friction->static_force = 0.0;
        friction->kinetic_force = 0.0;
    }
    derive_default(&friction->kinetic_force, friction->static_force / STATIC_OVER_KINETIC);
    derive_default(&friction->static_force, friction->kinetic_force * STATIC_OVER_KINETIC);
    derive_default(&friction->bristle_stiffness, friction->static_force / presliding);
    derive_default(&friction->bristle_damping, sqrt(friction->bristle_stiffness * mass));
}

// Pressure on the spring side of the diaphragm at time 0.
static double derive_case_pressure(const struct regulator_parameters *model) {
    return model->actuator.case_reference == REFERENCE_ATMOSPHERE ? model->atmosphere
                                                                  : derive_first(&model->boundary);
}

static void derive_set(struct scenario_resolution *r) {
    struct regulator_parameters *model = &r->values.model;
    struct actuator_parameters *actuator = &model->actuator;
    const bool preload = resolution_given(r, "actuator.preload");
    const bool set = resolution_given(r, "set.pressure");
    if (model->actuation == ACTUATION_PILOT) {
        if (!set) {
            resolution_error(r, "set.pressure", "is missing; a pilot is set to a pressure");
        }
        if (!preload) {
            resolution_error(r, "actuator.preload",
                             "is missing; the spring force with the plug shut");
        }
        return;
    }
    if (preload && set) {
        resolution_error(r, "actuator.preload", "give this or set.pressure, not both");
    }
    if (!preload && !set) {
        resolution_error(r, "set.pressure", "is missing; give this or actuator.preload");
    }
    if (model->duty == DUTY_REDUCING && actuator->case_reference == REFERENCE_DOWNSTREAM) {
        resolution_error(r, "actuator.case",
                         "found 'downstream'; a direct reducing regulator has the held pressure "
                         "on its other side, so its case is open to the atmosphere");
        return;
    }
    const double outside = derive_case_pressure(model);
    if (set) {
        actuator->preload = (derive_first(&model->set_point) - outside) * actuator->diaphragm_area;
    } else {
        model->set_point.base = outside + actuator->preload / actuator->diaphragm_area;
    }
}

static void derive_gas(struct scenario_resolution *r, double pressure) {
    struct regulator_parameters *model = &r->values.model;
    struct gas_properties *gas = &model->gas;
    const double gravity = r->values.raw.gravity;
    const bool by_gravity = !isnan(gravity);
    if (by_gravity && resolution_given(r, "fluid.molar_mass")) {
        resolution_error(r, "fluid.molar_mass", "give this or the gravity, not both");
    }
    derive_default(&gas->molar_mass, gravity * GAS_AIR_MOLAR_MASS);
    if (isnan(gas->compressibility) && by_gravity) {
        if (gravity < 0.57 || gravity > 1.68) {
            resolution_error(r, "fluid.compressibility",
                             "is missing; the correlation holds for gravity 0.57 to 1.68 only");
            return;
        }
        gas->compressibility = gas_compressibility_gravity(gravity, pressure, model->temperature);
        if (!isfinite(gas->compressibility) || gas->compressibility <= 0.0) {
            resolution_error(r, "fluid.compressibility",
                             "is missing; the correlation gives none at this pressure");
        }
    }
    derive_default(&gas->compressibility, 1.0);
    if (isnan(gas->viscosity)) {
        gas->viscosity = gas_viscosity_lee(
            gas->molar_mass, gas_density(gas, pressure, model->temperature), model->temperature);
    }
}

static void derive_trim(struct scenario_resolution *r) {
    struct trim_parameters *trim = &r->values.model.trim;
    const double coefficient = r->values.raw.trim_coefficient;
    trim->rated_area = isnan(coefficient) ? 0.0 : coefficient;
    derive_default(&trim->shutoff_travel, SHUTOFF_SHARE * trim->rated_travel);
    derive_need(r, trim->characteristic == TRIM_SLOT, "trim.slot_width", &trim->slot_width,
                "trim.characteristic is slot");
    if (trim->characteristic == TRIM_TABLE && trim->flow_table.count == 0) {
        resolution_error(r, "trim.flow_table", "is missing; trim.characteristic is table");
    }
    if (trim->force_law == TRIM_FORCE_TABLE && trim->force_table.count == 0) {
        resolution_error(r, "trim.force_table", "is missing; trim.force is table");
    }
}

static void derive_fittings(struct scenario_resolution *r) {
    struct fittings_parameters *fittings = &r->values.model.fittings;
    derive_default(&fittings->body, 0.0);
    derive_default(&fittings->inlet, 0.0);
    derive_default(&fittings->outlet, 0.0);
}

// Friction factor of a line at the flow that the schedule begins with.
static double derive_line_friction(const struct regulator_parameters *model,
                                   const struct pipe_parameters *line) {
    const double viscosity =
        model->phase == FLUID_LIQUID ? model->liquid.viscosity : model->gas.viscosity;
    const double flow = fabs(derive_first(&model->flow));
    const double reynolds = 4.0 * flow / (PI * line->bore * viscosity);
    return pipe_friction_factor(reynolds, line->roughness / line->bore);
}

static void derive_line(struct scenario_resolution *r, enum regulator_line index) {
    static const char *const bore[LINE_SIDES] = {"line_before.bore", "line_after.bore"};
    static const char *const far_bore[LINE_SIDES] = {"line_before.far_bore", "line_after.far_bore"};
    struct regulator_parameters *model = &r->values.model;
    struct pipe_parameters *line = &model->line[index];
    const double stated = index == LINE_BEFORE ? model->fittings.inlet : model->fittings.outlet;
    const bool there = line->length > 0.0;
    derive_default(&line->bore, stated > 0.0 ? stated : (double)NAN);
    derive_need(r, there, bore[index], &line->bore, "the line has a length");
    derive_need(r, there && line->far_length > 0.0, far_bore[index], &line->far_bore,
                "the line has a far_length");
    derive_default(&line->elbow, 0.0);
    if (!there) {
        *line = (struct pipe_parameters){0};
    } else if (isnan(line->friction) && line->bore > 0.0) {
        line->friction = derive_line_friction(model, line);
    }
}

// Nothing flows in tubing but for what diaphragms sweep and chambers take.
static void derive_tube(struct scenario_resolution *r, enum regulator_line index,
                        const char *bore) {
    struct pipe_parameters *line = &r->values.model.line[index];
    const bool there = line->length > 0.0;
    derive_need(r, there, bore, &line->bore, "the line has a length");
    if (!there) {
        *line = (struct pipe_parameters){0};
    } else if (isnan(line->friction) && line->bore > 0.0) {
        line->friction = pipe_friction_factor(0.0, line->roughness / line->bore);
    }
}

// Flow [kg/s] that the pilot lets out with the plug in the middle of its travel, and the chamber at
// what holds it there.
static double derive_bleed_flow(const struct regulator_parameters *model) {
    const struct pilot_parameters *pilot = &model->pilot;
    const struct actuator_parameters *actuator = &model->actuator;
    const double force = actuator->preload + 0.5 * actuator->spring_rate * model->trim.rated_travel;
    const double inside = derive_case_pressure(model) + force / actuator->diaphragm_area;
    const double behind =
        derive_first(model->duty == DUTY_BACK_PRESSURE ? &model->boundary : &model->set_point);
    const double outside = pilot->exhaust_to == REFERENCE_ATMOSPHERE ? model->atmosphere : behind;
    const double area =
        pilot->bleed_discharge * 0.25 * PI * pilot->bleed_diameter * pilot->bleed_diameter;
    if (model->phase == FLUID_LIQUID) {
        return flow_orifice_liquid(area, model->liquid.density, inside - outside,
                                   model->laminar_drop);
    }
    const struct nozzle nozzle = nozzle_prepare(model->gas.exponent);
    const struct flow_side from = {inside, gas_density(&model->gas, inside, model->temperature)};
    const struct flow_side to = {outside, gas_density(&model->gas, outside, model->temperature)};
    return flow_nozzle(&nozzle, area, from, to, model->laminar_drop);
}

// Through supply tubing the bleed's flow runs at rest. Slow gas also carries its temperature along,
// which would be the slowest of all motions if no wall took it in.
static void derive_supply_tube(struct scenario_resolution *r) {
    const struct regulator_parameters *model = &r->values.model;
    struct pipe_parameters *line = &r->values.model.line[LINE_SUPPLY];
    const bool gas = model->phase == FLUID_GAS;
    if (line->length > 0.0 && line->bore > 0.0 && isnan(line->friction)) {
        const double viscosity = gas ? model->gas.viscosity : model->liquid.viscosity;
        const double reynolds =
            4.0 * fabs(derive_bleed_flow(model)) / (PI * line->bore * viscosity);
        line->friction = pipe_friction_beside_laminar(reynolds, line->roughness / line->bore);
    }
    derive_default(&line->wall_conductance,
                   gas ? pipe_wall_conductance(line->length, gas_conductivity(&model->gas)) : 0.0);
    derive_tube(r, LINE_SUPPLY, "line_supply.bore");
}

static void derive_actuator(struct scenario_resolution *r) {
    struct actuator_parameters *actuator = &r->values.model.actuator;
    const bool oil = actuator->oil.displaced_area > 0.0;
    derive_need(r, oil, "oil_damper.hole_diameter", &actuator->oil.hole_diameter,
                "oil_damper.displaced_area is not 0");
    derive_need(r, oil, "oil_damper.hole_length", &actuator->oil.hole_length,
                "oil_damper.displaced_area is not 0");
    derive_default(&actuator->oil.level, actuator->oil.hole_diameter);
    derive_need(r, actuator->spring_case.volume > 0.0, "actuator.case_vent",
                &actuator->case_vent_diameter, "actuator.case_volume is not 0");
    derive_friction(&actuator->friction, STEM_PRESLIDING,
                    actuator->moving_mass + r->values.model.trim.moving_mass);
}

static void derive_pilot(struct scenario_resolution *r) {
    struct regulator_parameters *model = &r->values.model;
    struct pilot_parameters *pilot = &model->pilot;
    if (model->actuation != ACTUATION_PILOT) {
        return;
    }
    derive_need(r, pilot->exhaust == EXHAUST_THREE_WAY, "pilot.exhaust_lap", &pilot->exhaust_lap,
                "pilot.exhaust is three-way");
    derive_need(r, pilot->supply_from == SUPPLY_STATED, "pilot.supply_pressure",
                &model->pilot_supply_pressure, "pilot.supply is stated");
    derive_need(r, pilot->supply_volume.volume > 0.0, "pilot.supply_line",
                &pilot->supply_line_diameter, "pilot.supply_volume is not 0");
    derive_friction(&pilot->friction, PILOT_PRESLIDING, pilot->moving_mass);
}

static void derive_sense(struct scenario_resolution *r) {
    struct sense_parameters *sense = &r->values.model.sense;
    const bool line = sense->passage != SENSE_IDEAL;
    sense->tap_on_line = !isnan(sense->tap_distance);
    derive_default(&sense->tap_distance, 0.0);
    derive_need(r, line, "sense.bore", &sense->bore, "sense.passage is not ideal");
    derive_need(r, line, "sense.cavity_volume", &sense->cavity.volume,
                "sense.passage is not ideal");
    if (sense->passage == SENSE_ORIFICE && !sense->inertance) {
        derive_default(&sense->length, ORIFICE_BORES * sense->bore);
    }
    derive_need(r, line && (sense->passage == SENSE_LAMINAR || sense->inertance), "sense.length",
                &sense->length, "a laminar line, or one with inertance, has a length");
}

// A run that nothing disturbs tells nothing: a plug held by friction, or balanced on a knife's
// edge, would pass for steady. So it gets a small push unless the user has said what moves it.
static void derive_kick(struct scenario_resolution *r, double set_pressure) {
    const struct regulator_parameters *model = &r->values.model;
    bool moved =
        r->values.start.from == START_SHUT || r->values.start.kick_travel != 0.0 ||
        model->flow.kind != SCHEDULE_CONSTANT || model->boundary.kind != SCHEDULE_CONSTANT ||
        model->set_point.kind != SCHEDULE_CONSTANT || model->level.kind != SCHEDULE_CONSTANT;
    double push =
        0.02 * fmax(fabs(set_pressure - model->atmosphere), LEAST_GAUGE * model->atmosphere);
    derive_default(&r->values.start.kick_pressure, moved ? 0.0 : push);
}

// What takes a stated flow out of a vessel at or below the atmosphere is a machine that sucks: it
// gives up at an empty vessel only. An orifice into the open passes nothing there, so that it has
// to say what it leads to.
static void derive_demand(struct regulator_parameters *model) {
    if (model->duty == DUTY_REDUCING) {
        const bool sucks =
            model->demand == DEMAND_CONSTANT && model->flow_reference <= model->atmosphere;
        derive_default(&model->demand_outlet, sucks ? 0.0 : model->atmosphere);
    }
}

static void derive_service(struct scenario_resolution *r, double set_pressure) {
    struct regulator_parameters *model = &r->values.model;
    const double coefficient = r->values.raw.outlet_coefficient;
    derive_default(&model->flow_reference, set_pressure);
    derive_demand(model);
    derive_default(&r->values.start.pressure, set_pressure);
    derive_kick(r, set_pressure);
    if (model->duty == DUTY_BACK_PRESSURE) {
        derive_default(&model->well_pressure, 0.0);
        derive_need(r, model->flowline.volume > 0.0, "inflow.flowline_diameter",
                    &model->flowline_diameter, "inflow.flowline_volume is not 0");
        if (model->downstream.volume > 0.0 && isnan(coefficient)) {
            resolution_error(r, "downstream.outlet_coefficient",
                             "is missing; downstream.volume is not 0");
        }
        // w = A_v sqrt(rho dp) = Cd A sqrt(2 rho dp)
        model->downstream_outlet_area = isnan(coefficient) ? 0.0 : coefficient / sqrt(2.0);
    }
    if (model->phase == FLUID_LIQUID) {
        model->liquid.viscosity =
            isnan(model->gas.viscosity) ? LIQUID_VISCOSITY : model->gas.viscosity;
        model->gas = (struct gas_properties){0};
        derive_need(r, model->gas_cap > 0.0, "vessel.gas_cap_pressure", &model->gas_cap_pressure,
                    "vessel.gas_cap is not 0");
    }
}

void resolution_derive(struct scenario_resolution *r) {
    struct regulator_parameters *model = &r->values.model;
    model->atmosphere = r->site.atmosphere;
    model->isothermal = r->values.raw.thermal == 1;
    derive_set(r);
    const double set_pressure = derive_first(&model->set_point);
    if (model->phase == FLUID_GAS) {
        derive_gas(r, set_pressure);
    }
    derive_service(r, set_pressure);
    derive_trim(r);
    derive_fittings(r);
    derive_line(r, LINE_BEFORE);
    derive_line(r, LINE_AFTER);
    derive_tube(r, LINE_SENSE, "line_sense.bore");
    derive_tube(r, LINE_LOADING, "line_loading.bore");
    derive_supply_tube(r);
    derive_actuator(r);
    derive_pilot(r);
    derive_sense(r);
}
