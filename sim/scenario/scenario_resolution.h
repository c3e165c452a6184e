// SPDX-License-Identifier: MIT
// The steps that turn one trim of a scenario into SI parameters, and what they share.
#pragma once

#include "scenario/scenario_data.h"

// What resolving passes along.
struct scenario_resolution {
    const struct scenario *scenario;
    const struct scenario_trim *trim;
    unsigned build; // enum field_use marks
    bool wrong;     // some value was refused when it was read
    struct unit_context site;
    struct scenario_values values;
    struct arena *memory; // of the case
    struct diagnostics *out;
};

// Value of a row by path in the resolution, and where to point at when it is at fault.
const struct field_value *resolution_value(const struct scenario_resolution *r, const char *path);
struct place resolution_place(const struct scenario_resolution *r, const char *path);
bool resolution_given(const struct scenario_resolution *r, const char *path);

// Unit in which to read a row as somebody wrote it; NULL if nobody did.
const char *resolution_token(const struct scenario_resolution *r, size_t index);

void resolution_error(const struct scenario_resolution *r, const char *path, const char *format,
                      ...) __attribute__((format(printf, 3, 4)));

// Marks of the build, enum field_use; 0, and a report, when it is not said or wrong.
unsigned resolution_build(const struct scenario_resolution *r);

// Steps of resolving, in order. Each reports what it finds.
void resolution_site(struct scenario_resolution *r);    // build marks and unit context
void resolution_convert(struct scenario_resolution *r); // table rows to SI, ranges, requirements
void resolution_derive(struct scenario_resolution *r);  // rules for what was left out
void resolution_check(struct scenario_resolution *r);   // fields against each other
void resolution_check_outlook(struct scenario_resolution *r); // those of envelope and decline
