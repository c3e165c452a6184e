// SPDX-License-Identifier: MIT
// Rows of what surrounds the regulator: site, stream, vessel, flow, pressures, start and run.
#include "field/field_row.h"

static const char *const duty_words[] = {"back-pressure", "reducing", NULL};
static const char *const actuation_words[] = {"pilot", "direct", NULL};
static const char *const phase_words[] = {"gas", "liquid", NULL};
static const char *const thermal_words[] = {"energy", "isothermal", NULL};
static const char *const demand_words[] = {"constant", "orifice", NULL};
static const char *const adjusted_words[] = {"at-crack", "at-flow", NULL};
static const char *const start_words[] = {"equilibrium", "shut", NULL};
static const char *const method_words[] = {"bdf", "adams", "rosenbrock", NULL};
static const char *const units_words[] = {"as-written", "us", "metric", "si", NULL};

static const struct field top_rows[] = {
    TEXT("", "title", raw.title, "one line that names the scenario in tables and pictures"),
    TEXT("", "teaches", raw.teaches, "what a reader should learn from it"),
    CHOICE("", "duty", ANY, true, NULL, duty_words, model.duty,
           "what it holds: the pressure before it (back-pressure) or after it (reducing)"),
    CHOICE("", "actuation", ANY, true, NULL, actuation_words, model.actuation,
           "loaded by a pilot, or direct: the sensed pressure against the set spring"),
};

static const struct field site_rows[] = {
    NUMBER("site", "atmosphere", UNIT_PRESSURE_LEVEL, ANY, "= of the altitude, else 14.696 psia",
           "20 kPa(a)", "120 kPa(a)", raw.atmosphere, "atmospheric pressure at the site"),
    MAYBE("site", "altitude", UNIT_LENGTH, ANY, "-500 m", "11000 m", raw.altitude,
          "height above the sea, in place of the atmosphere"),
    NUMBER("site", "base_pressure", UNIT_PRESSURE_LEVEL, ANY, "14.696 psia", "80 kPa(a)",
           "120 kPa(a)", raw.base_pressure, "pressure base of a standard cubic foot"),
    NUMBER("site", "base_temperature", UNIT_TEMPERATURE, ANY, "60 degF", "250 K", "320 K",
           raw.base_temperature, "temperature base of a standard cubic foot"),
};

static const struct field fluid_rows[] = {
    CHOICE("fluid", "phase", ANY, false, "gas", phase_words, model.phase, "gas or liquid"),
    NUMBER("fluid", "temperature", UNIT_TEMPERATURE, ANY, "80 degF", "150 K", "600 K",
           model.temperature, "of the stream and of all walls"),
    CHOICE("fluid", "thermal", GAS, false, "energy", thermal_words, raw.thermal,
           "energy: gas heats and cools as it is squeezed; isothermal: it does not"),
    MAYBE("fluid", "gravity", UNIT_NONE, GAS, "0.05", "3", raw.gravity,
          "gas gravity, air = 1; this or the molar mass"),
    NUMBER("fluid", "molar_mass", UNIT_MOLAR_MASS, GAS, "= gravity times that of air", "2 g/mol",
           "200 g/mol", model.gas.molar_mass, "this or the gravity"),
    NUMBER("fluid", "exponent", UNIT_NONE, GAS, "1.27", "1.01", "1.67", model.gas.exponent,
           "ideal-gas exponent k = cp/cv, not that of the real gas"),
    NUMBER("fluid", "compressibility", UNIT_NONE, GAS,
           "= of the gravity at the controlled pressure; 1 when the molar mass is given", "0.2",
           "2", model.gas.compressibility, "factor Z"),
    NUMBER("fluid", "viscosity", UNIT_VISCOSITY, ANY,
           "= gas: of the molar mass and density; liquid: 1 cP", "1e-4 cP", "1e5 cP",
           model.gas.viscosity, "slow flow in the sense line and over a seat land"),
    NEED("fluid", "density", UNIT_DENSITY, LIQUID, "200 kg/m3", "3000 kg/m3", model.liquid.density,
         "of the liquid"),
    NUMBER("fluid", "bulk_modulus", UNIT_PRESSURE_DROP, LIQUID, "1.5 GPa", "1 kPa", "10 GPa",
           model.liquid.bulk_modulus, "of the liquid together with the give of its walls"),
    NUMBER("fluid", "vapour_pressure", UNIT_PRESSURE_LEVEL, LIQUID, "0 Pa(a)", "0 Pa(a)",
           "30 MPa(a)", model.liquid.vapour_pressure, "0 Pa(a): never chokes nor cavitates"),
    NUMBER("fluid", "critical_pressure", UNIT_PRESSURE_LEVEL, LIQUID, "22.064 MPa(a)", "1 kPa(a)",
           "100 MPa(a)", model.liquid.critical_pressure, "thermodynamic critical pressure"),
    NUMBER("fluid", "laminar_drop", UNIT_PRESSURE_DROP, ANY, "50 Pa", "1e-6 Pa", "1 bar",
           model.laminar_drop, "below this drop an opening flows in proportion to it"),
};

