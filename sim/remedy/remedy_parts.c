// SPDX-License-Identifier: MIT
// Remedies that need parts. The ranges are our judgement of what can be had; no source.
#include "remedy/remedy.h"

static bool has_round_port(const struct scenario_case *c) {
    return c->model.trim.characteristic != TRIM_SLOT;
}

static bool has_gas(const struct scenario_case *c) {
    return c->model.phase == FLUID_GAS;
}

static bool has_unbalanced_plug(const struct scenario_case *c) {
    return c->model.trim.force_law != TRIM_FORCE_BALANCED && c->model.trim.balance < 0.5;
}

static bool has_damping(const struct scenario_case *c) {
    return c->model.actuator.damping > 0.0;
}

static bool has_sense_line(const struct scenario_case *c) {
    return c->model.sense.passage != SENSE_IDEAL;
}

static bool has_flow_tap(const struct scenario_case *c) {
    return c->model.sense.tap_bore > 0.0;
}

static double balanced(const struct scenario_case *c) {
    (void)c;
    return 0.95;
}

static double nothing(const struct scenario_case *c) {
    (void)c;
    return 0.0;
}

static bool has_plug_force(const struct scenario_case *c) {
    return c->model.trim.force_law != TRIM_FORCE_BALANCED && c->model.trim.balance < 1.0;
}

static bool has_bleed(const struct scenario_case *c) {
    return c->model.actuation == ACTUATION_PILOT && c->model.pilot.exhaust == EXHAUST_BLEED;
}

// The opening grows with the travel by the port's edge alone, or as a stated flow coefficient says.
static bool has_plain_edge(const struct scenario_case *c) {
    return c->model.trim.characteristic == TRIM_CURTAIN && c->model.trim.rated_area <= 0.0;
}

static bool has_stated_flow(const struct scenario_case *c) {
    return c->model.trim.rated_area > 0.0;
}

static bool has_supply_tubing(const struct scenario_case *c) {
    return c->model.line[LINE_SUPPLY].length > 0.0;
}

#define CAPACITY "less flow is passed: check the peak, and have the relief capacity checked"

