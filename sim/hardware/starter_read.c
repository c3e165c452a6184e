// SPDX-License-Identifier: MIT
#include "hardware/starter_read.h"

#include "base/clean.h"
#include "field/seen.h"
#include "hardware/hardware.h"
#include "hardware/vessel_size.h"
#include "models/gas.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { STARTER_TEXT_MAX = 40 };

static const struct place starter_place = {"<starter>", 0, 0};

// What was typed goes into a YAML file: nothing but a plain value may pass. A comma passes as far
// as the reading of numbers, which says what to write instead.
static bool starter_plain(const char *text) {
    const char *allowed =
        "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789 .,/()%+-^";
    const size_t length = strlen(text);
    return length <= STARTER_TEXT_MAX && strspn(text, allowed) == length;
}

// One input; its text is NULL if it was not given.
struct starter_text {
    const char *name;
    const char *text;
    enum unit_kind kind;
};

static bool starter_input(const struct starter_text *input, struct quantity *quantity,
                          struct diagnostics *list) {
    const char *name = input->name;
    const char *text = input->text;
    const enum unit_kind kind = input->kind;
    char message[UNIT_MESSAGE_SIZE];
    if (!text) {
        diagnostics_error(list, starter_place, "%s: is missing", name);
        return false;
    }
    if (!starter_plain(text)) {
        diagnostics_error(
            list, starter_place, "%s: found '%.*s'; allowed a number with a unit of %s: %s", name,
            clean_whole(text, STARTER_TEXT_MAX), text, units_kind_name(kind), units_allowed(kind));
        return false;
    }
    const char *error = units_parse(text, kind, quantity, message);
    if (error) {
        diagnostics_error(list, starter_place, "%s: found '%s'; %s", name, text, error);
    }
    return !error;
}

static bool starter_above_zero(const struct starter_text *input, struct quantity *quantity,
                               struct diagnostics *list) {
    if (!starter_input(input, quantity, list)) {
        return false;
    }
    if (quantity->value > 0.0) {
        return true;
    }
    diagnostics_error(list, starter_place, "%s: found '%s'; must be above 0", input->name,
                      input->text);
    return false;
}

// A gas flow [kg/s] of a common gas, only to compare flows with each other.
static bool starter_flow(const struct starter_known *known, const char *name, const char *text,
                         double *flow, struct diagnostics *list) {
    struct quantity quantity;
    if (!starter_above_zero(&(struct starter_text){name, text, UNIT_FLOW}, &quantity, list)) {
        return false;
    }
    if (quantity.basis != BASIS_ACTUAL) {
        return !units_to_si(&known->site, &quantity, flow);
    }
    diagnostics_error(list, starter_place,
                      "%s: found '%s'; allowed a gas flow such as Mscf/d, Sm3/h, kg/h", name, text);
    return false;
}

static bool starter_flows(const struct starter_inputs *inputs, const struct starter_known *known,
                          struct diagnostics *list) {
    double flow, lowest, peak;
    bool fine = starter_flow(known, "flow", inputs->flow, &flow, list);
    if (!inputs->lowest && !inputs->peak) {
        return fine;
    }
    if (!inputs->lowest || !inputs->peak) {
        diagnostics_error(list, starter_place,
                          "%s: is missing; the lowest and the peak flow go together",
                          inputs->lowest ? "peak" : "lowest");
        return false;
    }
    fine = starter_flow(known, "lowest", inputs->lowest, &lowest, list) && fine;
    fine = starter_flow(known, "peak", inputs->peak, &peak, list) && fine;
    if (!fine) {
        return false;
    }
    // 150 Mscf/d and 0.15 MMscf/d differ in the last digit.
    const double slack = 1e-12 * flow;
    if (lowest <= flow + slack && flow <= peak + slack && lowest < peak) {
        return true;
    }
    if (lowest > flow + slack) {
        diagnostics_error(list, starter_place,
                          "lowest: found '%s'; must not be above the flow, "
                          "'%s'",
                          inputs->lowest, inputs->flow);
    } else if (peak < flow - slack) {
        diagnostics_error(list, starter_place, "peak: found '%s'; must not be below the flow, '%s'",
                          inputs->peak, inputs->flow);
    } else {
        diagnostics_error(list, starter_place, "peak: found '%s'; must be above the lowest, '%s'",
                          inputs->peak, inputs->lowest);
    }
    return false;
}

// A pressure level at the site.
static bool starter_level(const struct starter_known *known, const char *name, const char *text,
                          double *pressure, bool *us, struct diagnostics *list) {
    struct quantity quantity;
    const struct starter_text input = {name, text, UNIT_PRESSURE_LEVEL};
    if (!starter_above_zero(&input, &quantity, list)) {
        return false;
    }
    units_to_si(&known->site, &quantity, pressure);
    if (us) {
        *us = quantity.system == UNITS_US;
    }
    return true;
}

