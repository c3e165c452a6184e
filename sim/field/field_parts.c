// SPDX-License-Identifier: MIT
// Rows of the regulator's own parts: trim, actuator, friction, damper, contacts, pilot, sense line.
#include "field/field_row.h"

static const char *const characteristic_words[] = {
    "curtain", "linear", "equal-percentage", "quick-opening", "table", "slot", NULL};
static const char *const flow_law_words[] = {"standard", "nozzle", NULL};
static const char *const direction_words[] = {"flow-to-close", "flow-to-open", NULL};
static const char *const force_words[] = {"series", "full-area", "balanced", "table", NULL};
static const char *const stem_words[] = {"horizontal", "weight-closes", "weight-opens", NULL};
static const char *const reference_words[] = {"atmosphere", "downstream", NULL};
static const char *const contact_words[] = {"none", "compliant", "rigid", NULL};
static const char *const exhaust_words[] = {"bleed", "three-way", NULL};
static const char *const supply_words[] = {"upstream", "stated", NULL};
static const char *const passage_words[] = {"ideal", "orifice", "laminar", NULL};

static const struct field trim_rows[] = {
    NEED("trim", "port", UNIT_LENGTH, ANY, "0.1 mm", "2 m", model.trim.port_diameter,
         "port diameter"),
    NUMBER("trim", "seat_land", UNIT_LENGTH, ANY, "0 in", "0 m", "0.2 m", model.trim.seat_land,
           "width of the flat seat land; the gap's own pressure acts on it"),
    NEED("trim", "travel", UNIT_LENGTH, ANY, "1 um", "2 m", model.trim.rated_travel,
         "rated travel of the plug"),
    NUMBER("trim", "coefficient", UNIT_COEFFICIENT, ANY, "= from geometry and discharge", "1e-6 Kv",
           "1e6 Kv", raw.trim_coefficient, "Cv or Kv at rated travel"),
    NUMBER("trim", "discharge", UNIT_NONE, ANY, "0.75", "0.01", "2",
           model.trim.discharge_coefficient, "discharge coefficient, in place of a Cv"),
    CHOICE("trim", "characteristic", ANY, false, "curtain", characteristic_words,
           model.trim.characteristic, "how the opening grows with travel"),
    NUMBER("trim", "rangeability", UNIT_NONE, ANY, "50", "2", "1000", model.trim.rangeability,
           "of equal-percentage"),
    NUMBER("trim", "shutoff_travel", UNIT_LENGTH, ANY, "= 5 % of the travel", "0 m", "1 m",
           model.trim.shutoff_travel, "equal-percentage closes fully below this"),
    MAYBE("trim", "slot_width", UNIT_LENGTH, ANY, "1 um", "10 m", model.trim.slot_width,
          "of a slot: opening = width times travel"),
    TABLE("trim", "flow_table", model.trim.flow_table,
          "of a table: [[travel fraction, flow fraction], ...]"),
    CHOICE("trim", "flow_law", ANY, false, "standard", flow_law_words, model.trim.flow_law,
           "control-valve standard, or plain nozzle from area and discharge"),
    NUMBER("trim", "choking_ratio", UNIT_NONE, ANY, "0.7", "0.05", "1", model.trim.choking_ratio,
           "xT, gas"),
    NUMBER("trim", "recovery_factor", UNIT_NONE, ANY, "0.9", "0.1", "1", model.trim.recovery_factor,
           "FL, liquid"),
    NUMBER("trim", "piping_factor", UNIT_NONE, ANY, "1", "0.1", "1.2", model.trim.piping_factor,
           "FP at any travel, where the bores of body and pipes are not stated"),
    NUMBER("trim", "leak", UNIT_FRACTION, ANY, "1e-5", "0", "10 %", model.trim.seat_leak,
           "of the rated flow, when shut"),
    CHOICE("trim", "direction", ANY, false, "flow-to-close", direction_words, model.trim.direction,
           "flow over the plug pushes it shut; under it pushes it open"),
    CHOICE("trim", "force", ANY, false, "series", force_words, model.trim.force_law,
           "share of the drop that pushes on the plug as it opens"),
    TABLE("trim", "force_table", model.trim.force_table,
          "of a table: [[travel fraction, share of the drop], ...]"),
    NUMBER("trim", "balance", UNIT_FRACTION, ANY, "0 %", "0 %", "100 %", model.trim.balance,
           "share of the plug area that is balanced"),
    NUMBER("trim", "moving_mass", UNIT_MASS, ANY, "0 lb", "0 kg", "1e4 kg", model.trim.moving_mass,
           "of the plug and stem that change with the trim"),
};