static const struct field vessel_rows[] = {
    NEED("vessel", "volume", UNIT_VOLUME, ANY, "1e-9 m3", "1e6 m3", model.controlled.volume,
         "of the gas (or liquid) whose pressure is held"),
    NUMBER("vessel", "wall_conductance", UNIT_CONDUCTANCE, ANY, "0 W/K", "0 W/K", "1e6 W/K",
           model.controlled.wall_conductance, "heat passed by its walls; 0 is adiabatic"),
    MAYBE("vessel", "pressure_limit", UNIT_PRESSURE_LEVEL, ANY, "0 Pa(a)", "100 MPa(a)",
          raw.pressure_limit, "highest pressure allowed, to compare peaks with"),
    NUMBER("vessel", "gas_cap", UNIT_VOLUME, LIQUID, "0 m3", "0 m3", "1e6 m3", model.gas_cap,
           "gas above the liquid"),
    MAYBE("vessel", "gas_cap_pressure", UNIT_PRESSURE_LEVEL, LIQUID, "1 Pa(a)", "100 MPa(a)",
          model.gas_cap_pressure, "pressure at which the gas cap has that volume"),
    SCHEDULE("vessel", "level", UNIT_VOLUME, ANY, false, "0 m3", NULL, NULL, model.level,
             "volume taken from the vessel by rising liquid, over time"),
};

static const struct field inflow_rows[] = {
    SCHEDULE("inflow", "rate", UNIT_FLOW, BACK, true, NULL, "0 kg/s", "1e5 kg/s", model.flow,
             "flow into the vessel, over time"),
    NUMBER("inflow", "at_pressure", UNIT_PRESSURE_LEVEL, BACK, "= set pressure", "0 Pa(a)",
           "100 MPa(a)", model.flow_reference, "vessel pressure at which that rate is meant"),
    NUMBER("inflow", "well_pressure", UNIT_PRESSURE_LEVEL, BACK, "= none: the rate is constant",
           "1 Pa(a)", "200 MPa(a)", model.well_pressure,
           "shut-in pressure; the rate falls in a straight line to nothing there"),
    NUMBER("inflow", "flowline_volume", UNIT_VOLUME, BACK, "0 m3", "0 m3", "1e6 m3",
           model.flowline.volume, "volume between well and vessel; 0: none"),
    NUMBER("inflow", "flowline_wall_conductance", UNIT_CONDUCTANCE, BACK, "0 W/K", "0 W/K",
           "1e6 W/K", model.flowline.wall_conductance, "heat passed by the flowline's walls"),
    MAYBE("inflow", "flowline_diameter", UNIT_LENGTH, BACK, "0.1 mm", "2 m",
          model.flowline_diameter, "restriction between flowline and vessel"),
};

static const struct field demand_rows[] = {
    SCHEDULE("demand", "rate", UNIT_FLOW, REDUCING, true, NULL, "0 kg/s", "1e5 kg/s", model.flow,
             "flow taken from the vessel, over time"),
    CHOICE("demand", "law", REDUCING, false, "constant", demand_words, model.demand,
           "constant flow, or an orifice that passes more as the pressure rises"),
    NUMBER("demand", "at_pressure", UNIT_PRESSURE_LEVEL, REDUCING, "= set pressure", "0 Pa(a)",
           "100 MPa(a)", model.flow_reference, "pressure at which that rate is meant"),
    NUMBER("demand", "outlet_pressure", UNIT_PRESSURE_LEVEL, REDUCING,
           "= 0 psig; 0 psia for a constant demand from a vessel not above that", "0 Pa(a)",
           "100 MPa(a)", model.demand_outlet,
           "pressure beyond the orifice; a constant demand fades just above it"),
};

static const struct field downstream_rows[] = {
    SCHEDULE("downstream", "pressure", UNIT_PRESSURE_LEVEL, BACK, true, NULL, "0 Pa(a)",
             "100 MPa(a)", model.boundary, "pressure after the regulator, over time"),
    NUMBER("downstream", "volume", UNIT_VOLUME, BACK, "0 m3", "0 m3", "1e6 m3",
           model.downstream.volume, "volume between the regulator and that pressure; 0: none"),
    NUMBER("downstream", "wall_conductance", UNIT_CONDUCTANCE, BACK, "0 W/K", "0 W/K", "1e6 W/K",
           model.downstream.wall_conductance, "heat passed by that volume's walls"),
    MAYBE("downstream", "outlet_coefficient", UNIT_COEFFICIENT, BACK, "1e-4 Kv", "1e6 Kv",
          raw.outlet_coefficient, "flow coefficient from that volume to the pressure"),
};