static bool starter_pressures(const struct starter_inputs *inputs, struct starter_known *known,
                              struct diagnostics *list) {
    const bool back = inputs->duty == DUTY_BACK_PRESSURE;
    const char *other = back ? "downstream pressure" : "inlet pressure";
    double limit;
    if (!starter_level(known, "set pressure", inputs->set_pressure, &known->set, &known->us,
                       list)) {
        return false;
    }
    bool fine = true;
    if (inputs->other_pressure) {
        fine = starter_level(known, other, inputs->other_pressure, &known->other, NULL, list);
        if (fine && back != (known->other < known->set)) {
            diagnostics_error(list, starter_place,
                              "%s: found '%s'; must be %s the set pressure, "
                              "'%s'",
                              other, inputs->other_pressure, back ? "below" : "above",
                              inputs->set_pressure);
            fine = false;
        }
    }
    if (!inputs->limit) {
        return fine;
    }
    if (!starter_level(known, "limit", inputs->limit, &limit, NULL, list)) {
        return false;
    }
    if (limit > known->set) {
        return fine;
    }
    diagnostics_error(list, starter_place,
                      "limit: found '%s'; must be above the set pressure, "
                      "'%s'",
                      inputs->limit, inputs->set_pressure);
    return false;
}

// The full port, and the reduced ones below it.
static bool starter_ports(const struct starter_inputs *inputs, struct starter_known *known,
                          struct diagnostics *list) {
    struct quantity port;
    bool fine = true;
    known->port = hardware_port(known->body);
    if (inputs->full) {
        const struct starter_text text = {"port", inputs->full, UNIT_LENGTH};
        if (!starter_above_zero(&text, &port, list)) {
            return false;
        }
        known->port = port.value;
        if (known->body > 0.0 && known->port > known->body) {
            diagnostics_error(list, starter_place,
                              "port: found '%s'; must not be above the body, '%s'", inputs->full,
                              inputs->body);
            fine = false;
        }
    }
    for (size_t i = 0; i < inputs->port_count; i++) {
        const struct starter_text text = {"reduced port", inputs->port[i], UNIT_LENGTH};
        if (!starter_above_zero(&text, &port, list)) {
            fine = false;
        } else if (known->body > 0.0 && port.value >= known->port) {
            char which[STARTER_TEXT_MAX + 3];
            snprintf(which, sizeof which, inputs->full ? "'%s'" : "%s",
                     inputs->full ? inputs->full : "about 0.967 of the body");
            diagnostics_error(list, starter_place,
                              "reduced port: found '%s'; must be less than the full port, %s",
                              inputs->port[i], which);
            fine = false;
        }
    }
    return fine;
}

// `24 in x 7.5 ft`: diameter and length of a shell.
static bool starter_shell(const struct starter_inputs *inputs, struct vessel_size *size,
                          struct diagnostics *list) {
    char text[STARTER_TEXT_MAX + 1], message[UNIT_MESSAGE_SIZE];
    struct quantity side[2];
    snprintf(text, sizeof text, "%s", inputs->vessel);
    char *second = strchr(text, 'x');
    *second++ = '\0';
    const char *wrong = units_parse(text, UNIT_LENGTH, &side[0], message);
    wrong = wrong ? wrong : units_parse(second, UNIT_LENGTH, &side[1], message);
    if (!wrong && !(side[0].value > 0.0 && side[1].value > 0.0)) {
        wrong = "must be above 0";
    }
    if (wrong) {
        diagnostics_error(list, starter_place, "vessel: found '%s'; %s", inputs->vessel, wrong);
        return false;
    }
    *size = (struct vessel_size){side[0].value, side[1].value, inputs->horizontal};
    return true;
}

