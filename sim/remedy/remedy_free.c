// SPDX-License-Identifier: MIT
// Remedies that need no parts: screws, valves, oil, cleaning, service. The ranges are our judgement
// of what can be done on site; no source.
#include "remedy/remedy.h"

static bool has_preload(const struct scenario_case *c) {
    return c->model.actuation == ACTUATION_PILOT && c->model.actuator.preload > 0.0;
}

static bool has_fixed_bleed(const struct scenario_case *c) {
    return c->model.pilot.exhaust == EXHAUST_BLEED;
}

static bool has_supply_line(const struct scenario_case *c) {
    return c->model.pilot.supply_volume.volume > 0.0;
}

static bool lacks_supply_line(const struct scenario_case *c) {
    return c->model.actuation == ACTUATION_PILOT && !has_supply_line(c);
}

static bool has_sense_line(const struct scenario_case *c) {
    return c->model.sense.passage != SENSE_IDEAL;
}

static bool has_oil(const struct scenario_case *c) {
    return c->model.actuator.oil.displaced_area > 0.0;
}

static bool lacks_oil(const struct scenario_case *c) {
    return has_oil(c) && c->model.actuator.oil.level < c->model.actuator.oil.hole_diameter;
}

static double full_oil(const struct scenario_case *c) {
    return c->model.actuator.oil.hole_diameter;
}

static bool has_friction(const struct scenario_case *c) {
    return c->model.actuator.friction.kinetic_force > 0.0;
}

static bool has_pilot_friction(const struct scenario_case *c) {
    return c->model.pilot.friction.kinetic_force > 0.0;
}

static bool has_feedback(const struct scenario_case *c) {
    return c->model.pilot.feedback_area > 0.0;
}

// The chamber pushes back on a part of the pilot's diaphragm.
static double sensed_area(const struct scenario_case *c) {
    return c->model.pilot.diaphragm_area;
}

static bool can_feed_back_more(const struct scenario_case *c) {
    return has_feedback(c) && c->model.pilot.feedback_area < sensed_area(c);
}

static bool has_gas_space(const struct scenario_case *c) {
    return c->model.phase == FLUID_GAS && c->model.duty == DUTY_BACK_PRESSURE;
}

// With a stated coefficient the opening at the new stop would be a guess.
static bool has_geometric_travel(const struct scenario_case *c) {
    return c->model.trim.characteristic == TRIM_CURTAIN && c->model.trim.rated_area <= 0.0;
}

static bool has_case_volume(const struct scenario_case *c) {
    return c->model.actuator.spring_case.volume > 0.0;
}

static bool has_backlash(const struct scenario_case *c) {
    return c->model.actuator.backlash > 0.0;
}

static double nothing(const struct scenario_case *c) {
    (void)c;
    return 0.0;
}

#define SERVICE                                                                                    \
    "it changes the service: ask whoever owns the process; stay below the vessel's limit"
#define ADJUSTABLE "only where the part has the adjustment; if not, it is a part to fit"
#define NOT_ALWAYS                                                                                 \
    "more damping is not always better: it calms fast motion and can drive slow motion"

