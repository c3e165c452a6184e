// SPDX-License-Identifier: MIT
// `lowlift readings`: what two gauges and a watch give.
#include "command/all.h"
#include "site/readings.h"

const struct command command_readings = {
    .name = "readings",
    .summary = "what the readings of two gauges and a watch say about the parts",
    .arguments = "SCENARIO.yaml",
    .about =
        "Turns what was read on site (section `readings` of a scenario) into values of the parts: "
        "chamber pressures at first movement and at full travel into preload, spring and friction; "
        "stroke times into the holes of the pilot; the held pressure at two flows into its band; "
        "the rise of a shut-in vessel into its gas volume. Each with how sure it is. Readings that "
        "contradict each other are an error that names both. `lowlift fields readings` lists what "
        "can be read, and how.",
    .examples = "Example: invented readings of a 3 in regulator\n"
                "  lowlift readings scenarios/matched.yaml\n",
    .groups = OPTIONS_FIELDS | OPTIONS_FILES | OPTIONS_QUIET | OPTIONS_TRIM,
    .exits = EXITS_SCENARIO,
    .answer = readings_answer,
};
