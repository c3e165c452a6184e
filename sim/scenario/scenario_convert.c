// SPDX-License-Identifier: MIT
// Every row of the field table that belongs to the build: present, in range, stored as SI.
#include "scenario/scenario_resolution.h"

#include <math.h>
#include <string.h>

_Static_assert(sizeof(enum regulator_duty) == sizeof(int), "choices are stored as int");

struct conversion {
    struct scenario_resolution *r;
    const struct field *field;
    const struct field_bounds *bounds;
    const struct field_value *value;
    void *target;          // in the values
    struct arena *scratch; // for what is told
};

// "section.name": asked for only where there is something to tell.
static const char *convert_path(const struct conversion *c) {
    return scenario_label(c->scratch, c->field);
}

// SI of a bound of the table, NaN if there is none.
static double convert_bound(const struct conversion *c, bool has, const struct quantity *bound) {
    double si;
    return has && !units_to_si(&c->r->site, bound, &si) ? si : (double)NAN;
}

static bool convert_in_range(const struct conversion *c, double si) {
    const double low = convert_bound(c, c->bounds->has_low, &c->bounds->low);
    const double high = convert_bound(c, c->bounds->has_high, &c->bounds->high);
    // A value equal to its bound in other units may differ in the last digit.
    return !(si < low - 1e-12 * fabs(low)) && !(si > high + 1e-12 * fabs(high));
}

static void convert_out_of_range(const struct conversion *c, const char *text) {
    const struct field *field = c->field;
    resolution_error(c->r, convert_path(c), "found '%s'; allowed %s%s%s", text,
                     field->low ? field->low : "", field->high ? " to " : " or more",
                     field->high ? field->high : "");
}

static bool convert_quantity(const struct conversion *c, const struct quantity *quantity,
                             double *si) {
    const char *error = units_to_si(&c->r->site, quantity, si);
    if (error && isnan(*si)) {
        // The stream itself is missing or wrong, and that has been said.
        c->r->wrong = true;
        return false;
    }
    if (error) {
        resolution_error(c->r, convert_path(c), "found '%s'; %s", c->value->text, error);
        return false;
    }
    if (convert_in_range(c, *si)) {
        return true;
    }
    convert_out_of_range(c, c->value->text);
    return false;
}

static void convert_points(const struct conversion *c, const struct schedule_input *input,
                           struct schedule *schedule) {
    double *times = arena_alloc(c->r->memory, input->count * sizeof *times);
    double *values = arena_alloc(c->r->memory, input->count * sizeof *values);
    if (!times || !values) {
        return;
    }
    for (size_t i = 0; i < input->count; i++) {
        times[i] = input->time[i];
        if (!convert_quantity(c, &input->value[i], &values[i])) {
            return;
        }
    }
    schedule->kind = SCHEDULE_POINTS;
    schedule->count = input->count;
    schedule->time = times;
    schedule->value = values;
}

static void convert_schedule(const struct conversion *c) {
    struct schedule *schedule = c->target;
    const struct schedule_input *input = c->value->schedule;
    if (input->shape == SHAPE_POINTS) {
        convert_points(c, input, schedule);
        return;
    }
    if (!convert_quantity(c, &input->base, &schedule->base)) {
        return;
    }
    if (input->shape == SHAPE_CONSTANT) {
        return;
    }
    schedule->kind = input->shape == SHAPE_SLUG ? SCHEDULE_SLUG : SCHEDULE_SINE;
    schedule->start = input->start;
    schedule->period = input->period;
    schedule->duration = input->duration;
    if (convert_quantity(c, &input->peak, &schedule->peak) && input->shape == SHAPE_PULSE) {
        schedule->peak -= schedule->base; // the model's amplitude
        if (!convert_in_range(c, schedule->base - schedule->peak)) {
            resolution_error(c->r, convert_path(c),
                             "the pulse falls as far below its middle as its crest "
                             "is above: below %s",
                             c->field->low ? c->field->low : "what is allowed");
        }
    }
}

static void convert_integer(const struct conversion *c) {
    if (!convert_in_range(c, c->value->whole)) {
        convert_out_of_range(c, c->value->text);
    }
    memcpy(c->target, &c->value->whole, sizeof c->value->whole);
}

static void convert_store(const struct conversion *c) {
    const struct field_value *value = c->value;
    const bool flag = value->whole == 1;
    double si;
    switch (c->field->type) {
    case FIELD_NUMBER:
        if (convert_quantity(c, &value->quantity, &si)) {
            memcpy(c->target, &si, sizeof si);
        }
        break;
    case FIELD_INTEGER:
        convert_integer(c);
        break;
    case FIELD_CHOICE:
        memcpy(c->target, &value->whole, sizeof value->whole);
        break;
    case FIELD_FLAG:
        memcpy(c->target, &flag, sizeof flag);
        break;
    case FIELD_TEXT:
        memcpy(c->target, &value->text, sizeof value->text);
        break;
    case FIELD_SCHEDULE:
        convert_schedule(c);
        break;
    case FIELD_TABLE:
        memcpy(c->target, value->table, sizeof *value->table);
        break;
    }
}

// What nobody said: a number stands as NaN until a rule fills it, anything else stays zero.
static void convert_missing(const struct conversion *c) {
    const double nothing = (double)NAN;
    if (c->field->required) {
        resolution_error(c->r, convert_path(c), "is missing; %s%s%s", c->field->help,
                         c->field->kind == UNIT_NONE ? "" : "; a value in ",
                         c->field->kind == UNIT_NONE ? "" : units_allowed(c->field->kind));
    } else if (c->field->type == FIELD_NUMBER) {
        memcpy(c->target, &nothing, sizeof nothing);
    }
}

static void convert_row(struct conversion *c) {
    const struct field_value *value = c->value;
    const bool said =
        value->provenance == PROVENANCE_GIVEN || value->provenance == PROVENANCE_GUESS;
    if (!field_applies(c->field, c->r->build)) {
        char uses[128];
        field_use_text(c->field->use, uses, sizeof uses);
        if (said) {
            resolution_error(c->r, convert_path(c), "does not apply here; it belongs to %s", uses);
        }
        return;
    }
    if (value->wrong) {
        c->r->wrong = true;
        return;
    }
    if (value->provenance == PROVENANCE_NONE) {
        convert_missing(c);
    } else {
        convert_store(c);
    }
}

// The range of a range, so that a study cannot leave what a value may be.
static void convert_ends(const struct conversion *c) {
    double low;
    double middle;
    double high;
    if (!c->value->ranged || c->value->wrong || !field_applies(c->field, c->r->build)) {
        return;
    }
    if (!convert_quantity(c, &c->value->low, &low) ||
        !convert_quantity(c, &c->value->high, &high) ||
        !convert_quantity(c, &c->value->quantity, &middle)) {
        return;
    }
    if (!(low <= middle && middle <= high)) {
        resolution_error(c->r, convert_path(c), "`low`, `value`, `high` must rise");
    }
}

void resolution_convert(struct scenario_resolution *r) {
    struct arena scratch = {0};
    struct conversion c = {.r = r, .scratch = &scratch};
    for (struct field_walk row = {0}; field_next(&row);) {
        c.field = row.field;
        c.bounds = &r->scenario->bounds[row.index];
        c.value = scenario_value(r->scenario, r->trim, row.index);
        c.target = (char *)&r->values + c.field->offset;
        convert_row(&c);
        convert_ends(&c);
    }
    if (scratch.failed) {
        r->memory->failed = true;
    }
    arena_free(&scratch);
}
