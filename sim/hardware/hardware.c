// SPDX-License-Identifier: MIT
#include "hardware/hardware.h"

#include "hardware/hardware_rows.h"

#include <math.h>
#include <string.h>

#define BODY_OF_MASS 0.0762   // [m]
#define MASS_POWER 2.5        // of masses over body size: between area and volume
#define BODY_OF_STROKE 0.0635 // [m]
#define INCH 0.0254
#define LENGTH_OF_PIPE 3.048 // 10 ft [m]

size_t hardware_count(void) {
    return hardware_row_count;
}

const struct hardware_row *hardware_at(size_t index) {
    return index < hardware_row_count ? &hardware_rows[index] : NULL;
}

enum hardware_builds hardware_kind(enum regulator_actuation actuation, enum pilot_exhaust exhaust,
                                   enum regulator_duty duty) {
    const unsigned build = actuation == ACTUATION_DIRECT  ? HARDWARE_DIRECT
                           : exhaust == EXHAUST_THREE_WAY ? HARDWARE_THREE_WAY
                                                          : HARDWARE_BLEED;
    return build | (duty == DUTY_REDUCING ? HARDWARE_REDUCING : HARDWARE_BACK_PRESSURE);
}

bool hardware_belongs(const struct hardware_row *row, enum hardware_builds kind) {
    return (row->builds & kind & HARDWARE_ANY) != 0 &&
           ((row->builds & HARDWARE_DUTY) == 0 || (row->builds & kind & HARDWARE_DUTY) != 0);
}

const struct hardware_row *hardware_find(const char *field, enum hardware_builds kind) {
    for (size_t i = 0; i < hardware_row_count; i++) {
        const struct hardware_row *row = &hardware_rows[i];
        if (hardware_belongs(row, kind) && strcmp(row->field, field) == 0) {
            return row;
        }
    }
    return NULL;
}

const char *hardware_scale_name(enum hardware_scale scale) {
    static const char *const names[HARDWARE_SCALE_COUNT] = {
        [HARDWARE_NUMBER] = "",
        [HARDWARE_BODY] = "body size",
        [HARDWARE_SEAT] = "diameter of the port that is in it",
        [HARDWARE_PORT] = "diameter of the body's full port",
        [HARDWARE_PORT_AREA] = "area of the body's full port",
        [HARDWARE_PILOT_SEAT] = "diameter of the body's full port x (body / 2.5 in)^(1/4)",
        [HARDWARE_SWEEP] = "what the diaphragm sweeps",
        [HARDWARE_LOWEST_RATE] = "lowest set pressure on the diaphragm, over the travel",
        [HARDWARE_LOWEST_FORCE] = "lowest set pressure on the diaphragm",
        [HARDWARE_SET_RATE] = "set pressure on the diaphragm, over the travel",
        [HARDWARE_SPRING_SPAN] = "spring force over the travel",
        [HARDWARE_BODY_MASS] = "1 kg at 3 in, power 2.5 of the body",
        [HARDWARE_SPRING_DRAG] = "square root of spring rate x moving mass",
        [HARDWARE_PILOT_AREA] = "pilot's diaphragm",
        [HARDWARE_PILOT_RATE] = "set pressure on the pilot's diaphragm, over 1 in",
        [HARDWARE_PIPE] = "volume of ten feet of pipe of the body's size",
        [HARDWARE_SUPPLY_SEAT] = "supply seat's diameter",
        [HARDWARE_PILOT_TRAVEL] = "pilot's travel",
    };
    return names[scale];
}

static double scale_of(enum hardware_scale scale, const struct hardware_build *build);

static double typical(const char *field, const struct hardware_build *build) {
    const struct hardware_row *row = hardware_find(field, build->kind);
    return row->typical * scale_of(row->scale, build);
}

// Scales of the actuator; none of them calls itself: area and travel follow from the port, the
// spring from these, friction and damping from the spring.
static double scale_of_actuator(enum hardware_scale scale, const struct hardware_build *build) {
    const double area = typical("actuator.diaphragm_area", build);
    const double travel = typical("trim.travel", build);
    switch (scale) {
    case HARDWARE_SWEEP:
        return area * travel;
    case HARDWARE_LOWEST_RATE:
        return fmin(HARDWARE_LOWEST_SET, build->set) * area / travel;
    case HARDWARE_LOWEST_FORCE:
        return fmin(HARDWARE_LOWEST_SET, build->set) * area;
    case HARDWARE_SET_RATE:
        return build->set * area / travel;
    case HARDWARE_SPRING_SPAN:
        return typical("actuator.spring_rate", build) * travel;
    default:
        return sqrt(typical("actuator.spring_rate", build) *
                    typical("actuator.moving_mass", build));
    }
}

static double scale_of(enum hardware_scale scale, const struct hardware_build *build) {
    switch (scale) {
    case HARDWARE_NUMBER:
        return 1.0;
    case HARDWARE_BODY:
        return build->body;
    case HARDWARE_SEAT:
        return build->port;
    case HARDWARE_PORT:
        return hardware_port(build->body);
    case HARDWARE_PORT_AREA:
        return 0.25 * acos(-1.0) * pow(hardware_port(build->body), 2.0);
    case HARDWARE_PILOT_SEAT:
        return hardware_port(build->body) * pow(build->body / BODY_OF_STROKE, 0.25);
    case HARDWARE_PIPE:
        return 0.25 * acos(-1.0) * pow(build->body, 2.0) * LENGTH_OF_PIPE;
    case HARDWARE_BODY_MASS:
        return pow(build->body / BODY_OF_MASS, MASS_POWER);
    case HARDWARE_PILOT_AREA:
        return typical("pilot.diaphragm_area", build);
    case HARDWARE_PILOT_RATE:
        return build->set * typical("pilot.diaphragm_area", build) / INCH;
    case HARDWARE_SUPPLY_SEAT:
        return typical("pilot.supply_seat", build);
    case HARDWARE_PILOT_TRAVEL:
        return typical("pilot.travel", build);
    default:
        return scale_of_actuator(scale, build);
    }
}

struct sample_range hardware_range(const struct hardware_row *row,
                                   const struct hardware_build *build) {
    const double scale = scale_of(row->scale, build);
    return (struct sample_range){row->shape, row->low * scale, row->typical * scale,
                                 row->high * scale};
}

double hardware_tie(const struct hardware_row *a, const struct hardware_row *b) {
    return a != b && a->group != 0 && a->group == b->group ? a->tie * b->tie : 0.0;
}

double hardware_port(double body) {
    return typical("trim.port", &(struct hardware_build){.kind = HARDWARE_BLEED, .body = body});
}
