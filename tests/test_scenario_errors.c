// SPDX-License-Identifier: MIT
// Every error of the scenario reader: what was written, where it points, what it says. Each row
// changes one thing in a good scenario and must give exactly one error.
#include "support.h"

#include "fixture_scenario.h"
#include "scenario/scenario.h"

#include <stdlib.h>

struct error_row {
    const char *base; // scenario to change; NULL: `with` is the whole text
    const char *find;
    const char *with;
    int line;
    int column;
    const char *words;
};

#define PILOT pilot_scenario
#define DIRECT direct_scenario
#define LIQUID liquid_scenario

static const struct error_row rows[] = {
    // Files that are not scenarios.
    {NULL, NULL, "", 0, 0, "empty"},
    {NULL, NULL, "# only a comment\n", 0, 0, "empty"},
    {NULL, NULL, "just words\n", 1, 1, "mapping of sections"},
    {NULL, NULL, "- a\n- b\n", 1, 1, "mapping of sections"},
    {NULL, NULL, "title: \"open\nduty: x\n", 1, 8, "YAML"},
    {NULL, NULL, "title: [1, 2\n", 2, 1, "YAML"},
    {NULL, NULL, "\ttitle: x\n", 1, 1, "tab"},
    {PILOT, "  volume: 8.0", "\tvolume: 8.0", 7, 1, "used as indentation; use spaces"},
    {PILOT, "  diaphragm_area: 38", "  \tdiaphragm_area: 38", 18, 3, "; use spaces"},
    {NULL, NULL, "title:x\n", 1, 1, "put a space after the colon"},
    {PILOT, "volume: 8.0 ft3", "volume:8.0 ft3", 7, 3, "put a space after the colon"},
    {PILOT, "volume: 8.0 ft3", "volume:8.0 ft3  # said\n\n  # more", 7, 3, "put a space after"},
    {PILOT, "duty: back", "duty:back", 2, 1, "put a space after the colon"},
    {PILOT, "  bore: 0.087 in\n  cavity_volume: 3 in3", "  bore:0.087 in", 35, 3,
     "`name: value` lines; put a space after the colon"},
    {PILOT, "{port: 1.8 in}", "{discharge:0.7, port: 1.8 in}", 16, 13,
     "put a space after the colon"},
    {PILOT, "friction: {kinetic: 5 lbf}", "friction:{kinetic: 5 lbf}", 24, 1,
     "put a space after the colon"},
    {NULL, NULL, "title: a\xff\n", 1, 9, "not UTF-8 text (byte 0xff)"},
    {NULL, NULL, "title: \xed\xa0\x80\n", 1, 8, "not UTF-8"},
    {NULL, NULL, "title: a\n# \x01\n", 2, 3, "control character 0x01"},
    {NULL, NULL, "%YAML 3.0\n---\ntitle: a\n", 1, 1, "YAML"},
    // YAML that scenarios do without.
    {PILOT, "volume: 8.0 ft3", "volume: &v 8.0 ft3", 7, 14, "anchors"},
    {PILOT, "volume: 8.0 ft3", "volume: !x 8.0 ft3", 7, 14, "tags"},
    {PILOT, "damping: 514 N s/m", "damping: *d", 22, 12, "aliases"},
    {PILOT, "set: {", "set: {<<: 3, ", 12, 7, "merge keys"},
    {PILOT, "set: {", "set: {[a]: 3, ", 12, 7, "a key must be a plain word"},
    {PILOT, "title: invented", "---\n---\ntitle: invented", 2, 1, "second document"},
    {PILOT, "title: invented 3 in regulator", "title: [[[[[[[[[[[[[[[[[[a]]]]]]]]]]]]]]]]]]", 1, 23,
     "nested deeper"},
    // A bore that is none, one too narrow for the flow, a pulse below nothing.
    {PILOT, "bore: 0.087 in", "bore: 0.087 in\n  tap_bore: 0.5 mm", 36, 13,
     "sense.tap_bore: allowed 0 mm, tapped at the vessel, or 1 mm to 2 m"},
    {PILOT, "bore: 0.087 in", "bore: 0.087 in\n  tap_bore: 2 mm", 36, 13,
     "velocity head there is more than the set pressure"},
    {PILOT, "{pressure: 15 psig}",
     "{pressure: {pulse: {middle: 1 psia, crest: 3 psia, start: 0 s, period: 1 s}}}", 11, 24,
     "falls as far below its middle as its crest is above: below 0 Pa(a)"},
    // Keys.
    {PILOT, "vessel:", "vesel:", 6, 1, "did you mean vessel?"},
    {PILOT, "title:", "tittle:", 1, 1, "did you mean title?"},
    {PILOT, "title:", "spring_rate: 3 N/m\ntitle:", 1, 1, "did you mean actuator.spring_rate?"},
    {PILOT, "title:", "qqqqqqqqqq: 3\ntitle:", 1, 1, "no section 'qqqqqqqqqq'"},
    {PILOT, "title:", "'root $6$salt': 3\ntitle:", 1, 1, "no section of that name"},
    {PILOT, "set: {", "set: {'root $6$salt': 3, ", 12, 7, "set: no field of that name"},
    {PILOT, "  damping: 514", "  dampin: 514", 22, 3, "did you mean actuator.damping?"},
    {PILOT, "  damping: 514 N s/m", "  rangeability: 50", 22, 3, "did you mean trim.rangeability?"},
    {PILOT, "  damping: 514", "  qqqqqqqqqqq: 514", 22, 3, "actuator: no field"},
    {PILOT, "  damping: 514 N s/m", "  moving_mass: 3 lb", 22, 3,
     "actuator.moving_mass: given twice; first in line 21"},
    {PILOT, "site: {altitude: 1500 ft}", "site: 3", 4, 7, "site: a section"},
    {PILOT, "site: {altitude: 1500 ft}", "site:", 4, 1, "site: a section"},
    {PILOT, "full: {port: 2 7/8 in}", "fu.ll: {port: 2 7/8 in}\n  full: {port: 3 in}", 15, 3,
     "letters, digits"},
    {PILOT, "full: {port: 2 7/8 in}", "full: {port: 2 7/8 in, prt: 3 in}", 15, 26,
     "did you mean trim.port?"},
    // Values.
    {PILOT, "volume: 8.0 ft3", "volume: 8.0", 7, 11, "a volume needs a unit"},
    {PILOT, "title:", "title: x\ntitle:", 2, 1, "title: given twice"},
    {PILOT, "full: {port: 2 7/8 in}", "full: {port: 2 7/8 in, port: 3 in}", 15, 26,
     "trims.full.port: given twice; first in line 15"},
    {PILOT, "volume: 8.0 ft3", "volume:", 7, 3, "is empty"},
    {PILOT, "volume: 8.0 ft3", "volume: ''", 7, 11, "is empty"},
    {PILOT, "volume: 8.0 ft3", "volume: [8.0 ft3]", 7, 11, "found a list; allowed one value"},
    {PILOT, "volume: 8.0 ft3", "volume: 8.0 psig", 7, 11, "no such unit of volume"},
    {PILOT, "volume: 8.0 ft3", "volume: -8.0 ft3", 7, 11, "found '-8.0 ft3'; allowed 1e-9 m3"},
    {PILOT, "volume: 8.0 ft3", "volume: about", 7, 11, "not a number"},
    {PILOT, "volume: 8.0 ft3", "volume: {valu: 8.0 ft3, value: 8 ft3}", 7, 12,
     "did you mean value?"},
    {PILOT, "volume: 8.0 ft3", "volume: {guess: yes}", 7, 11, "needs `value`"},
    {PILOT, "volume: 8.0 ft3", "volume: {value: 8 ft3, guess: maybe}", 7, 33, "allowed yes, no"},
    {PILOT, "volume: 8.0 ft3", "volume: {value: 8 ft3, low: 7 ft3}", 7, 11, "go together"},
    {PILOT, "volume: 8.0 ft3", "volume: {value: 8 ft3, low: 9 ft3, high: 10 ft3}", 7, 11,
     "must rise"},
    {PILOT, "50 psig", "50 psi", 12, 17, "psig or psia? write 50 psig or 50 psia"},
    {PILOT, "altitude: 1500 ft", "altitude: '5,500 ft'", 4, 18, "write 5500, or 5.5 if you mean"},
    {PILOT, "volume: 8.0 ft3", "volume: 8 ft4", 7, 11, "did you mean ft3?"},
    {PILOT, "0.15 MMscf/d", "25 gpm", 10, 9, "a gas flow is a standard volume or a mass"},
    {PILOT, "duty: back-pressure", "duty: backpressure", 2, 7, "did you mean back-pressure?"},
    {PILOT, "duty: back-pressure\n", "", 1, 1, "duty: is missing; allowed back-pressure, reducing"},
    {PILOT, "  damping: 514 N s/m", "  swept_volume: maybe", 22, 17, "allowed yes, no"},
    {PILOT, "title:", "run: {max_steps: 1.5}\ntitle:", 1, 18, "whole number"},
    {PILOT, "title:", "run: {max_steps: 10}\ntitle:", 1, 18, "allowed 100 to 2000000000"},
    {PILOT, "altitude: 1500 ft", "altitude: 90000 ft", 4, 18, "allowed -500 m to 11000 m"},
    {PILOT, "altitude: 1500 ft", "atmosphere: 0 psig", 4, 20, "allowed an absolute pressure"},
    {PILOT, "altitude: 1500 ft", "altitude: 0 ft, atmosphere: 14 psia", 4, 18, "not both"},
    // Schedules.
    {PILOT, "rate: 0.15 MMscf/d", "rate: {stps: [[0 s, 1 kg/h]]}", 10, 10, "did you mean steps?"},
    {PILOT, "rate: 0.15 MMscf/d", "rate: [[0 s, 1 kg/h]]", 10, 9,
     "found a list; allowed one value; for a change over time write {steps: [[0 s, v], ...]}"},
    {PILOT, "rate: 0.15 MMscf/d", "rate: {}", 10, 9, "needs one of steps, ramp"},
    {PILOT, "rate: 0.15 MMscf/d", "rate: {steps: []}", 10, 17, "allowed [[time, value], ...]"},
    {PILOT, "rate: 0.15 MMscf/d", "rate: {steps: [[0 s]]}", 10, 18, "a pair [time, value]"},
    {PILOT, "rate: 0.15 MMscf/d", "rate: {steps: [[0 s, 1]]}", 10, 24, "a flow needs a unit"},
    {PILOT, "rate: 0.15 MMscf/d", "rate: {steps: [[0, 1 kg/h]]}", 10, 19, "a time needs a unit"},
    {PILOT, "rate: 0.15 MMscf/d", "rate: {steps: [[1 s, 1 kg/h], [1 s, 2 kg/h]]}", 10, 33,
     "times must rise"},
    {PILOT, "rate: 0.15 MMscf/d", "rate: {steps: [[0 s, -1 kg/h]]}", 10, 9, "allowed 0 kg/s"},
    {PILOT, "rate: 0.15 MMscf/d", "rate: {ramp: {from: 1 kg/h, to: 2 kg/h, start: 1 s}}", 10, 16,
     "`end` is missing"},
    {PILOT, "rate: 0.15 MMscf/d", "rate: {ramp: {from: 1 kg/h, to: 2 kg/h, start: 1 s, end: 1 s}}",
     10, 60, "after `start`"},
    {PILOT, "rate: 0.15 MMscf/d",
     "rate: {slug: {base: 1 kg/h, peak: 2 kg/h, start: 0 s, period: 5 s, duration: 6 s}}", 10, 80,
     "below `period`"},
    {PILOT, "rate: 0.15 MMscf/d",
     "rate: {slug: {base: 1 kg/h, peak: 2 kg/h, start: 0 s, period: 1 us, duration: 0.5 us}}", 10,
     65, "must not be below 1 ms"},
    {PILOT, "rate: 0.15 MMscf/d", "rate: {ramp: 3, slug: 4}", 10, 19, "only one of"},
    {PILOT, "rate: 0.15 MMscf/d", "rate: {record: nosuch.csv}", 10, 18, "cannot open"},
    {PILOT, "rate: 0.15 MMscf/d", "rate: {record: /dev/zero}", 10, 18, "not a plain file"},
    // Tables.
    {PILOT, "travel: 0.76 in", "travel: 0.76 in, flow_table: 3", 13, 37, "allowed [[position"},
    {PILOT, "travel: 0.76 in", "travel: 0.76 in, flow_table: [[0, 0]]", 13, 37, "two points"},
    {PILOT, "travel: 0.76 in", "travel: 0.76 in, flow_table: [[0, 0], [0, 1]]", 13, 46,
     "positions must rise"},
    {PILOT, "travel: 0.76 in", "travel: 0.76 in, flow_table: [[0, 0], [1, 9]]", 13, 46,
     "allowed values -1 to 2"},
    {PILOT, "travel: 0.76 in", "travel: 0.76 in, characteristic: table", 13, 1,
     "trim.flow_table: is missing"},
    {PILOT, "travel: 0.76 in", "travel: 0.76 in, force: table", 13, 1,
     "trim.force_table: is missing"},
    {PILOT, "travel: 0.76 in", "travel: 0.76 in, characteristic: slot", 13, 1,
     "trim.slot_width: is missing"},
    // What does not belong, what is missing.
    {PILOT, "actuation: pilot", "actuation: pilot\ndemand: {rate: 1 kg/h}", 4, 16,
     "demand.rate: does not apply here; it belongs to reducing"},
    {PILOT, "temperature: 80 degF", "density: 800 kg/m3", 5, 33, "belongs to liquid"},
    {DIRECT, "sense:", "pilot: {bleed: 1 mm}\nsense:", 13, 16, "belongs to pilot"},
    {PILOT, "  spring_rate: 1474 lbf/in\n", "", 17, 1, "actuator.spring_rate: is missing"},
    {PILOT, "full: {port: 2 7/8 in}", "full: {}", 13, 1, "trim.port: is missing"},
    {PILOT, "set: {pressure: 50 psig}\n", "", 1, 1, "set.pressure: is missing"},
    {PILOT, "  preload: about 87 lbf\n", "", 17, 1, "actuator.preload: is missing"},
    {DIRECT, "set: {pressure: 100 kPa(g)}\n", "", 1, 1, "give this or actuator.preload"},
    {DIRECT, "moving_mass: 200 g", "moving_mass: 200 g\n  preload: 3 N", 13, 12, "not both"},
    {DIRECT, "moving_mass: 200 g", "moving_mass: 200 g\n  case: downstream", 13, 9, "atmosphere"},
    {PILOT, "gravity: 0.65, ", "", 5, 1, "give this or fluid.molar_mass"},
    {PILOT, "gravity: 0.65", "gravity: 0.65, molar_mass: 18 g/mol", 5, 36, "not both"},
    {PILOT, "gravity: 0.65", "gravity: 2", 5, 1, "0.57 to 1.68"},
    {PILOT, "  bore: 0.087 in\n", "", 34, 1, "sense.bore: is missing"},
    {PILOT, "bore: 0.087 in", "bore: 0.087 in\n  passage: laminar", 34, 1, "has a length"},
    {PILOT, "bleed: 0.100 in", "bleed: 0.100 in\n  exhaust: three-way", 25, 1,
     "pilot.exhaust_lap: is missing"},
    {PILOT, "bleed: 0.100 in", "bleed: 0.100 in\n  exhaust: three-way\n  exhaust_lap: 0 in", 35, 16,
     "pilot.exhaust_lap: found"},
    {PILOT, "bleed: 0.100 in", "bleed: 0.100 in\n  supply: stated", 25, 1,
     "pilot.supply_pressure: is missing"},
    {PILOT, "bleed: 0.100 in", "bleed: 0.100 in\n  supply_volume: 3 in3", 25, 1,
     "pilot.supply_line: is missing"},
    {PILOT, "friction:", "oil_damper: {displaced_area: 3 in2, hole_length: 1 in}\nfriction:", 24, 1,
     "oil_damper.hole_diameter: is missing"},
    {PILOT, "damping: 514 N s/m", "case_volume: 30 in3", 17, 1, "actuator.case_vent: is missing"},
    {PILOT, "pressure: 15 psig", "pressure: 15 psig, volume: 3 ft3", 11, 1,
     "downstream.outlet_coefficient: is missing"},
    {PILOT, "inflow:", "inflow:\n  flowline_volume: 3 ft3", 9, 1,
     "inflow.flowline_diameter: is missing"},
    {LIQUID, "volume: 0.1581139 L", "volume: 0.1581139 L, gas_cap: 1 mL", 4, 1,
     "vessel.gas_cap_pressure: is missing"},
    {LIQUID, "420 L/min", "120 Sm3/h", 5, 16, "a liquid flow is a volume as it flows"},
    // Fields against each other.
    {PILOT, "travel: 0.76 in", "travel: 0.76 in, seat_land: 0.95 in", 13, 36, "half the port"},
    {PILOT, "travel: 0.76 in", "travel: 0.76 in, coefficient: 9 Cv, discharge: 0.7", 13, 55,
     "not both"},
    {PILOT, "travel: 0.76 in", "travel: 0.76 in, coefficient: 9 Cv, flow_law: nozzle", 13, 38,
     "works from trim.discharge"},
    {PILOT, "travel: 0.76 in", "travel: 0.76 in, shutoff_travel: 1 in", 13, 41,
     "less than the travel"},
    {PILOT, "kinetic: 5 lbf", "kinetic: 5 lbf, static: 4 lbf", 24, 36, "friction.kinetic"},
    {PILOT, "friction:", "pilot_friction: {kinetic: 5 N, static: 4 N}\nfriction:", 24, 40,
     "pilot_friction.kinetic"},
    {PILOT, "pressure: 15 psig", "pressure: 60 psig", 11, 24,
     "found 60 psig; must be below the set pressure, 50 psig"},
    {PILOT, "pressure: 15 psig", "pressure: 90 psia", 11, 24,
     "found 90 psia; must be below the set pressure, 50 psig"},
    {PILOT, "pressure: 15 psig", "pressure: {steps: [[0 s, 60 psig], [1 s, 15 psig]]}", 11, 24,
     "found 60 psig; must be below the set pressure, 50 psig"},
    {DIRECT, "9 bar(g)", "50 kPa(g)", 6, 19,
     "found 50 kPa(g); must be above the set pressure, 100 kPa(g)"},
    {LIQUID, "0 barg", "11 barg", 6, 24,
     "found 11 barg; must be below the set pressure, 1000 kPa(g)"},
    {DIRECT, "rate: 35 kg/h", "rate: 35 kg/h, law: orifice, outlet_pressure: 3 barg", 5, 56,
     "found 300 kPa(g); must be below demand.at_pressure, 100 kPa(g)"},
    {DIRECT, "rate: 35 kg/h", "rate: 35 kg/h, outlet_pressure: 1 barg", 5, 42,
     "must be below demand.at_pressure"},
    {DIRECT, "sense:", "body: {bore: 1 in}\ninlet_pipe: {bore: 20 mm}\nsense:", 14, 20,
     "inlet_pipe.bore: must not be less than body.bore"},
    {DIRECT, "sense:", "body: {bore: 1 in}\noutlet_pipe: {bore: 20 mm}\nsense:", 14, 21,
     "outlet_pipe.bore: must not be less than body.bore"},
    {DIRECT, "sense:", "body: {bore: 19 mm}\nsense:", 13, 14,
     "body.bore: must not be less than the port"},
    {DIRECT, "travel: 3 mm}",
     "travel: 3 mm, piping_factor: 0.9}\nbody: {bore: 25 mm}\n"
     "inlet_pipe: {bore: 50 mm}",
     8, 50, "trim.piping_factor: give this or body.bore, not both"},
    {DIRECT, "travel: 3 mm}",
     "travel: 3 mm, flow_law: nozzle}\nbody: {bore: 25 mm}\n"
     "inlet_pipe: {bore: 50 mm}",
     9, 14, "nozzle knows no reducers"},
    {PILOT, "125 psig", "40 psig", 8, 19, "above the set pressure"},
    {PILOT, "inflow:", "inflow:\n  well_pressure: 45 psig", 10, 18, "above the set pressure"},
    {PILOT, "volume: 8.0 ft3", "volume: 8.0 ft3\n  level: 8 ft3", 8, 10, "1 % of vessel.volume"},
    {LIQUID, "870 kg/m3", "870 kg/m3, vapour_pressure: 25 MPa(a)", 3, 61, "critical_pressure"},
    {LIQUID, "preload: 100 N", "preload: -100 N", 12, 12, "set pressure of nothing"},
    {PILOT, "title:", "run: {minimum_duration: 1 h}\ntitle:", 1, 25, "more than run.duration"},
    {PILOT, "title:", "run: {sample_interval: 1 h}\ntitle:", 1, 24, "more than run.duration"},
    {PILOT, "title:", "run: {sample_interval: 1e-9 s}\ntitle:", 1, 24, "samples"},
    {PILOT, "title:", "start: {kick_pressure: -100 psi}\ntitle:", 1, 24,
     "leaves the vessel less than nothing: allowed above -"},
    {PILOT, "title:", "run: {max_order: 6}\ntitle:", 1, 18, "bdf has at most order 5"},
    // Every part of a schedule is read, and each may be wrong.
    {PILOT, "rate: 0.15 MMscf/d", "rate: {ramp: 3}", 10, 16, "inflow.rate.ramp: allowed a mapping"},
    {PILOT, "rate: 0.15 MMscf/d", "rate: {steps: [3]}", 10, 18, "a pair [time, value]"},
    {PILOT, "rate: 0.15 MMscf/d", "rate: {ramp: {from: 1, to: 2 kg/h, start: 1 s, end: 2 s}}", 10,
     23, "a flow needs a unit"},
    {PILOT, "rate: 0.15 MMscf/d", "rate: {ramp: {from: 1 kg/h, to: 2, start: 1 s, end: 2 s}}", 10,
     35, "a flow needs a unit"},
    {PILOT, "rate: 0.15 MMscf/d",
     "rate: {slug: {base: 1 kg/h, peak: 2, start: 0 s, period: 5 s, duration: 1 s}}", 10, 37,
     "a flow needs a unit"},
    {PILOT, "rate: 0.15 MMscf/d",
     "rate: {slug: {base: 1 kg/h, peak: 2 kg/h, start: 0, period: 5 s, duration: 1 s}}", 10, 52,
     "a time needs a unit"},
    {PILOT, "rate: 0.15 MMscf/d",
     "rate: {slug: {base: 1 kg/h, peak: 2 kg/h, start: 0 s, period: 5, duration: 1 s}}", 10, 65,
     "a time needs a unit"},
    {PILOT, "rate: 0.15 MMscf/d",
     "rate: {slug: {base: 1 kg/h, peak: 2 kg/h, start: 0 s, period: 5 s, duration: 1}}", 10, 80,
     "a time needs a unit"},
    {PILOT, "rate: 0.15 MMscf/d",
     "rate: {pulse: {middle: 2, crest: 3 kg/h, start: 0 s, period: 1 s}}", 10, 26,
     "a flow needs a unit"},
    {PILOT, "rate: 0.15 MMscf/d",
     "rate: {pulse: {middle: 2 kg/h, crest: 3, start: 0 s, period: 1 s}}", 10, 41,
     "a flow needs a unit"},
    {PILOT, "rate: 0.15 MMscf/d",
     "rate: {pulse: {middle: 2 kg/h, crest: 3 kg/h, start: 0, period: 1 s}}", 10, 56,
     "a time needs a unit"},
    {PILOT, "rate: 0.15 MMscf/d",
     "rate: {pulse: {middle: 2 kg/h, crest: 3 kg/h, start: 0 s, period: 0 s}}", 10, 69,
     "`period` must be above 0"},
    {PILOT, "rate: 0.15 MMscf/d", "rate: {record: [a]}", 10, 18, "allowed the name of a CSV file"},
    {PILOT, "travel: 0.76 in", "travel: 0.76 in, flow_table: [[0, 0], 3]", 13, 46, "[position"},
    {PILOT, "travel: 0.76 in", "travel: 0.76 in, flow_table: [[0, 0], [1, x]]", 13, 50,
     "not a number"},
    {PILOT, "travel: 0.76 in", "travel: 0.76 in, flow_table: [[-1, 0], [1, 1]]", 13, 38,
     "positions"},
    {PILOT, "volume: 8.0 ft3", "volume: {value: 8 ft3, low: x, high: 9 ft3}", 7, 31,
     "not a number"},
    {PILOT, "title:", "run: {max_order: x}\ntitle:", 1, 18, "not a number"},
    {PILOT, "title:", "run: {max_order: 1e12}\ntitle:", 1, 18, "whole number"},
    {PILOT, "  damping: 514 N s/m", "  swept_volume: [1]", 22, 17, "list"},
    // Lines.
    {PILOT, "sense:", "line_before: {length: 3 m, bore: 80 mm, elbow: 4 m}\nsense:", 34, 48,
     "must not be more than the length of the line"},
    {PILOT, "sense:",
     "line_before: {length: 3 m, bore: 80 mm, cells: 50}\n"
     "line_after: {length: 3 m, bore: 80 mm}\nsense:",
     34, 48, "found 50; with a line on either side 20 at most"},
    {PILOT, "bore: 0.087 in", "bore: 0.087 in\n  tap_distance: 1 m", 36, 17,
     "needs line_before.length"},
    // What was seen.
    {PILOT, "expect:", "observed: 3\nexpect:", 37, 11, "observed: a list of"},
    {PILOT, "expect:", "observed:\n  - {flow: [1], seen: quiet}\nexpect:", 38, 12,
     "observed.flow: allowed a text"},
    {PILOT, "expect:", "observed:\n  - {flow: 1 kg/h, seen: hunting, frequency: 2..x}\nexpect:", 38,
     46, "not a number"},
    {PILOT, "expect:", "observed:\n  - {flow: 1 kg/h, seen: hunting, frequency: x..2 Hz}\nexpect:",
     38, 46, "not a number"},
    {PILOT, "expect:", "observed:\n  - {flow: 1 kg/h, seen: hunting, frequency: 3..2 Hz}\nexpect:",
     38, 46, "allowed a range above zero"},
    {PILOT, "expect:", "observed:\n  - {flow: 1 kg/h, seen: quiet, vesel.volume: 1 ft3}\nexpect:",
     38, 33, "did you mean vessel.volume?"},
    {PILOT, "expect:", "readings: {rise: 3 psi}\nexpect:", 37, 1,
     "readings.rise_time: is missing; readings.rise says nothing without it"},
    {PILOT, "expect:", "readings: {first_movement: 20 psi, full_travel: 15 psi}\nexpect:", 37, 49,
     "must be above readings.first_movement, '20 psi'"},
    // Expectations.
    {PILOT, "trim: full}", "trim: ful}", 38, 5, "no trim 'ful'"},
    {PILOT, "trim: full}", "trm: full}", 38, 42, "did you mean trim?"},
    {PILOT, "quantity: verdict, ", "", 38, 5, "needs `quantity` and `value`"},
    {PILOT, "expect:\n  -", "expect:\n ", 38, 3, "expect: a list"},
    {PILOT, "- {quantity: verdict, value: slamming, trim: full}", "- 3", 38, 5,
     "each row is a mapping"},
    {PILOT, "trim: full}", "trim: [full]}", 38, 48, "expect.trim: allowed a text"},
};

