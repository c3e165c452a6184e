// SPDX-License-Identifier: MIT
// The quantities recorded at every sample of a run: name, kind of unit, and where in an observation
// they are found. Trace headers, pictures and summaries take their names from here.
#pragma once

#include "units/units.h"

#include "models/regulator.h"

enum channel {
    CHANNEL_CONTROLLED_PRESSURE,
    CHANNEL_TRAVEL,
    CHANNEL_CHAMBER_PRESSURE,
    CHANNEL_TRIM_FLOW,
    CHANNEL_INFLOW,
    CHANNEL_SENSED_PRESSURE,
    CHANNEL_PILOT_TRAVEL,
    CHANNEL_SPEED,
    CHANNEL_DOWNSTREAM_PRESSURE,
    CHANNEL_CONTROLLED_TEMPERATURE,
    CHANNEL_FLUID_FORCE,
    CHANNEL_FRICTION_FORCE,
    CHANNEL_CONTACT_FORCE,
    CHANNEL_INLET_PRESSURE, // at the regulator's ends of the lines
    CHANNEL_OUTLET_PRESSURE,
    CHANNEL_SHAKING_BEFORE,
    CHANNEL_SHAKING_AFTER,
    CHANNEL_FEED_PRESSURE, // at the pilot's end of its supply line
    CHANNEL_COUNT,
};

struct channel_row {
    const char *name; // as in a trace header
    enum unit_kind kind;
    unsigned use; // enum field_use marks of the builds that have it
};

const struct channel_row *channel_row(enum channel channel);

// Values of all channels [SI] from an observation; reducing duty calls its demand the inflow.
void channel_values(const struct regulator *regulator, const struct regulator_observation *o,
                    double value[CHANNEL_COUNT]);

// Whether a channel exists in this build.
bool channel_applies(const struct regulator *regulator, enum channel channel);