static const struct field body_rows[] = {
    MAYBE("body", "bore", UNIT_LENGTH, ANY, "1 mm", "2 m", model.fittings.body,
          "of its ends; with the bores of wider pipes it gives FP, xTP and FLP at any travel"),
};

static const struct field inlet_pipe_rows[] = {
    MAYBE("inlet_pipe", "bore", UNIT_LENGTH, ANY, "1 mm", "5 m", model.fittings.inlet,
          "of the pipe; the surge of a liquid is reported for it"),
};

static const struct field outlet_pipe_rows[] = {
    MAYBE("outlet_pipe", "bore", UNIT_LENGTH, ANY, "1 mm", "5 m", model.fittings.outlet,
          "of the pipe"),
};

#define CONTACT_ROWS(section, use, what, member)                                                   \
    CHOICE(section, "law", use, false, "rigid", contact_words, member.law,                         \
           "springy, or rigid with a rebound, or none at all"),                                    \
        NUMBER(section, "stiffness", UNIT_STIFFNESS, use, "5e7 N/m", "1 N/m", "1e12 N/m",          \
               member.stiffness, "of " what),                                                      \
        NUMBER(section, "index", UNIT_NONE, use, "1", "1", "3", member.index,                      \
               "1 for a flat face, 1.5 for a sphere"),                                             \
        NUMBER(section, "damping", UNIT_CONTACT_DAMPING, use, "1 s/m", "0 s/m", "1e4 s/m",         \
               member.damping, "loss of the springy law: rebound is about 1 - damping x speed"),   \
        NUMBER(section, "restitution", UNIT_FRACTION, use, "0.5", "0", "1", member.restitution,    \
               "rebound speed of the rigid law, share of the approach speed"),                     \
        NUMBER(section, "rest_speed", UNIT_SPEED, use, "0.1 mm/s", "1e-6 um/s", "10 m/s",          \
               member.rest_speed, "rigid law: a slower rebound stays down")

#define FRICTION_ROWS(section, use, presliding, member)                                            \
    NUMBER(section, "static", UNIT_FORCE, use, "= 1.3 times kinetic", "0 N", "1e6 N",              \
           member.static_force, "force that starts a slide; 0 with kinetic 0: none"),              \
        NUMBER(section, "kinetic", UNIT_FORCE, use, "= static / 1.3", "0 N", "1e6 N",              \
               member.kinetic_force, "force of a steady slide"),                                   \
        NUMBER(section, "stribeck_speed", UNIT_SPEED, use, "5 mm/s", "1 um/s", "10 m/s",           \
               member.stribeck_speed, "speed over which static gives way to kinetic"),             \
        NUMBER(section, "bristle_stiffness", UNIT_STIFFNESS, use, "= static / " presliding,        \
               "1 N/m", "1e12 N/m", member.bristle_stiffness, "before it slides"),                 \
        NUMBER(section, "bristle_damping", UNIT_DAMPING, use,                                      \
               "= square root of bristle stiffness times mass", "0 N s/m", "1e9 N s/m",            \
               member.bristle_damping, "before it slides"),                                        \
        NUMBER(section, "viscous", UNIT_DAMPING, use, "0 N s/m", "0 N s/m", "1e7 N s/m",           \
               member.viscous, "part that grows with speed")