const struct remedy remedy_without_parts[] = {
    {.name = "set-higher",
     .action = "turn the set pressure up a little",
     .field = "set.pressure",
     .way = REMEDY_TIMES_GAUGE,
     .from = 1.02,
     .to = 1.10,
     .caution = SERVICE},
    {.name = "set-lower",
     .action = "turn the set pressure down a little",
     .field = "set.pressure",
     .way = REMEDY_TIMES_GAUGE,
     .from = 0.98,
     .to = 0.90,
     .caution = SERVICE},
    {.name = "preload-less",
     .action = "back off the main spring",
     .field = "actuator.preload",
     .way = REMEDY_TIMES,
     .from = 0.8,
     .to = 0.2,
     .applies = has_preload,
     .missing = "the main spring has no preload, or its preload is the set pressure",
     .caution = "less seat load: prove that it still shuts tight"},
    {.name = "preload-more",
     .action = "load the main spring more",
     .field = "actuator.preload",
     .way = REMEDY_TIMES,
     .from = 1.25,
     .to = 3.0,
     .applies = has_preload,
     .missing = "the main spring has no preload, or its preload is the set pressure",
     .caution = "it needs more chamber pressure to open: see that it still opens fully"},
    {.name = "bleed-larger",
     .action = "open the pilot's bleed",
     .field = "pilot.bleed",
     .way = REMEDY_TIMES,
     .from = 1.1,
     .to = 1.5,
     .applies = has_fixed_bleed,
     .missing = "a three-way pilot has no fixed bleed",
     .caution = ADJUSTABLE "; the pilot uses more gas"},
    {.name = "bleed-smaller",
     .action = "close in the pilot's bleed",
     .field = "pilot.bleed",
     .way = REMEDY_TIMES,
     .from = 0.9,
     .to = 0.5,
     .applies = has_fixed_bleed,
     .missing = "a three-way pilot has no fixed bleed",
     .caution = ADJUSTABLE "; it closes more slowly, so watch the highest pressure"},
    {.name = "supply-throttled",
     .action = "close in the valve of the pilot supply",
     .field = "pilot.supply_line",
     .way = REMEDY_TIMES,
     .from = 0.8,
     .to = 0.3,
     .applies = has_supply_line,
     .missing = "no pilot.supply_volume with its supply_line is described",
     .caution = "it opens more slowly, so watch the highest pressure"},
    {.name = "supply-pinched",
     .action = "pinch the valve in the pilot's supply",
     .field = "pilot.supply_seat",
     .way = REMEDY_TIMES,
     .from = 0.8,
     .to = 0.4,
     .applies = lacks_supply_line,
     .missing = "no pilot, or its supply line is described and throttled itself",
     .caution =
         "taken as a supply seat that passes as much less; it opens more slowly, so watch the "
         "highest pressure"},
    {.name = "sense-throttled",
     .action = "close in the needle valve of the sense line, or fit an orifice",
     .field = "sense.bore",
     .way = REMEDY_TIMES,
     .from = 0.8,
     .to = 0.3,
     .applies = has_sense_line,
     .missing = "the sense line is ideal",
     .caution = "the pressure is seen late: it calms fast chatter and can drive slow hunting"},
    {.name = "sense-opened",
     .action = "clear and open the sense line",
     .field = "sense.bore",
     .way = REMEDY_TIMES,
     .from = 1.2,
     .to = 2.0,
     .applies = has_sense_line,
     .missing = "the sense line is ideal",
     .caution = "beyond what its valve and fittings allow, a larger line is a part to fit"},
    {.name = "less-liquid-held",
     .action = "carry less liquid in the vessel, which leaves more gas space",
     .field = "vessel.volume",
     .way = REMEDY_TIMES,
     .from = 1.05,
     .to = 1.30,
     .applies = has_gas_space,
     .missing = "no vessel whose liquid leaves more or less gas space",
     .caution = "the level control, and the time the liquid needs in the vessel"},
    {.name = "oil-refilled",
     .action = "fill the oil damper up",
     .field = "oil_damper.level",
     .way = REMEDY_TOWARD,
     .from = 0.5,
     .to = 1.0,
     .target = full_oil,
     .applies = lacks_oil,
     .missing = "no oil damper, or it is full",
     .caution = "find out where the oil went"},
    {.name = "oil-thinner",
     .action = "change to a thinner oil",
     .field = "oil_damper.viscosity",
     .way = REMEDY_TIMES,
     .from = 0.7,
     .to = 0.2,
     .applies = has_oil,
     .missing = "no oil damper",
     .caution = "only an oil that the maker allows"},
    {.name = "oil-thicker",
     .action = "change to a thicker oil",
     .field = "oil_damper.viscosity",
     .way = REMEDY_TIMES,
     .from = 1.5,
     .to = 5.0,
     .applies = has_oil,
     .missing = "no oil damper",
     .caution = NOT_ALWAYS "; only an oil that the maker allows"},
    {.name = "oil-hole-larger",
     .action = "open the transfer hole of the oil damper",
     .field = "oil_damper.hole_diameter",
     .way = REMEDY_TIMES,
     .from = 1.1,
     .to = 1.6,
     .applies = has_oil,
     .missing = "no oil damper",
     .companion = {"oil_damper.level", 1.0},
     .caution = ADJUSTABLE},
    {.name = "oil-hole-smaller",
     .action = "close in the transfer hole of the oil damper",
     .field = "oil_damper.hole_diameter",
     .way = REMEDY_TIMES,
     .from = 0.9,
     .to = 0.6,
     .applies = has_oil,
     .missing = "no oil damper",
     .companion = {"oil_damper.level", 1.0},
     .caution = ADJUSTABLE "; " NOT_ALWAYS},
    {.name = "stem-cleaned",
     .action = "clean, align and grease stem and packing",
     .field = "friction.kinetic",
     .way = REMEDY_TIMES,
     .from = 0.8,
     .to = 0.2,
     .applies = has_friction,
     .missing = "no stem friction is described",
     .companion = {"friction.static", 1.0},
     .caution = "what friction has hidden may show: watch the first start"},
    {.name = "packing-tighter",
     .action = "tighten the packing (crews try it; it is no cure)",
     .field = "friction.kinetic",
     .way = REMEDY_TIMES,
     .from = 1.5,
     .to = 4.0,
     .applies = has_friction,
     .missing = "no stem friction is described",
     .companion = {"friction.static", 1.0},
     .caution = "friction only hides the motion, wears the stem, and lets the pressure wander"},
    {.name = "pilot-cleaned",
     .action = "clean the pilot, so that it moves freely",
     .field = "pilot_friction.kinetic",
     .way = REMEDY_TIMES,
     .from = 0.8,
     .to = 0.2,
     .applies = has_pilot_friction,
     .missing = "no pilot friction is described",
     .companion = {"pilot_friction.static", 1.0},
     .caution = "what friction has hidden may show: watch the first start"},
    {.name = "band-wider",
     .action = "widen the pilot's proportional band (more feedback of the chamber)",
     .field = "pilot.feedback_area",
     .way = REMEDY_TIMES,
     .from = 1.2,
     .to = 2.0,
     .at_most = sensed_area,
     .applies = can_feed_back_more,
     .missing = "the pilot has no feedback of the chamber, or feeds back on its whole diaphragm",
     .caution = ADJUSTABLE "; the pressure then rises more between low and high flow"},
    {.name = "band-narrower",
     .action = "narrow the pilot's proportional band (less feedback of the chamber)",
     .field = "pilot.feedback_area",
     .way = REMEDY_TIMES,
     .from = 0.8,
     .to = 0.5,
     .applies = has_feedback,
     .missing = "the pilot has no feedback of the chamber",
     .caution = ADJUSTABLE},
    {.name = "downstream-restricted",
     .action = "hold more pressure after the regulator with a valve downstream",
     .field = "downstream.pressure",
     .way = REMEDY_TOWARD_SET,
     .from = 0.15,
     .to = 0.60,
     .caution = "less flow is passed at full travel; have the relief capacity checked. Taken as a "
                "steady pressure"},
    {.name = "inlet-lowered",
     .action = "take a first cut of the pressure upstream of the regulator",
     .field = "inlet.pressure",
     .way = REMEDY_TOWARD_SET,
     .from = 0.15,
     .to = 0.60,
     .caution = "less flow is passed at full travel. Taken as a steady pressure"},
    {.name = "travel-limited",
     .action = "limit the travel with the stop",
     .field = "trim.travel",
     .way = REMEDY_TIMES,
     .from = 0.8,
     .to = 0.2,
     .applies = has_geometric_travel,
     .missing = "the trim's flow is not known from its geometry alone",
     .caution = "less flow is passed; have the relief capacity checked"},
    {.name = "case-vent-throttled",
     .action = "throttle the vent of the spring case",
     .field = "actuator.case_vent",
     .way = REMEDY_TIMES,
     .from = 0.7,
     .to = 0.2,
     .applies = has_case_volume,
     .missing = "no actuator.case_volume with its vent is described",
     .caution = "a vent that plugs holds the regulator where it is: it must stay clear"},
    {.name = "play-removed",
     .action = "take up the play between actuator and plug",
     .field = "actuator.backlash",
     .way = REMEDY_TOWARD,
     .from = 0.5,
     .to = 1.0,
     .target = nothing,
     .applies = has_backlash,
     .missing = "no play is described",
     .caution = "worn joints come back: find the cause"},
};
const size_t remedy_without_parts_count =
    sizeof remedy_without_parts / sizeof remedy_without_parts[0];
