// SPDX-License-Identifier: MIT
#include "remedy/remedy.h"

#include "field/field.h"

#include <math.h>
#include <string.h>

const struct remedy *remedy_at(size_t index) {
    if (index < remedy_without_parts_count) {
        return &remedy_without_parts[index];
    }
    index -= remedy_without_parts_count;
    return index < remedy_with_parts_count ? &remedy_with_parts[index] : NULL;
}

// Where a field of the model lies in a resolved case; NULL for any other.
static const void *model_value(const struct field *field, const struct scenario_case *resolved) {
    const size_t first = offsetof(struct scenario_values, model);
    if (field->offset < first || field->offset >= first + sizeof resolved->model) {
        return NULL;
    }
    return (const char *)&resolved->model + (field->offset - first);
}

double remedy_today(const struct remedy *remedy, const struct scenario *scenario, size_t trim,
                    const struct scenario_case *resolved) {
    const struct field *field = field_at(field_index_of(remedy->field));
    const void *at = model_value(field, resolved);
    if (field->type == FIELD_SCHEDULE && at) {
        const struct schedule *schedule = at;
        return schedule->kind == SCHEDULE_CONSTANT ? schedule->base : (double)NAN;
    }
    if (field->type == FIELD_NUMBER && at) { // with what a rule has filled in
        double value;
        memcpy(&value, at, sizeof value);
        return value;
    }
    return field->type == FIELD_NUMBER ? scenario_get_si(scenario, trim, remedy->field)
                                       : (double)NAN;
}

// Why the build has no such field.
static const char *absent_part(const char *field) {
    return strncmp(field, "inlet.", 6) == 0 ? "the inlet pressure is what this regulator holds"
           : strncmp(field, "downstream.", 11) == 0
               ? "the outlet pressure is what this regulator holds"
           : strncmp(field, "pilot", 5) == 0 ? "it has no pilot"
                                             : "this regulator has no such part or setting";
}

const char *remedy_missing(const struct remedy *remedy, const struct scenario *scenario,
                           size_t trim, const struct scenario_case *resolved) {
    struct scenario_entry entry;
    size_t index = field_index_of(remedy->field);
    if (!scenario_provenance(scenario, trim, index, &entry) || !entry.applies) {
        return absent_part(remedy->field);
    }
    if (remedy->applies && !remedy->applies(resolved)) {
        return remedy->missing;
    }
    if (remedy->way == REMEDY_CHOICE) {
        return NULL;
    }
    if (strcmp(remedy->field, "set.pressure") == 0 &&
        isnan(scenario_get_si(scenario, trim, remedy->field))) {
        return "the set pressure follows from actuator.preload; give set.pressure in its place";
    }
    double today = remedy_today(remedy, scenario, trim, resolved);
    if (!isfinite(today)) {
        return field_at(index)->type == FIELD_SCHEDULE ? "it changes over time already"
                                                       : "its value is not given";
    }
    if (remedy->way == REMEDY_TIMES && today == 0.0) {
        return "it is 0 in this scenario";
    }
    return NULL;
}

static double unbounded(const struct remedy *remedy, const struct scenario_case *resolved,
                        double today, double strength) {
    double reach = remedy->from + strength * (remedy->to - remedy->from);
    double atmosphere = resolved->site.atmosphere;
    switch (remedy->way) {
    case REMEDY_TIMES:
        // Even steps of the factor's logarithm.
        return today * remedy->from * pow(remedy->to / remedy->from, strength);
    case REMEDY_TIMES_GAUGE:
        return atmosphere + (today - atmosphere) * reach;
    case REMEDY_TOWARD_SET:
        return today + (resolved->set_pressure - today) * reach;
    case REMEDY_TOWARD:
        return today + (remedy->target(resolved) - today) * reach;
    case REMEDY_CHOICE:
        break;
    }
    return (double)NAN;
}

double remedy_value(const struct remedy *remedy, const struct scenario_case *resolved, double today,
                    double strength) {
    const double value = unbounded(remedy, resolved, today, strength);
    return remedy->at_most ? fmin(value, remedy->at_most(resolved)) : value;
}

void remedy_choose(const struct remedy *remedy, struct scenario_case *resolved) {
    // The one choice that is a remedy has two words.
    if (strcmp(remedy->field, "trim.direction") == 0) {
        struct trim_parameters *trim = &resolved->model.trim;
        trim->direction =
            trim->direction == TRIM_FLOW_TO_CLOSE ? TRIM_FLOW_TO_OPEN : TRIM_FLOW_TO_CLOSE;
    }
}
