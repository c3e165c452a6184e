// SPDX-License-Identifier: MIT
#include "run/channel.h"

#include "field/field.h"

static const struct channel_row rows[CHANNEL_COUNT] = {
    [CHANNEL_CONTROLLED_PRESSURE] = {"controlled pressure", UNIT_PRESSURE_LEVEL, USE_ANY},
    [CHANNEL_TRAVEL] = {"plug travel", UNIT_LENGTH, USE_ANY},
    [CHANNEL_CHAMBER_PRESSURE] = {"chamber pressure", UNIT_PRESSURE_LEVEL, USE_PILOT},
    [CHANNEL_TRIM_FLOW] = {"trim flow", UNIT_FLOW, USE_ANY},
    [CHANNEL_INFLOW] = {"inflow or demand", UNIT_FLOW, USE_ANY},
    [CHANNEL_SENSED_PRESSURE] = {"sensed pressure", UNIT_PRESSURE_LEVEL, USE_ANY},
    [CHANNEL_PILOT_TRAVEL] = {"pilot travel", UNIT_LENGTH, USE_PILOT},
    [CHANNEL_SPEED] = {"plug speed", UNIT_SPEED, USE_ANY},
    [CHANNEL_DOWNSTREAM_PRESSURE] = {"downstream pressure", UNIT_PRESSURE_LEVEL, USE_BACK_PRESSURE},
    [CHANNEL_CONTROLLED_TEMPERATURE] = {"controlled temperature", UNIT_TEMPERATURE, USE_GAS},
    [CHANNEL_FLUID_FORCE] = {"fluid force on plug", UNIT_FORCE, USE_ANY},
    [CHANNEL_FRICTION_FORCE] = {"friction force", UNIT_FORCE, USE_ANY},
    [CHANNEL_CONTACT_FORCE] = {"contact force", UNIT_FORCE, USE_ANY},
    [CHANNEL_INLET_PRESSURE] = {"line pressure before regulator", UNIT_PRESSURE_LEVEL, USE_ANY},
    [CHANNEL_OUTLET_PRESSURE] = {"line pressure after regulator", UNIT_PRESSURE_LEVEL, USE_ANY},
    [CHANNEL_SHAKING_BEFORE] = {"shaking force before", UNIT_FORCE, USE_ANY},
    [CHANNEL_SHAKING_AFTER] = {"shaking force after", UNIT_FORCE, USE_ANY},
    [CHANNEL_FEED_PRESSURE] = {"pilot supply pressure", UNIT_PRESSURE_LEVEL, USE_PILOT},
};

const struct channel_row *channel_row(enum channel channel) {
    return &rows[channel];
}

void channel_values(const struct regulator *regulator, const struct regulator_observation *o,
                    double value[CHANNEL_COUNT]) {
    (void)regulator;
    value[CHANNEL_CONTROLLED_PRESSURE] = o->pressure[NODE_CONTROLLED];
    value[CHANNEL_TRAVEL] = o->opening_travel;
    value[CHANNEL_CHAMBER_PRESSURE] = o->pressure[NODE_CHAMBER];
    value[CHANNEL_TRIM_FLOW] = o->trim_flow;
    value[CHANNEL_INFLOW] = o->inflow;
    value[CHANNEL_SENSED_PRESSURE] = o->sensed;
    value[CHANNEL_PILOT_TRAVEL] = o->pilot_travel;
    value[CHANNEL_SPEED] = o->speed;
    value[CHANNEL_DOWNSTREAM_PRESSURE] = o->downstream;
    value[CHANNEL_CONTROLLED_TEMPERATURE] = o->temperature[NODE_CONTROLLED];
    value[CHANNEL_FLUID_FORCE] = o->fluid_force;
    value[CHANNEL_FRICTION_FORCE] = o->friction_force;
    value[CHANNEL_CONTACT_FORCE] = o->contact_force;
    value[CHANNEL_INLET_PRESSURE] = o->upstream;
    value[CHANNEL_OUTLET_PRESSURE] = o->downstream;
    value[CHANNEL_SHAKING_BEFORE] = o->shaking_force[LINE_BEFORE];
    value[CHANNEL_SHAKING_AFTER] = o->shaking_force[LINE_AFTER];
    value[CHANNEL_FEED_PRESSURE] = o->pressure[NODE_FEED];
}

bool channel_applies(const struct regulator *regulator, enum channel channel) {
    unsigned use = rows[channel].use;
    const struct regulator_parameters *p = &regulator->parameters;
    if (channel == CHANNEL_INLET_PRESSURE || channel == CHANNEL_SHAKING_BEFORE) {
        return regulator->has_line[LINE_BEFORE];
    }
    if (channel == CHANNEL_OUTLET_PRESSURE || channel == CHANNEL_SHAKING_AFTER) {
        return regulator->has_line[LINE_AFTER];
    }
    if (channel == CHANNEL_FEED_PRESSURE) {
        return regulator->has_line[LINE_SUPPLY];
    }
    if ((use & USE_PILOT) && p->actuation != ACTUATION_PILOT) {
        return false;
    }
    if ((use & USE_BACK_PRESSURE) && p->duty != DUTY_BACK_PRESSURE) {
        return false;
    }
    return !(use & USE_GAS) || p->phase == FLUID_GAS;
}
