// SPDX-License-Identifier: MIT
// A window of flow in the files of `trims` and `decline`: columns of a table, fields of a summary.
#pragma once

#include "base/csv.h"
#include "scenario/scenario.h"
#include "steady/trim_window.h"

#include <jansson.h>

// Headings and values of the same columns, in the scenario's units.
void window_output_headings(struct csv *csv, const struct scenario_case *scenario);
void window_output_row(struct csv *csv, const struct scenario_case *scenario,
                       const struct trim_window *window);

// Add the largest flow, both lower ends with what becomes of a kick below them, and where it is
// steady again.
void window_output_json(json_t *object, const struct scenario_case *scenario,
                        const struct trim_window *window);