// A line without a length is no line.
#define LINE_ROWS(section, toward, member)                                                         \
    NUMBER(section, "length", UNIT_LENGTH, ANY, "0 ft", "0 m", "10 km", member.length,             \
           "of the pipe at the regulator; 0: none"),                                               \
        MAYBE(section, "bore", UNIT_LENGTH, ANY, "1 mm", "5 m", member.bore, "of that pipe"),      \
        NUMBER(section, "far_length", UNIT_LENGTH, ANY, "0 ft", "0 m", "10 km", member.far_length, \
               "of a second piece of pipe, beyond it toward " toward),                             \
        MAYBE(section, "far_bore", UNIT_LENGTH, ANY, "1 mm", "5 m", member.far_bore,               \
              "of that second piece"),                                                             \
        NUMBER(section, "roughness", UNIT_LENGTH, ANY, "0.05 mm", "0 mm", "10 mm",                 \
               member.roughness, "of its wall"),                                                   \
        NUMBER(section, "friction", UNIT_NONE, ANY, "= of the roughness at the first flow", "0",   \
               "1", member.friction, "Darcy friction factor of turbulent flow"),                   \
        NUMBER(section, "entrance_loss", UNIT_NONE, ANY, "0.5", "0", "10", member.entrance_loss,   \
               "velocity heads lost on entering the pipe at " toward),                             \
        NUMBER(section, "bend_loss", UNIT_NONE, ANY, "0", "0", "1000", member.bend_loss,           \
               "velocity heads lost in bends and fittings, spread over its length"),               \
        NUMBER(section, "wall_conductance", UNIT_CONDUCTANCE, ANY, "0 W/K", "0 W/K", "1e6 W/K",    \
               member.wall_conductance, "heat passed by its wall"),                                \
        NUMBER(section, "elbow", UNIT_LENGTH, ANY, "= at its far end", "0 m", "20 km",             \
               member.elbow,                                                                       \
               "distance from the regulator of the elbow that ends the run whose "                 \
               "shaking force is told"),                                                           \
        INTEGER(section, "cells", "0", "0", "60", member.cells,                                    \
                "cells it is cut into; 0: as many as the plug's own frequency asks for")

static const struct field line_before_rows[] = {
    LINE_ROWS("line_before", "the vessel, or the held inlet pressure", model.line[LINE_BEFORE]),
};

static const struct field line_after_rows[] = {
    LINE_ROWS("line_after", "the vessel, or the downstream pressure", model.line[LINE_AFTER]),
};

#define AT_4000 "= of the roughness at Re 4000"

#define TUBE_ROWS(section, use, at, rough, wall, member)                                           \
    NUMBER(section, "length", UNIT_LENGTH, use, "0 ft", "0 m", "1 km", member.length,              \
           "of the tubing; 0: none, and no waves in it"),                                          \
        MAYBE(section, "bore", UNIT_LENGTH, use, "0.5 mm", "0.5 m", member.bore, "of the tubing"), \
        NUMBER(section, "roughness", UNIT_LENGTH, use, "0.0015 mm", "0 mm", "10 mm",               \
               member.roughness, "of its wall"),                                                   \
        NUMBER(section, "friction", UNIT_NONE, use, rough, "0", "1", member.friction,              \
               "Darcy friction factor of turbulent flow"),                                         \
        NUMBER(section, "entrance_loss", UNIT_NONE, use, "0.5", "0", "10", member.entrance_loss,   \
               "velocity heads lost on entering it at " at),                                       \
        NUMBER(section, "bend_loss", UNIT_NONE, use, "0", "0", "1000", member.bend_loss,           \
               "velocity heads lost in bends and fittings, spread over its length"),               \
        NUMBER(section, "wall_conductance", UNIT_CONDUCTANCE, use, wall, "0 W/K", "1e6 W/K",       \
               member.wall_conductance, "heat passed by its wall"),                                \
        INTEGER(section, "cells", "0", "0", "15", member.cells,                                    \
                "cells it is cut into; 0: as many as the plug's own frequency asks for")

// From the tap to the diaphragm. It has the cavity and the orifice of `sense` at its end.
static const struct field line_sense_rows[] = {
    TUBE_ROWS("line_sense", ANY, "the tap", AT_4000, "0 W/K", model.line[LINE_SENSE]),
};

static const struct field line_loading_rows[] = {
    TUBE_ROWS("line_loading", PILOT, "the chamber", AT_4000, "0 W/K", model.line[LINE_LOADING]),
};

// From what feeds the pilot to its supply seat, or to the restriction of its supply volume.
static const struct field line_supply_rows[] = {
    TUBE_ROWS("line_supply", PILOT, "what feeds the pilot",
              "= of the roughness at the flow of the bleed", "= of gas in slow flow",
              model.line[LINE_SUPPLY]),
};

