// SPDX-License-Identifier: MIT
// Complete invented scenarios that tests take and change, and short ways to read them.
#pragma once

#include "support.h"

#include "scenario/scenario.h"

static const char pilot_scenario[] = "title: invented 3 in regulator\n"               // 1
                                     "duty: back-pressure\n"                          // 2
                                     "actuation: pilot\n"                             // 3
                                     "site: {altitude: 1500 ft}\n"                    // 4
                                     "fluid: {gravity: 0.65, temperature: 80 degF}\n" // 5
                                     "vessel:\n"                                      // 6
                                     "  volume: 8.0 ft3\n"                            // 7
                                     "  pressure_limit: 125 psig\n"                   // 8
                                     "inflow:\n"                                      // 9
                                     "  rate: 0.15 MMscf/d\n"                         // 10
                                     "downstream: {pressure: 15 psig}\n"              // 11
                                     "set: {pressure: 50 psig}\n"                     // 12
                                     "trim: {travel: 0.76 in}\n"                      // 13
                                     "trims:\n"                                       // 14
                                     "  full: {port: 2 7/8 in}\n"                     // 15
                                     "  reduced: {port: 1.8 in}\n"                    // 16
                                     "actuator:\n"                                    // 17
                                     "  diaphragm_area: 38 in2\n"                     // 18
                                     "  spring_rate: 1474 lbf/in\n"                   // 19
                                     "  preload: about 87 lbf\n"                      // 20
                                     "  moving_mass: 6 lb\n"                          // 21
                                     "  damping: 514 N s/m\n"                         // 22
                                     "  chamber_volume: 98 in3\n"                     // 23
                                     "friction: {kinetic: 5 lbf}\n"                   // 24
                                     "pilot:\n"                                       // 25
                                     "  moving_mass: 0.3 lb\n"                        // 26
                                     "  damping: 60 N s/m\n"                          // 27
                                     "  travel: 0.03 in\n"                            // 28
                                     "  diaphragm_area: 3.75 in2\n"                   // 29
                                     "  spring_rate: 3314 lbf/in\n"                   // 30
                                     "  feedback_area: 0.757 in2\n"                   // 31
                                     "  supply_seat: 0.091 in\n"                      // 32
                                     "  bleed: 0.100 in\n"                            // 33
                                     "sense:\n"                                       // 34
                                     "  bore: 0.087 in\n"                             // 35
                                     "  cavity_volume: 3 in3\n"                       // 36
                                     "expect:\n"                                      // 37
                                     "  - {quantity: verdict, value: slamming, trim: full}\n";

static const char direct_scenario[] = "duty: reducing\n"                     // 1
                                      "actuation: direct\n"                  // 2
                                      "fluid: {molar_mass: 28.9651 g/mol}\n" // 3
                                      "vessel: {volume: 0.010 m3}\n"         // 4
                                      "demand: {rate: 35 kg/h}\n"            // 5
                                      "inlet: {pressure: 9 bar(g)}\n"        // 6
                                      "set: {pressure: 100 kPa(g)}\n"        // 7
                                      "trim: {port: 20 mm, travel: 3 mm}\n"  // 8
                                      "actuator:\n"                          // 9
                                      "  diaphragm_area: 100 cm2\n"          // 10
                                      "  spring_rate: 20 N/mm\n"             // 11
                                      "  moving_mass: 200 g\n"               // 12
                                      "sense: {passage: ideal}\n";           // 13

static const char liquid_scenario[] = "duty: back-pressure\n"                              // 1
                                      "actuation: direct\n"                                // 2
                                      "fluid: {phase: liquid, density: 870 kg/m3}\n"       // 3
                                      "vessel: {volume: 0.1581139 L}\n"                    // 4
                                      "inflow: {rate: 420 L/min}\n"                        // 5
                                      "downstream: {pressure: 0 barg}\n"                   // 6
                                      "trim: {port: 10 mm, travel: 1 m, discharge: 0.7}\n" // 7
                                      "actuator:\n"                                        // 8
                                      "  diaphragm_area: 1 cm2\n"                          // 9
                                      "  spring_rate: 10 N/mm\n"                           // 10
                                      "  moving_mass: 10 g\n"                              // 11
                                      "  preload: 100 N\n"                                 // 12
                                      "sense: {passage: ideal}\n"                          // 13
                                      "stop: {law: none}\n";                               // 14

static inline struct scenario *fixture_load(const char *text) {
    struct diagnostics list = {0};
    struct scenario *scenario = scenario_load_text("test.yaml", text, strlen(text), &list);
    diagnostics_print(&list, stderr);
    assert_int_equal(list.errors, 0);
    assert_non_null(scenario);
    diagnostics_free(&list);
    return scenario;
}

static inline struct scenario_case fixture_resolve(const struct scenario *scenario, size_t trim) {
    struct diagnostics list = {0};
    struct scenario_case resolved;
    const bool fine = scenario_resolve(scenario, trim, &resolved, &list);
    diagnostics_print(&list, stderr);
    assert_true(fine);
    diagnostics_free(&list);
    return resolved;
}

// One override on a fresh scenario, resolved.
static inline struct scenario_case fixture_resolve_with(struct scenario *scenario,
                                                        const char *assignment) {
    struct diagnostics list = {0};
    const bool fine = scenario_override(scenario, assignment, &list);
    diagnostics_print(&list, stderr);
    assert_true(fine);
    diagnostics_free(&list);
    return fixture_resolve(scenario, 0);
}