// The base with the first occurrence of `find` replaced. Free with free().
static char *changed(const struct error_row *row) {
    const char *base = row->base ? row->base : row->with;
    const char *at = row->base ? strstr(base, row->find) : base;
    if (!at) {
        print_error("'%s' is not in the scenario\n", row->find);
    }
    assert_non_null(at);
    const size_t before = row->base ? (size_t)(at - base) : 0;
    const char *rest = row->base ? at + strlen(row->find) : base + strlen(base);
    const size_t size = before + strlen(row->with) + strlen(rest) + 1;
    char *text = malloc(size);
    assert_non_null(text);
    snprintf(text, size, "%.*s%s%s", (int)before, base, row->with, rest);
    return text;
}

static bool row_holds(const struct error_row *row, struct diagnostics *list) {
    return list->errors == 1 && list->count == 1 && list->items[0].place.line == row->line &&
           list->items[0].place.column == row->column &&
           strcmp(list->items[0].place.file, "test.yaml") == 0 &&
           strstr(list->items[0].message, row->words);
}

static void errors_say_where_and_what(void **state) {
    (void)state;
    size_t failures = 0;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; ++i) {
        char *text = changed(&rows[i]);
        struct diagnostics list = {0};
        struct scenario *scenario = scenario_load_text("test.yaml", text, strlen(text), &list);
        if (scenario) {
            scenario_check(scenario, &list);
        }
        if (!row_holds(&rows[i], &list)) {
            ++failures;
            print_error("wanted once %d:%d %s for '%s'; got:\n", rows[i].line, rows[i].column,
                        rows[i].words, rows[i].with);
            diagnostics_print(&list, stderr);
        }
        diagnostics_free(&list);
        scenario_free(scenario);
        free(text);
    }
    assert_int_equal(failures, 0);
}