static const struct field inlet_rows[] = {
    SCHEDULE("inlet", "pressure", UNIT_PRESSURE_LEVEL, REDUCING, true, NULL, "0 Pa(a)",
             "100 MPa(a)", model.boundary, "pressure before the regulator, over time"),
};

static const struct field set_rows[] = {
    SCHEDULE("set", "pressure", UNIT_PRESSURE_LEVEL, ANY, false, "= of the preload when direct",
             "0 Pa(a)", "100 MPa(a)", model.set_point,
             "pressure the regulator is set to; when direct, this or actuator.preload"),
    CHOICE("set", "adjusted", ANY, false, "at-crack", adjusted_words, raw.adjusted,
           "the set pressure is where it begins to open, or what it holds at the first flow"),
};

static const struct field start_rows[] = {
    CHOICE("start", "from", ANY, false, "equilibrium", start_words, start.from,
           "begin at rest where all forces balance, or with the plug shut"),
    NUMBER("start", "pressure", UNIT_PRESSURE_LEVEL, ANY, "= set pressure", "0 Pa(a)", "100 MPa(a)",
           start.pressure, "of the vessel when starting shut"),
    NUMBER("start", "kick_travel", UNIT_FRACTION, ANY, "0 %", "-100 %", "100 %", start.kick_travel,
           "push of the plug at the start, share of its travel"),
    NUMBER("start", "kick_pressure", UNIT_PRESSURE_DROP, ANY,
           "= 2 % of the set pressure, gauge, when nothing else disturbs the run", "-10 MPa",
           "10 MPa", start.kick_pressure, "push of the vessel pressure at the start"),
};

static const struct field run_rows[] = {
    NUMBER("run", "duration", UNIT_TIME, ANY, "120 s", "1e-6 s", "30 d", run.duration,
           "the run ends here at the latest"),
    NUMBER("run", "minimum_duration", UNIT_TIME, ANY, "0 s", "0 s", "30 d", run.minimum_duration,
           "and not before this"),
    NUMBER("run", "sample_interval", UNIT_TIME, ANY, "10 ms", "1e-9 s", "1 d", run.sample_interval,
           "spacing of the trace"),
    FLAG("run", "stop_early", ANY, "yes", run.stop_early, "end when the verdict is decided"),
    NUMBER("run", "relative_tolerance", UNIT_NONE, ANY, "1e-6", "1e-12", "1e-3",
           run.relative_tolerance, "of the integration"),
    INTEGER("run", "max_steps", "20000000", "100", "2000000000", run.max_steps,
            "steps of the integration after which a run gives up"),
    CHOICE("run", "method", ANY, false, "bdf", method_words, run.method,
           "bdf for stiff motion; adams to cross-check a lightly damped one; rosenbrock is quick"),
    FLAG("run", "screened", ANY, "no", run.screened,
         "studies try their runs by rosenbrock first; what lies near a boundary, and a sample of "
         "the "
         "rest, again by the method named"),
    INTEGER("run", "max_order", "5", "1", "12", run.max_order,
            "highest order of the method; bdf has 5 at most"),
    NUMBER("run", "chatter_rate", UNIT_FREQUENCY, ANY, "5 Hz", "0.001 Hz", "1e5 Hz",
           run.chatter_rate, "more seat contacts than this is chatter"),
};

static const struct field output_rows[] = {
    CHOICE("output", "units", ANY, false, "as-written", units_words, raw.output_units,
           "units of what is printed and written"),
};

const struct field_section field_sections_service[] = {
    SECTION("", "the scenario as a whole", top_rows),
    SECTION("site", "where it stands", site_rows),
    SECTION("fluid", "the stream", fluid_rows),
    SECTION("vessel", "the volume whose pressure is held", vessel_rows),
    SECTION("inflow", "what flows into the vessel (back-pressure)", inflow_rows),
    SECTION("demand", "what is taken from the vessel (reducing)", demand_rows),
    SECTION("downstream", "what comes after the regulator (back-pressure)", downstream_rows),
    SECTION("inlet", "what comes before the regulator (reducing)", inlet_rows),
    SECTION("set", "what it is set to", set_rows),
    SECTION("start", "how a run begins", start_rows),
    SECTION("run", "how a run is carried out", run_rows),
    SECTION("output", "how results are shown", output_rows),
};
const size_t field_sections_service_count =
    sizeof field_sections_service / sizeof field_sections_service[0];
