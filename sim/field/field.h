// SPDX-License-Identifier: MIT
// One table of everything a scenario may say: name, kind of unit, default, range, help and where
// the value goes. Reading, checking, hints, defaults and the printed reference all come from it.
#pragma once

#include "field/options.h"
#include "models/regulator.h"
#include "units/units.h"

#include <stdbool.h>
#include <stddef.h>

enum field_type {
    FIELD_NUMBER,   // double, SI
    FIELD_INTEGER,  // int
    FIELD_CHOICE,   // int, index into the row's words
    FIELD_FLAG,     // bool, yes or no
    FIELD_TEXT,     // const char *
    FIELD_SCHEDULE, // struct schedule, SI
    FIELD_TABLE,    // struct trim_table
};

// Builds a field belongs to. A row without marks of a group belongs to all of that group.
enum field_use {
    USE_ANY = 0,
    USE_BACK_PRESSURE = 1,
    USE_REDUCING = 2,
    USE_PILOT = 4,
    USE_DIRECT = 8,
    USE_GAS = 16,
    USE_LIQUID = 32,
};

// What a user may say that is not a model parameter as it stands; NaN where nothing was said.
struct scenario_raw {
    const char *title;
    const char *teaches;
    double atmosphere;         // [Pa]
    double altitude;           // [m]
    double base_pressure;      // [Pa]
    double base_temperature;   // [K]
    double gravity;            // of the gas, air = 1 [-]
    int thermal;               // 0 energy, 1 isothermal
    int adjusted;              // 0 at crack, 1 at flow
    double trim_coefficient;   // A_v [m2]
    double outlet_coefficient; // A_v of the downstream volume's outlet [m2]
    double pressure_limit;     // of the vessel [Pa]
    int output_units;          // enum unit_system
};

struct scenario_values {
    struct regulator_parameters model;
    struct run_options run;
    struct start_options start;
    struct scenario_raw raw;
    struct envelope_options envelope;
    struct decline_options decline;
    struct readings_options readings;
    struct document_options document;
};

struct field {
    const char *section; // "" at the top level
    const char *name;
    enum field_type type;
    enum unit_kind kind;
    unsigned use;  // enum field_use marks
    bool required; // in the builds it belongs to
    // Default as a user would write it. "= ..." tells a rule of sim/scenario/scenario_derive.c.
    // NULL: zero, none or required.
    const char *preset;
    const char *low; // smallest and largest value allowed, as a user would write them, or NULL
    const char *high;
    const char *const *words; // choices, ended by NULL
    size_t offset;            // in struct scenario_values
    const char *help;
};

struct field_section {
    const char *name;
    const char *help;
    const struct field *rows;
    size_t count;
};

// Sections in the order of the reference; NULL beyond the last.
const struct field_section *field_section_at(size_t index);
const struct field_section *field_section_find(const char *name);

// Rows numbered through all sections.
size_t field_count(void);
const struct field *field_at(size_t index);

// All rows one after the other, for what asks for each of them again and again: begin with {0}.
struct field_walk {
    const struct field *field;
    size_t index;              // of that row
    size_t next, section, row; // what follows
};
bool field_next(struct field_walk *walk); // false: there are no more

// Index of a row, or field_count() if there is none.
size_t field_index(const char *section, const char *name);

// The same by "section.name", or "name" at the top level.
size_t field_index_of(const char *path);

// First row of a section and number of its rows.
size_t field_section_first(const struct field_section *section);

// Whether a row belongs to the build with the given marks (one of each group).
bool field_applies(const struct field *field, unsigned build);

// Words of the marks a row asks for, such as "reducing, direct".
void field_use_text(unsigned use, char *text, size_t size);

// Whether the default is a rule rather than a value.
bool field_preset_is_rule(const struct field *field);

// Sections kept in files of their own.
extern const struct field_section field_sections_service[];
extern const size_t field_sections_service_count;
extern const struct field_section field_sections_parts[];
extern const size_t field_sections_parts_count;
extern const struct field_section field_sections_outlook[];
extern const size_t field_sections_outlook_count;