static void errors_of_a_file_come_together_and_in_order(void **state) {
    (void)state;
    static const char text[] = "duty: back-presure\nactuation: pilot\nvessel:\n  volume: 8\n"
                               "wessel: 3\nset: {pressure: 50 psi}\n";
    struct diagnostics list = {0};
    struct scenario *scenario = scenario_load_text("test.yaml", text, strlen(text), &list);
    assert_non_null(scenario);
    assert_false(scenario_check(scenario, &list));
    diagnostics_sort(&list);
    static const int lines[] = {1, 4, 5, 6};
    assert_int_equal(list.errors, 4);
    for (size_t i = 0; i < 4; ++i) {
        assert_int_equal(list.items[i].place.line, lines[i]);
    }
    diagnostics_free(&list);
    scenario_free(scenario);
}

static void errors_of_files_name_the_file(void **state) {
    (void)state;
    struct diagnostics list = {0};
    assert_null(scenario_load("no/such/scenario.yaml", &list));
    assert_null(scenario_load(".", &list));
    assert_int_equal(list.errors, 2);
    assert_non_null(strstr(list.items[0].message, "cannot open"));
    assert_non_null(strstr(list.items[1].message, "plain file"));
    diagnostics_free(&list);
}

// What is called a scenario may be another file, which somebody called so to see it.
static void errors_do_not_tell_what_another_file_holds(void **state) {
    (void)state;
    static const char other[] =
        "bindpw: secretword\nsecretuser: me\n'secret: 3': {secretname: 4}\n";
    struct diagnostics list = {0};
    assert_null(scenario_load_text("ldap.conf", other, strlen(other), &list));
    assert_int_equal(list.count, 1);
    assert_string_equal(list.items[0].message,
                        "no scenario: none of its names is a section; see `lowlift fields`");
    diagnostics_free(&list);

    // Called one of YAML it may be a scenario; what is no name is not repeated all the same.
    static const char mine[] = "secretword: 3\n'root $6$salt': 3\n'root $6$salt': 4\n";
    struct scenario *named = scenario_load_text("mine.yml", mine, strlen(mine), &list);
    assert_non_null(named);
    diagnostics_sort(&list);
    assert_int_equal(list.count, 3);
    assert_string_equal(list.items[0].message, "no section 'secretword'");
    assert_string_equal(list.items[1].message, "no section of that name");
    assert_string_equal(list.items[2].message, "?: given twice; first in line 2");
    scenario_free(named);
    diagnostics_free(&list);

    // One that could be a scenario is not repeated line by line.
    char text[4000] = "title: x\n";
    for (int i = 0; i < 60; i++) {
        snprintf(text + strlen(text), sizeof text - strlen(text), "qqqqqqqqq%d: 1\n", i);
    }
    struct scenario *scenario = scenario_load_text("notes", text, strlen(text), &list);
    assert_non_null(scenario);
    assert_int_equal(list.count, 11);
    assert_string_equal(list.items[0].message, "no section 'qqqqqqqqq0'");
    assert_string_equal(list.items[10].message, "more names from here on that are no section");
    scenario_free(scenario);
    diagnostics_free(&list);
}