static const struct field actuator_rows[] = {
    NEED("actuator", "diaphragm_area", UNIT_AREA, ANY, "1e-7 m2", "10 m2",
         model.actuator.diaphragm_area, "effective area with the plug shut"),
    NUMBER("actuator", "area_loss", UNIT_FRACTION, ANY, "0 %", "-50 %", "90 %",
           model.actuator.area_loss, "share of that area lost at full travel"),
    NEED("actuator", "spring_rate", UNIT_STIFFNESS, ANY, "0 N/m", "1e9 N/m",
         model.actuator.spring_rate, "of the main spring"),
    NUMBER("actuator", "preload", UNIT_FORCE, ANY, "= of the set pressure when direct", "-1e7 N",
           "1e7 N", model.actuator.preload, "spring force with the plug shut"),
    NEED("actuator", "moving_mass", UNIT_MASS, ANY, "1e-6 kg", "1e5 kg", model.actuator.moving_mass,
         "of all that moves with the stem, without trim.moving_mass"),
    NUMBER("actuator", "damping", UNIT_DAMPING, ANY, "0 N s/m", "0 N s/m", "1e8 N s/m",
           model.actuator.damping, "in proportion to speed"),
    CHOICE("actuator", "stem", ANY, false, "horizontal", stem_words, model.actuator.stem,
           "which way the weight of the moving parts pushes"),
    NUMBER("actuator", "stem_diameter", UNIT_LENGTH, ANY, "0 in", "0 m", "0.5 m",
           model.actuator.stem_diameter, "of a stem pushed out of the body; 0: balanced"),
    CHOICE("actuator", "case", ANY, false, "atmosphere", reference_words,
           model.actuator.case_reference, "what the spring side of the diaphragm is open to"),
    NUMBER("actuator", "case_volume", UNIT_VOLUME, ANY, "0 m3", "0 m3", "100 m3",
           model.actuator.spring_case.volume, "of the spring case; 0: always at its outside"),
    NUMBER("actuator", "case_wall_conductance", UNIT_CONDUCTANCE, ANY, "0 W/K", "0 W/K", "1e6 W/K",
           model.actuator.spring_case.wall_conductance, "heat passed by the spring case's walls"),
    MAYBE("actuator", "case_vent", UNIT_LENGTH, ANY, "0.01 mm", "1 m",
          model.actuator.case_vent_diameter, "diameter of the spring case's vent"),
    NUMBER("actuator", "case_vent_discharge", UNIT_NONE, ANY, "0.8", "0.01", "1",
           model.actuator.case_vent_discharge, "its discharge coefficient"),
    NEED("actuator", "chamber_volume", UNIT_VOLUME, PILOT, "1e-9 m3", "100 m3",
         model.actuator.chamber.volume, "of the loading chamber with the plug shut"),
    NUMBER("actuator", "chamber_wall_conductance", UNIT_CONDUCTANCE, PILOT, "0 W/K", "0 W/K",
           "1e6 W/K", model.actuator.chamber.wall_conductance,
           "heat passed by the loading chamber's walls"),
    FLAG("actuator", "swept_volume", ANY, "yes", model.actuator.swept_volume,
         "moving parts push gas about"),
    NUMBER("actuator", "backlash", UNIT_LENGTH, ANY, "0 mm", "0 mm", "0.1 m",
           model.actuator.backlash, "lost motion between actuator and plug"),
    NUMBER("actuator", "backlash_time", UNIT_TIME, ANY, "2 ms", "1 us", "10 s",
           model.actuator.backlash_time, "in which the linkage takes it up"),
};

static const struct field friction_rows[] = {
    FRICTION_ROWS("friction", ANY, "20 um", model.actuator.friction),
};

static const struct field oil_rows[] = {
    NUMBER("oil_damper", "displaced_area", UNIT_AREA, ANY, "0 m2", "0 m2", "10 m2",
           model.actuator.oil.displaced_area, "area that displaces oil; 0: no oil damper"),
    MAYBE("oil_damper", "hole_diameter", UNIT_LENGTH, ANY, "0.1 mm", "0.2 m",
          model.actuator.oil.hole_diameter, "of the transfer hole"),
    MAYBE("oil_damper", "hole_length", UNIT_LENGTH, ANY, "0.1 mm", "1 m",
          model.actuator.oil.hole_length, "of the transfer hole"),
    NUMBER("oil_damper", "density", UNIT_DENSITY, ANY, "870 kg/m3", "200 kg/m3", "3000 kg/m3",
           model.actuator.oil.oil_density, "of the oil"),
    NUMBER("oil_damper", "viscosity", UNIT_VISCOSITY, ANY, "30 cP", "0.01 cP", "1e6 cP",
           model.actuator.oil.oil_viscosity, "of the oil"),
    NUMBER("oil_damper", "discharge", UNIT_NONE, ANY, "0.6", "0.1", "1",
           model.actuator.oil.discharge, "discharge coefficient of the hole's entrance"),
    NUMBER("oil_damper", "level", UNIT_LENGTH, ANY, "= full", "0 m", "10 m",
           model.actuator.oil.level, "of the oil above the hole's lower edge"),
};

