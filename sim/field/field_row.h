// SPDX-License-Identifier: MIT
// Short forms in which the rows of the field table are written. Included by those tables only.
#pragma once

#include "field/field.h"

#define VALUE_AT(member) offsetof(struct scenario_values, member)

#define ANY USE_ANY
#define BACK USE_BACK_PRESSURE
#define REDUCING USE_REDUCING
#define PILOT USE_PILOT
#define DIRECT USE_DIRECT
#define GAS USE_GAS
#define LIQUID USE_LIQUID

// Number that must be given; number with a default or a rule; number that may be left out.
#define NEED(section, name, kind, use, low, high, member, help)                                    \
    { section, name, FIELD_NUMBER, kind, use, true, NULL, low, high, NULL, VALUE_AT(member), help }
#define NUMBER(section, name, kind, use, preset, low, high, member, help)                          \
    {                                                                                              \
        section, name, FIELD_NUMBER, kind, use, false, preset, low, high, NULL, VALUE_AT(member),  \
            help                                                                                   \
    }
#define MAYBE(section, name, kind, use, low, high, member, help)                                   \
    { section, name, FIELD_NUMBER, kind, use, false, NULL, low, high, NULL, VALUE_AT(member), help }
#define CHOICE(section, name, use, required, preset, words, member, help)                          \
    {                                                                                              \
        section, name, FIELD_CHOICE, UNIT_NONE, use, required, preset, NULL, NULL, words,          \
            VALUE_AT(member), help                                                                 \
    }
#define FLAG(section, name, use, preset, member, help)                                             \
    {                                                                                              \
        section, name, FIELD_FLAG, UNIT_NONE, use, false, preset, NULL, NULL, NULL,                \
            VALUE_AT(member), help                                                                 \
    }
#define TEXT(section, name, member, help)                                                          \
    {                                                                                              \
        section, name, FIELD_TEXT, UNIT_NONE, ANY, false, "", NULL, NULL, NULL, VALUE_AT(member),  \
            help                                                                                   \
    }
#define INTEGER(section, name, preset, low, high, member, help)                                    \
    {                                                                                              \
        section, name, FIELD_INTEGER, UNIT_NONE, ANY, false, preset, low, high, NULL,              \
            VALUE_AT(member), help                                                                 \
    }
#define SCHEDULE(section, name, kind, use, required, preset, low, high, member, help)              \
    {                                                                                              \
        section, name, FIELD_SCHEDULE, kind, use, required, preset, low, high, NULL,               \
            VALUE_AT(member), help                                                                 \
    }
#define TABLE(section, name, member, help)                                                         \
    {                                                                                              \
        section, name, FIELD_TABLE, UNIT_NONE, ANY, false, NULL, NULL, NULL, NULL,                 \
            VALUE_AT(member), help                                                                 \
    }

#define SECTION(name, help, rows)                                                                  \
    { name, help, rows, sizeof(rows) / sizeof(rows)[0] }
