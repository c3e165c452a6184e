// SPDX-License-Identifier: MIT
// From a quantity as written to SI and back, once site and stream are known.
#include "units/units.h"

#include <math.h>

#define UNITS_GAS_CONSTANT 8.31446261815324

// [mol/m3] of ideal gas at the scenario's base conditions.
static double units_base_density(const struct unit_context *context) {
    return context->base_pressure / (UNITS_GAS_CONSTANT * context->base_temperature);
}

// [kg/s] of one unit of the given basis; NaN where the stream does not allow it.
static double units_flow_scale(const struct unit_context *context, enum unit_basis basis) {
    switch (basis) {
    case BASIS_BASE_VOLUME:
        return context->liquid ? (double)NAN : context->molar_mass * units_base_density(context);
    case BASIS_MOLAR:
        return context->liquid ? (double)NAN : context->molar_mass;
    case BASIS_ACTUAL:
        return context->liquid ? context->density : (double)NAN;
    default:
        return 1.0;
    }
}

const char *units_to_si(const struct unit_context *context, const struct quantity *quantity,
                        double *si) {
    *si = quantity->value;
    if (quantity->basis == BASIS_GAUGE) {
        *si += context->atmosphere;
    } else if (quantity->kind == UNIT_FLOW) {
        if (quantity->basis == BASIS_ACTUAL && !context->liquid) {
            return "a gas flow is a standard volume or a mass: Mscf/d, Sm3/h, kg/h";
        }
        if ((quantity->basis == BASIS_MOLAR || quantity->basis == BASIS_BASE_VOLUME) &&
            context->liquid) {
            return "a liquid flow is a volume as it flows or a mass: bbl/d, gpm, m3/h, kg/h";
        }
        *si *= units_flow_scale(context, quantity->basis);
        if (isnan(*si)) {
            return "the stream's molar mass or density is not known";
        }
    }
    return isfinite(*si) ? NULL : "too large";
}

struct quantity units_quantity_si(enum unit_kind kind, double si) {
    const enum unit_basis basis = kind == UNIT_FLOW ? BASIS_MASS : BASIS_PLAIN;
    return (struct quantity){kind, basis, UNITS_AS_WRITTEN, si, NULL};
}

struct units_scale units_scale_of(const struct unit_context *context, enum unit_kind kind,
                                  const char *token) {
    struct units_scale scale = {.plain = token[0] == '\0', .flow = 1.0};
    scale.unit = scale.plain ? NULL : units_find(kind, token);
    if (scale.unit && scale.unit->basis == BASIS_GAUGE) {
        scale.atmosphere = context->atmosphere;
    } else if (scale.unit && kind == UNIT_FLOW) {
        scale.flow = units_flow_scale(context, scale.unit->basis);
    }
    return scale;
}

double units_scale_number(const struct units_scale *scale, double si) {
    if (!scale->unit) {
        return scale->plain ? si : (double)NAN;
    }
    const double value = (si - scale->atmosphere) / scale->flow;
    return (value - scale->unit->offset) / scale->unit->factor;
}

void units_scale_numbers(const struct units_scale *scale, const double *si, size_t count,
                         double *number) {
    for (size_t i = 0; i < count; i++) {
        number[i] = isfinite(si[i]) ? units_scale_number(scale, si[i]) : (double)NAN;
    }
}

double units_from_si(const struct unit_context *context, enum unit_kind kind, const char *token,
                     double si) {
    const struct units_scale scale = units_scale_of(context, kind, token);
    return units_scale_number(&scale, si);
}
