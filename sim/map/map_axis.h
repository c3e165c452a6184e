// SPDX-License-Identifier: MIT
// One axis of a map: a field of the scenario between two values, evenly or evenly in its logarithm.
#pragma once

#include "answer/answer.h"
#include "scenario/scenario.h"

enum { MAP_AXIS_PATH_SIZE = 64 };

struct map_axis {
    const struct field *field;
    char path[MAP_AXIS_PATH_SIZE]; // "section.name"
    double from, to;               // SI
    const char *unit;              // token in which it was asked; NULL: nobody did
    size_t count;                  // of values, at least 2
    bool logarithmic;
};

// None of the three below sets the number of values.

// Read the value of an option, "section.name=FROM..TO" ("1..2.9 in": the unit of TO holds for
// both), for a trim of a scenario: a field that applies to its build, and ends with which the
// scenario still passes its checks. Evenly, and without a number of values. False after errors,
// which name the option.
bool map_axis_parse(struct map_axis *axis, const char *option, const char *text,
                    const struct scenario *scenario, size_t trim, struct diagnostics *out);

// The flow that the scenario holds (inflow, or demand when reducing), from a tenth of today's to
// ten times that, in its logarithm; and the port diameter, from half the smallest trim's to 1.1
// times the largest trim's.
void map_axis_flow(struct map_axis *axis, const struct scenario *scenario, size_t trim);
void map_axis_port(struct map_axis *axis, const struct scenario *scenario, size_t trim);

// Whether the field is the flow that the scenario holds; and whether it is one of a trim's.
bool map_axis_is_flow(const struct map_axis *axis);
bool map_axis_is_of_trim(const struct map_axis *axis);

// Unit in which it is shown: as it was asked, else as results of the scenario are; and a value in
// it.
const char *map_axis_unit(const struct map_axis *axis, const struct answer *answer);
double map_axis_shown(const struct map_axis *axis, const struct answer *answer, double si);

// Value by index, SI; an index with a fraction lies between two of the axis.
double map_axis_value(const struct map_axis *axis, double index);