static void errors_of_size_are_refused_early(void **state) {
    (void)state;
    const size_t size = (1 << 20) + 1;
    char *text = malloc(size);
    assert_non_null(text);
    memset(text, '#', size);
    struct diagnostics list = {0};
    assert_null(scenario_load_text("test.yaml", text, size, &list));
    assert_non_null(strstr(list.items[0].message, "larger than"));
    diagnostics_free(&list);
    free(text);
}

static void warn_once(const char *find, const char *with, int line, const char *words) {
    const struct error_row row = {.base = PILOT, .find = find, .with = with};
    char *text = changed(&row);
    struct scenario *scenario = fixture_load(text);
    struct diagnostics list = {0};
    scenario_warn(scenario, &list);
    assert_int_equal(list.errors, 0);
    assert_int_equal(list.count, words ? 1 : 0);
    if (words) {
        assert_int_equal(list.items[0].severity, DIAGNOSTIC_WARNING);
        assert_int_equal(list.items[0].place.line, line);
        assert_non_null(strstr(list.items[0].message, words));
    }
    diagnostics_free(&list);
    scenario_free(scenario);
    free(text);
}

static void a_larger_port_than_the_first_is_warned_of(void **state) {
    (void)state;
    warn_once("1.8 in", "1.8 in", 0, NULL);
    warn_once("1.8 in", "2.9 in", 0, NULL); // within 1 %
    warn_once("1.8 in", "3 in", 16,
              "trims.reduced.port: found '3 in'; larger than the first trim's, '2 7/8 in'");
    warn_once("travel: 0.76 in", "travel: 0.76 in, port: 2 in", 15,
              "trims.full.port: found '2 7/8 in'; larger than trim.port, '2 in'");
    warn_once("{port: 1.8 in}", "{discharge: 0.7}\n  third: {port: 1 in}", 0, NULL);
}

