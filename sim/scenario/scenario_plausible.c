// SPDX-License-Identifier: MIT
// Sizes far outside of what one meets: most often a slip of the unit. Only a warning, as the
// unusual exists. The bands are wide on purpose: common practice, no source.
#include "scenario/scenario_data.h"

#include <math.h>

#define PI 3.14159265358979323846
// A diaphragm, less rounding, that is no larger than the port its plug shuts.
#define SMALL_DIAPHRAGM 0.95

struct band {
    const char *path;
    double low, high; // SI
    const char *text; // the same in words
    const char *reason;
};

// Pilot parts are those of small regulators that fit into a hand.
static const struct band bands[] = {
    {"vessel.volume", 0.32e-3, 3e3, "20 in3 to 100000 ft3",
     "a foot of 2 in pipe holds 40 in3, a large tank some 10000 ft3"},
    {"trim.port", 1e-3, 0.75, "0.04 to 30 in", "ports reach from a needle to a large line"},
    {"trim.travel", 0.1e-3, 0.4, "0.004 to 16 in", "a plug lifts about a quarter of its port"},
    {"actuator.diaphragm_area", 0.5e-4, 2.0, "0.08 to 3000 in2",
     "from a small piston to a 5 ft case"},
    {"actuator.spring_rate", 100.0, 2e7, "0.6 to 110000 lbf/in", "main springs"},
    {"actuator.chamber_volume", 1e-6, 1.0, "0.06 in3 to 35 ft3",
     "diaphragm area times travel, and lines"},
    {"actuator.moving_mass", 2e-3, 1e3, "0.004 to 2200 lb", "plug, stem and plates"},
    {"pilot.diaphragm_area", 0.2e-4, 0.1, "0.03 to 150 in2", "pilots fit into a hand"},
    {"pilot.spring_rate", 500.0, 1e7, "3 to 57000 lbf/in", "spring and diaphragm of a pilot"},
    {"pilot.travel", 0.02e-3, 20e-3, "0.001 to 0.8 in",
     "a pilot's plug lifts less than its seat is wide"},
    {"pilot.supply_seat", 0.2e-3, 25e-3, "0.008 to 1 in", "seats of pilots"},
    {"pilot.bleed", 0.1e-3, 25e-3, "0.004 to 1 in", "orifices of pilots"},
    {"sense.bore", 0.1e-3, 0.1, "0.004 to 4 in", "orifices and tubing"},
    {"sense.cavity_volume", 0.1e-6, 0.1, "0.006 in3 to 3.5 ft3", "space above a diaphragm"},
};

// What was written, as a size of its own; NaN where there is none.
static double written(const struct field_value *value) {
    const bool given = value->provenance != PROVENANCE_NONE && !value->wrong && value->text &&
                       value->provenance != PROVENANCE_DEFAULT && !value->schedule;
    return given ? value->quantity.value : (double)NAN;
}

static void warn_band(const struct band *band, const struct field_value *value,
                      struct diagnostics *out) {
    const double size = written(value);
    if (size < band->low || size > band->high) {
        diagnostics_warn(out, value->place,
                         "%s: found '%s'; far from what one meets, %s (%s): a slip of the unit?",
                         band->path, value->text, band->text, band->reason);
    }
}

// The pressure on a diaphragm that is smaller than the port hardly lifts a plug against the same
// pressure on the port.
static void warn_diaphragm(const struct scenario *scenario, const struct scenario_trim *trim,
                           struct diagnostics *out) {
    const struct field_value *area =
        scenario_value(scenario, NULL, field_index_of("actuator.diaphragm_area"));
    const struct field_value *port = scenario_value(scenario, trim, field_index_of("trim.port"));
    const double bore = written(port), size = written(area);
    if (size < SMALL_DIAPHRAGM * 0.25 * PI * bore * bore) {
        diagnostics_warn(out, area->place,
                         "actuator.diaphragm_area: found '%s'; smaller than a port of %s, which it "
                         "must lift a plug from: a slip of the unit?",
                         area->text, port->text);
    }
}

void scenario_warn_plausible(const struct scenario *scenario, struct diagnostics *out) {
    for (size_t i = 0; i < sizeof bands / sizeof bands[0]; i++) {
        const size_t row = field_index_of(bands[i].path);
        const struct field_value *common = scenario_value(scenario, NULL, row);
        warn_band(&bands[i], common, out);
        for (const struct scenario_trim *trim = scenario->trims; trim; trim = trim->next) {
            const struct field_value *own = scenario_value(scenario, trim, row);
            if (own != common) {
                warn_band(&bands[i], own, out);
            }
        }
    }
    warn_diaphragm(scenario, scenario->trims, out);
}
