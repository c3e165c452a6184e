// SPDX-License-Identifier: MIT
// The figures of a run by name: one table for what is printed, compared, written as JSON, expected
// by a scenario, and measured again at a tighter tolerance.
#pragma once

#include "run/simulate.h"

enum figure_group { FIGURE_REST, FIGURE_MOTION, FIGURE_SEAT, FIGURE_LINE, FIGURE_RUN };

struct figure {
    const char *name; // as in JSON and in `expect`
    const char *help; // as printed
    enum unit_kind kind;
    enum figure_group group;
    const char *per; // "", or what follows the unit, such as "/day", or stands for one: "1/min"
    double (*value)(const struct simulation *simulation, const struct scenario_case *scenario);
};

// Figures by index; NULL beyond the last.
const struct figure *figure_at(size_t index);
const struct figure *figure_find(const char *name);

// A figure as text such as "3.52 psi", in the units of the case; "-" when there is none.
void figure_text(const struct figure *figure, double value, const struct scenario_case *scenario,
                 char *text, size_t size);

// Number and unit apart, for tables and JSON. Returns NaN when there is none.
double figure_number(const struct figure *figure, double value,
                     const struct scenario_case *scenario, const char **unit);