static const struct field seat_rows[] = {
    CONTACT_ROWS("seat", ANY, "the seat", model.actuator.seat),
};

static const struct field stop_rows[] = {
    CONTACT_ROWS("stop", ANY, "the stop at full travel", model.actuator.stop),
};

static const struct field pilot_rows[] = {
    NEED("pilot", "moving_mass", UNIT_MASS, PILOT, "0 kg", "100 kg", model.pilot.moving_mass,
         "of the pilot's moving parts; 0: follows at once"),
    NEED("pilot", "damping", UNIT_DAMPING, PILOT, "0 N s/m", "1e6 N s/m", model.pilot.damping,
         "in proportion to speed"),
    NEED("pilot", "spring_rate", UNIT_STIFFNESS, PILOT, "100 N/m", "1e8 N/m",
         model.pilot.spring_rate, "of the pilot spring and diaphragm together"),
    NEED("pilot", "travel", UNIT_LENGTH, PILOT, "1 um", "0.1 m", model.pilot.travel,
         "between the pilot's stops"),
    NEED("pilot", "diaphragm_area", UNIT_AREA, PILOT, "1e-7 m2", "1 m2", model.pilot.diaphragm_area,
         "area the sensed pressure acts on"),
    NUMBER("pilot", "feedback_area", UNIT_AREA, PILOT, "0 in2", "0 m2", "1 m2",
           model.pilot.feedback_area,
           "area the chamber pressure pushes back on; sets the proportional band"),
    NUMBER("pilot", "seat_unbalance", UNIT_FRACTION, PILOT, "0 %", "0 %", "100 %",
           model.pilot.seat_unbalance, "share of the seats' area that is not balanced"),
    NEED("pilot", "supply_seat", UNIT_LENGTH, PILOT, "0.01 mm", "0.1 m",
         model.pilot.supply_diameter, "diameter of the supply seat"),
    NUMBER("pilot", "supply_discharge", UNIT_NONE, PILOT, "0.8", "0.01", "1",
           model.pilot.supply_discharge, "discharge coefficient of the supply seat"),
    CHOICE("pilot", "exhaust", PILOT, false, "bleed", exhaust_words, model.pilot.exhaust,
           "fixed bleed, or a three-way pilot that shuts its exhaust as it opens the supply"),
    NEED("pilot", "bleed", UNIT_LENGTH, PILOT, "0.01 mm", "0.1 m", model.pilot.bleed_diameter,
         "diameter of the bleed, or of the exhaust seat"),
    NUMBER("pilot", "bleed_discharge", UNIT_NONE, PILOT, "0.8", "0.01", "1",
           model.pilot.bleed_discharge, "discharge coefficient of the bleed"),
    MAYBE("pilot", "exhaust_lap", UNIT_LENGTH, PILOT, "1 um", "0.1 m", model.pilot.exhaust_lap,
          "three-way: pilot travel at which the exhaust seat shuts"),
    CHOICE("pilot", "supply", PILOT, false, "upstream", supply_words, model.pilot.supply_from,
           "fed from before the regulator, or from a stated pressure"),
    MAYBE("pilot", "supply_pressure", UNIT_PRESSURE_LEVEL, PILOT, "0 Pa(a)", "100 MPa(a)",
          model.pilot_supply_pressure, "the stated pressure"),
    NUMBER("pilot", "supply_volume", UNIT_VOLUME, PILOT, "0 m3", "0 m3", "10 m3",
           model.pilot.supply_volume.volume, "volume ahead of the pilot; 0: none"),
    NUMBER("pilot", "supply_wall_conductance", UNIT_CONDUCTANCE, PILOT, "0 W/K", "0 W/K", "1e6 W/K",
           model.pilot.supply_volume.wall_conductance, "heat passed by that volume's walls"),
    MAYBE("pilot", "supply_line", UNIT_LENGTH, PILOT, "0.01 mm", "0.1 m",
          model.pilot.supply_line_diameter, "restriction that feeds that volume"),
    CHOICE("pilot", "exhaust_to", PILOT, false, "downstream", reference_words,
           model.pilot.exhaust_to, "where the pilot exhausts"),
};