// Sizes that one does not meet are most often a slip of the unit.
static void slips_of_the_unit_are_warned_of(void **state) {
    (void)state;
    const struct error_row row = {.base = PILOT, .find = "1.8 in", .with = "1.8 in"};
    char *text = changed(&row);
    static const struct {
        const char *assignment;
        const char *words; // NULL: fine
    } slips[] = {
        {"vessel.volume=5 in3", "vessel.volume: found '5 in3'; far from what one meets"},
        {"vessel.volume=25 in3", NULL},
        {"vessel.volume=90000 ft3", NULL},
        {"vessel.volume=5e6 ft3", "vessel.volume: found '5e6 ft3'; far from"},
        {"actuator.spring_rate=1 lbf/ft", "actuator.spring_rate: found '1 lbf/ft'; far from"},
        {"actuator.diaphragm_area=21 cm2", "smaller than a port of 2 7/8 in"},
        {"pilot.bleed=1.5 in", "pilot.bleed: found '1.5 in'; far from"},
    };
    for (size_t i = 0; i < sizeof slips / sizeof slips[0]; i++) {
        struct scenario *scenario = fixture_load(text);
        struct diagnostics list = {0};
        assert_true(scenario_override(scenario, slips[i].assignment, &list));
        scenario_warn(scenario, &list);
        assert_int_equal(list.errors, 0);
        assert_int_equal(list.count, slips[i].words ? 1 : 0);
        assert_true(!slips[i].words || strstr(list.items[0].message, slips[i].words));
        diagnostics_free(&list);
        scenario_free(scenario);
    }
    free(text);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(errors_say_where_and_what),
        cmocka_unit_test(errors_of_a_file_come_together_and_in_order),
        cmocka_unit_test(errors_of_files_name_the_file),
        cmocka_unit_test(errors_do_not_tell_what_another_file_holds),
        cmocka_unit_test(errors_of_size_are_refused_early),
        cmocka_unit_test(a_larger_port_than_the_first_is_warned_of),
        cmocka_unit_test(slips_of_the_unit_are_warned_of),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