const struct remedy remedy_with_parts[] = {
    {.name = "port-reduced",
     .action = "fit a reduced port in the same body",
     .field = "trim.port",
     .way = REMEDY_TIMES,
     .from = 0.85,
     .to = 0.4,
     .parts = true,
     .applies = has_round_port,
     .missing = "a slot has no port to reduce",
     .companion = {"trim.coefficient", 2.0},
     .caution = CAPACITY},
    {.name = "flow-reversed",
     .action =
         "turn the body round in the line, so that the flow meets the plug from the other side",
     .field = "trim.direction",
     .way = REMEDY_CHOICE,
     .parts = true,
     .applies = has_plug_force,
     .missing = "the plug is balanced: the flow does not push it",
     .caution = "pipe work, with gaskets at the least; only where the maker allows both; it "
                "changes what holds it shut, and how it fails"},
    {.name = "plug-characterised",
     .action = "fit a plug that opens the port more slowly over a longer travel: less gain",
     .field = "trim.discharge",
     .way = REMEDY_TIMES,
     .from = 0.8,
     .to = 0.5,
     .parts = true,
     .applies = has_plain_edge,
     .missing = "the trim's flow is not known from its geometry alone",
     .companion = {"trim.travel", -1.0},
     .caution = "see that the actuator has the travel, and still opens it fully"},
    {.name = "travel-longer",
     .action = "fit a trim of the same flow with a longer travel: less gain",
     .field = "trim.travel",
     .way = REMEDY_TIMES,
     .from = 1.25,
     .to = 2.0,
     .parts = true,
     .applies = has_stated_flow,
     .missing = "no trim.coefficient is stated",
     .caution = "see that the actuator has the travel, and still opens it fully"},
    {.name = "plug-balanced",
     .action = "fit a balanced plug",
     .field = "trim.balance",
     .way = REMEDY_TOWARD,
     .from = 0.5,
     .to = 1.0,
     .target = balanced,
     .parts = true,
     .applies = has_unbalanced_plug,
     .missing = "the plug is balanced",
     .caution = "its seals bring friction, and its seat load is less"},
    {.name = "gas-volume-added",
     .action = "tie an empty pressure vessel to the vessel or line whose pressure is held",
     .field = "vessel.volume",
     .way = REMEDY_TIMES,
     .from = 1.5,
     .to = 4.0,
     .parts = true,
     .applies = has_gas,
     .missing = "liquid service",
     .caution = "a pressure vessel of its own: rated, drained, and with a large connection"},
    {.name = "tap-moved",
     .action = "move the sense tap to the vessel",
     .field = "sense.tap_bore",
     .way = REMEDY_TOWARD,
     .from = 1.0,
     .to = 1.0,
     .target = nothing,
     .parts = true,
     .applies = has_flow_tap,
     .missing = "it is tapped at the vessel",
     .caution = "a long line is slow: say its new length and bore too"},
    {.name = "sense-chamber-added",
     .action = "fit a small volume chamber in the sense line",
     .field = "sense.cavity_volume",
     .way = REMEDY_TIMES,
     .from = 1.5,
     .to = 6.0,
     .parts = true,
     .applies = has_sense_line,
     .missing = "the sense line is ideal",
     .caution = "the pressure is seen late: it calms fast chatter and can drive slow hunting"},
    {.name = "spring-softer",
     .action = "fit a softer main spring",
     .field = "actuator.spring_rate",
     .way = REMEDY_TIMES,
     .from = 0.85,
     .to = 0.5,
     .parts = true,
     .caution = "springs under load: take the load off as the maker's manual says"},
    {.name = "spring-stiffer",
     .action = "fit a stiffer main spring",
     .field = "actuator.spring_rate",
     .way = REMEDY_TIMES,
     .from = 1.15,
     .to = 2.0,
     .parts = true,
     .caution = "see that it still opens fully; take the load off as the maker's manual says"},
    {.name = "range-spring-softer",
     .action = "fit a softer range spring in the pilot",
     .field = "pilot.spring_rate",
     .way = REMEDY_TIMES,
     .from = 0.85,
     .to = 0.5,
     .parts = true,
     .caution = "the set pressure must lie in the spring's range"},
    {.name = "range-spring-stiffer",
     .action = "fit a stiffer range spring in the pilot",
     .field = "pilot.spring_rate",
     .way = REMEDY_TIMES,
     .from = 1.15,
     .to = 2.0,
     .parts = true,
     .caution = "the set pressure must lie in the spring's range"},
    {.name = "pilot-seat-smaller",
     .action = "fit a smaller supply seat in the pilot, or an orifice in its supply",
     .field = "pilot.supply_seat",
     .way = REMEDY_TIMES,
     .from = 0.9,
     .to = 0.5,
     .parts = true,
     .caution = "it opens more slowly, so watch the highest pressure"},
    {.name = "pilot-seat-larger",
     .action = "fit a larger supply seat in the pilot",
     .field = "pilot.supply_seat",
     .way = REMEDY_TIMES,
     .from = 1.1,
     .to = 1.6,
     .parts = true,
     .caution = "the pilot uses more gas"},
    {.name = "pilot-seats-larger",
     .action = "open both seats of the pilot by the same factor, supply and bleed",
     .field = "pilot.supply_seat",
     .way = REMEDY_TIMES,
     .from = 1.25,
     .to = 2.0,
     .parts = true,
     .applies = has_bleed,
     .missing = "a three-way pilot has no fixed bleed",
     .companion = {"pilot.bleed", 1.0},
     .caution = "the pilot uses several times as much gas, and does not shut below that flow"},
    {.name = "supply-tubing-wider",
     .action = "run wider tubing to the pilot's supply",
     .field = "line_supply.bore",
     .way = REMEDY_TIMES,
     .from = 1.4,
     .to = 3.0,
     .parts = true,
     .applies = has_supply_tubing,
     .missing = "no line_supply to the pilot is described",
     .caution = "the pilot opens faster; isolate and vent the tubing before it is opened"},
    {.name = "supply-tubing-shorter",
     .action = "feed the pilot from nearer by, through shorter tubing",
     .field = "line_supply.length",
     .way = REMEDY_TIMES,
     .from = 0.7,
     .to = 0.1,
     .parts = true,
     .applies = has_supply_tubing,
     .missing = "no line_supply to the pilot is described",
     .caution = "the pilot opens faster; isolate and vent the tubing before it is opened"},
    {.name = "diaphragm-smaller",
     .action = "fit a smaller actuator diaphragm",
     .field = "actuator.diaphragm_area",
     .way = REMEDY_TIMES,
     .from = 0.9,
     .to = 0.6,
     .parts = true,
     .caution = "less force: see that it still opens fully and shuts tight"},
    {.name = "diaphragm-larger",
     .action = "fit a larger actuator diaphragm",
     .field = "actuator.diaphragm_area",
     .way = REMEDY_TIMES,
     .from = 1.1,
     .to = 1.6,
     .parts = true,
     .caution = "more force on stem and seat: the maker must allow it"},
    {.name = "chamber-larger",
     .action = "tie a small volume chamber to the loading chamber",
     .field = "actuator.chamber_volume",
     .way = REMEDY_TIMES,
     .from = 1.5,
     .to = 4.0,
     .parts = true,
     .caution = "the regulator follows more slowly, so watch the highest pressure"},
    {.name = "chamber-smaller",
     .action = "shorten the loading line, or fill up dead volume of the chamber",
     .field = "actuator.chamber_volume",
     .way = REMEDY_TIMES,
     .from = 0.9,
     .to = 0.6,
     .parts = true,
     .caution = "the diaphragm must keep its full travel"},
    {.name = "damper-stronger",
     .action = "fit a stronger damper to the stem",
     .field = "actuator.damping",
     .way = REMEDY_TIMES,
     .from = 1.5,
     .to = 5.0,
     .parts = true,
     .applies = has_damping,
     .missing = "no damping is described",
     .caution =
         "more damping is not always better: it calms fast motion and can drive slow motion"},
};
const size_t remedy_with_parts_count = sizeof remedy_with_parts / sizeof remedy_with_parts[0];