static const struct field pilot_friction_rows[] = {
    FRICTION_ROWS("pilot_friction", PILOT, "2 um", model.pilot.friction),
};

static const struct field pilot_stop_rows[] = {
    CONTACT_ROWS("pilot_stops", PILOT, "the pilot's stops", model.pilot.stops),
};

static const struct field sense_rows[] = {
    CHOICE("sense", "passage", ANY, false, "orifice", passage_words, model.sense.passage,
           "ideal: senses at once; orifice or laminar: through the sense line"),
    MAYBE("sense", "bore", UNIT_LENGTH, ANY, "0.01 mm", "0.2 m", model.sense.bore,
          "of the sense line"),
    NUMBER("sense", "length", UNIT_LENGTH, ANY, "= 60 bores of an orifice", "0.1 mm", "1 km",
           model.sense.length, "of the sense line; needed when laminar or with inertance"),
    NUMBER("sense", "discharge", UNIT_NONE, ANY, "0.8", "0.01", "1", model.sense.discharge,
           "discharge coefficient of an orifice"),
    MAYBE("sense", "cavity_volume", UNIT_VOLUME, ANY, "1e-10 m3", "1 m3", model.sense.cavity.volume,
          "at the end of the line, with the line's own volume"),
    NUMBER("sense", "cavity_wall_conductance", UNIT_CONDUCTANCE, ANY, "0 W/K", "0 W/K", "1e6 W/K",
           model.sense.cavity.wall_conductance, "heat passed by the cavity's walls"),
    FLAG("sense", "inertance", ANY, "no", model.sense.inertance,
         "the gas in the line has weight; matters in long lines"),
    NUMBER("sense", "tap_bore", UNIT_LENGTH, ANY, "0 mm", "0 mm", "2 m", model.sense.tap_bore,
           "bore of the pipe at the tap; 0: tapped at the vessel"),
    NUMBER("sense", "tap_distance", UNIT_LENGTH, ANY, "= none: tapped at the vessel", "0 m",
           "10 km", model.sense.tap_distance,
           "of a tap on the line to the vessel, from the regulator"),
};

const struct field_section field_sections_parts[] = {
    SECTION("trim", "plug, port and seat; `trims` may name several, each saying what it changes",
            trim_rows),
    SECTION("body", "the valve body that the trim sits in", body_rows),
    SECTION("inlet_pipe", "the pipe before the body", inlet_pipe_rows),
    SECTION("outlet_pipe", "the pipe behind the body", outlet_pipe_rows),
    SECTION("line_before", "pipe before the regulator, in which waves run", line_before_rows),
    SECTION("line_after", "pipe after the regulator, in which waves run", line_after_rows),
    SECTION("line_sense", "tubing from the tap to the diaphragm, in which waves run",
            line_sense_rows),
    SECTION("line_loading", "tubing between pilot and loading chamber, in which waves run",
            line_loading_rows),
    SECTION("line_supply", "tubing that feeds the pilot, in which waves run", line_supply_rows),
    SECTION("actuator", "diaphragm, spring and what moves with them", actuator_rows),
    SECTION("friction", "of the stem", friction_rows),
    SECTION("oil_damper", "oil pushed through a hole", oil_rows),
    SECTION("seat", "contact of the plug with its seat", seat_rows),
    SECTION("stop", "contact at full travel", stop_rows),
    SECTION("pilot", "the pilot regulator", pilot_rows),
    SECTION("pilot_friction", "of the pilot's stem", pilot_friction_rows),
    SECTION("pilot_stops", "contact of the pilot with its stops", pilot_stop_rows),
    SECTION("sense", "the line that brings the held pressure to the diaphragm", sense_rows),
};
const size_t field_sections_parts_count =
    sizeof field_sections_parts / sizeof field_sections_parts[0];
