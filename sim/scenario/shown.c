// SPDX-License-Identifier: MIT
#include "scenario/shown.h"

#include <math.h>
#include <stdio.h>

const char *shown_unit(const struct scenario_case *scenario, enum unit_kind kind) {
    return units_shown(&scenario->site, kind, scenario->units);
}

double shown_number(const struct scenario_case *scenario, enum unit_kind kind, double si) {
    if (kind == UNIT_NONE || !isfinite(si)) {
        return isfinite(si) ? si : (double)NAN;
    }
    return units_from_si(&scenario->site, kind, shown_unit(scenario, kind), si);
}

void shown_text(const struct scenario_case *scenario, enum unit_kind kind, double si, char *text,
                size_t size) {
    const char *unit = shown_unit(scenario, kind);
    double number = shown_number(scenario, kind, si);
    if (isfinite(number)) {
        // Four digits, but none of the powers of ten that a field hand does not read.
        bool large = fabs(number) >= 1e4 && fabs(number) < 1e7;
        snprintf(text, size, large ? "%.0f%s%s" : "%.4g%s%s", number, unit[0] ? " " : "", unit);
    } else {
        snprintf(text, size, "-");
    }
}
