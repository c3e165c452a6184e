// SPDX-License-Identifier: MIT
// What all steps of resolving share: the value of a row, and where to point at when it is wrong.
#include "scenario/scenario_resolution.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

const struct field_value *resolution_value(const struct scenario_resolution *r, const char *path) {
    return scenario_value(r->scenario, r->trim, field_index_of(path));
}

bool resolution_given(const struct scenario_resolution *r, const char *path) {
    const enum provenance provenance = resolution_value(r, path)->provenance;
    return provenance == PROVENANCE_GIVEN || provenance == PROVENANCE_GUESS;
}

const char *resolution_token(const struct scenario_resolution *r, size_t index) {
    const struct field_value *value = scenario_value(r->scenario, r->trim, index);
    if (value->provenance != PROVENANCE_GIVEN && value->provenance != PROVENANCE_GUESS) {
        return NULL;
    }
    const struct schedule_input *input = value->schedule;
    const struct quantity *written = !input                         ? &value->quantity
                                     : input->shape == SHAPE_POINTS ? &input->value[0]
                                                                    : &input->base;
    return written->token ? units_read_as(written->token) : NULL;
}

struct place resolution_place(const struct scenario_resolution *r, const char *path) {
    const struct scenario *scenario = r->scenario;
    const size_t index = field_index_of(path);
    const struct field_value *value = scenario_value(scenario, r->trim, index);
    if (value->place.line > 0) {
        return value->place;
    }
    const struct field_section *section;
    const char *name = field_at(index)->section;
    for (size_t i = 0; (section = field_section_at(i)); i++) {
        if (strcmp(section->name, name) == 0 && scenario->section_places[i].line > 0) {
            return scenario->section_places[i];
        }
    }
    if (r->trim && strcmp(name, "trim") == 0) {
        return r->trim->place;
    }
    return (struct place){scenario->name, 1, 1};
}

void resolution_error(const struct scenario_resolution *r, const char *path, const char *format,
                      ...) {
    char text[512];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    diagnostics_error(r->out, resolution_place(r, path), "%s: %s", path, text);
}