// A volume of gas as it is, or the shell and the level it follows from.
static bool starter_vessel(const struct starter_inputs *inputs, struct starter_known *known,
                           struct diagnostics *list) {
    struct quantity volume, level;
    struct vessel_size size;
    const struct starter_text text = {"vessel", inputs->vessel, UNIT_VOLUME};
    const struct starter_text share = {"level", inputs->level, UNIT_FRACTION};
    if (!inputs->vessel || !starter_plain(inputs->vessel) || !strchr(inputs->vessel, 'x')) {
        const bool fine = starter_above_zero(&text, &volume, list);
        if (fine && (inputs->level || inputs->oriented)) {
            const char *found = inputs->level        ? inputs->level
                                : inputs->horizontal ? "horizontal"
                                                     : "vertical";
            diagnostics_error(list, starter_place,
                              "%s: found '%.*s'; allowed with the size of a vessel, such as "
                              "'24 in x 10 ft'",
                              inputs->level ? "level" : "orientation",
                              clean_whole(found, STARTER_TEXT_MAX), found);
            return false;
        }
        return fine;
    }
    if (!starter_shell(inputs, &size, list)) {
        return false;
    }
    known->gas_space = vessel_gas_space(&size, STARTER_LEVEL);
    known->gas_low = vessel_gas_space(&size, STARTER_LEVEL_HIGH);
    known->gas_high = vessel_gas_space(&size, STARTER_LEVEL_LOW);
    if (!inputs->level) {
        return true;
    }
    if (!starter_input(&share, &level, list)) {
        return false;
    }
    if (!(level.value >= 0.0 && level.value < 1.0)) {
        diagnostics_error(list, starter_place,
                          "level: found '%s'; allowed 0 to below 1, such as 1/3 of the height",
                          inputs->level);
        return false;
    }
    known->gas_space = known->gas_low = known->gas_high = vessel_gas_space(&size, level.value);
    return true;
}

static bool starter_sizes(const struct starter_inputs *inputs, struct starter_known *known,
                          struct diagnostics *list) {
    struct quantity body = {0};
    bool fine =
        starter_above_zero(&(struct starter_text){"body", inputs->body, UNIT_LENGTH}, &body, list);
    known->body = fine ? body.value : 0.0;
    fine = starter_vessel(inputs, known, list) && fine;
    fine = starter_ports(inputs, known, list) && fine;
    if (inputs->pilot_said && inputs->actuation == ACTUATION_DIRECT) {
        diagnostics_error(list, starter_place,
                          "pilot: found '%s'; allowed with a pilot-loaded regulator only",
                          inputs->three_way ? "three-way" : "bleed");
        fine = false;
    }
    return fine;
}

// Pipes and what was seen.
static bool starter_pipes(const struct starter_inputs *inputs, struct diagnostics *list) {
    struct quantity length;
    const struct starter_text before = {"pipe before", inputs->pipe_before, UNIT_LENGTH};
    const struct starter_text after = {"pipe after", inputs->pipe_after, UNIT_LENGTH};
    bool fine = !inputs->pipe_before || starter_above_zero(&before, &length, list);
    return (!inputs->pipe_after || starter_above_zero(&after, &length, list)) && fine;
}

static bool starter_observed(const struct starter_inputs *inputs, const struct starter_known *known,
                             struct diagnostics *list) {
    enum observed_seen seen;
    const char *nearest;
    double flow;
    bool fine = true;
    if (inputs->seen && !seen_find(inputs->seen, &seen, &nearest)) {
        diagnostics_error(list, starter_place, "seen: found '%.*s'; allowed " SEEN_ALLOWED "%s%s%s",
                          clean_whole(inputs->seen, STARTER_TEXT_MAX), inputs->seen,
                          nearest ? "; did you mean " : "", nearest ? nearest : "",
                          nearest ? "?" : "");
        fine = false;
    }
    return (!inputs->quiet_at || starter_flow(known, "quiet at", inputs->quiet_at, &flow, list)) &&
           fine;
}

// Altitudes are those that the field allows.
static bool starter_altitude(const char *text, double *altitude, struct diagnostics *list) {
    struct quantity quantity;
    if (!starter_input(&(struct starter_text){"altitude", text, UNIT_LENGTH}, &quantity, list)) {
        return false;
    }
    *altitude = quantity.value;
    if (*altitude >= -500.0 && *altitude <= 11000.0) {
        return true;
    }
    diagnostics_error(list, starter_place, "altitude: found '%s'; allowed -500 m to 11000 m", text);
    return false;
}

bool starter_read(const struct starter_inputs *inputs, struct starter_known *known,
                  struct diagnostics *list) {
    *known = (struct starter_known){.other = (double)NAN};
    double altitude = 0.0;
    bool fine = !inputs->altitude || starter_altitude(inputs->altitude, &altitude, list);
    known->site = (struct unit_context){
        .atmosphere = units_standard_atmosphere(altitude),
        .base_pressure = 14.696 * 6894.757293168361,
        .base_temperature = 288.70555555555556, // 60 degF
        .molar_mass = STARTER_GRAVITY * GAS_AIR_MOLAR_MASS,
        .density = (double)NAN,
    };
    fine = starter_sizes(inputs, known, list) && fine;
    fine = starter_pipes(inputs, list) && fine;
    fine = starter_observed(inputs, known, list) && fine;
    fine = starter_pressures(inputs, known, list) && fine;
    return starter_flows(inputs, known, list) && fine;
}
