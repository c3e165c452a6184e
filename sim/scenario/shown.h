// SPDX-License-Identifier: MIT
// SI values as a user of a scenario reads them: in the units of a case, those its scenario is
// written in or those asked for.
#pragma once

#include "scenario/scenario.h"

const char *shown_unit(const struct scenario_case *scenario, enum unit_kind kind);

// Number in that unit; NaN stays NaN.
double shown_number(const struct scenario_case *scenario, enum unit_kind kind, double si);

// Number and unit, such as "3.52 psi"; "-" for what is not finite.
void shown_text(const struct scenario_case *scenario, enum unit_kind kind, double si, char *text,
                size_t size);
