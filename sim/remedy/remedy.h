// SPDX-License-Identifier: MIT
// What a crew can do about a regulator that hunts, chatters or slams: one table of remedies, each a
// range of one field. Says which of them this build has, and to what values they lead. Simulates
// nothing.
#pragma once

#include "scenario/scenario.h"

// How the range of a remedy is counted.
enum remedy_way {
    REMEDY_TIMES,       // today's value times from .. to
    REMEDY_TIMES_GAUGE, // the same of a pressure above the atmosphere
    REMEDY_TOWARD_SET,  // from .. to of the way from today's pressure to the set pressure
    REMEDY_TOWARD,      // from .. to of the way from today's value to the target
    REMEDY_CHOICE,      // another word of the field; from and to mean nothing
};

// A further field that changes along, when it is stated: by the factor to that power.
struct remedy_companion {
    const char *field; // NULL: none
    double power;
};

struct remedy {
    const char *name;   // as in tables, such as "bleed-smaller"
    const char *action; // what is done, in plain words
    const char *field;  // "section.name"
    enum remedy_way way;
    double from, to; // the slightest and the strongest change tried
    bool parts;      // needs parts
    // Whether the build has it, beyond the field's own marks; NULL: always. `missing` says what it
    // lacks.
    bool (*applies)(const struct scenario_case *scenario);
    const char *missing;
    double (*target)(const struct scenario_case *scenario);  // of REMEDY_TOWARD
    double (*at_most)(const struct scenario_case *scenario); // where the value ends; NULL: nowhere
    struct remedy_companion companion;
    const char *caution;
};

// Remedies by index, those without parts first; NULL beyond the last.
const struct remedy *remedy_at(size_t index);

// Sections kept in files of their own.
extern const struct remedy remedy_without_parts[];
extern const size_t remedy_without_parts_count;
extern const struct remedy remedy_with_parts[];
extern const size_t remedy_with_parts_count;

// Today's value of a remedy's field [SI]; NaN for a choice, a schedule that changes, or a value
// that is not there.
double remedy_today(const struct remedy *remedy, const struct scenario *scenario, size_t trim,
                    const struct scenario_case *resolved);

// NULL when the remedy can be tried on this build, else what is missing, in words.
const char *remedy_missing(const struct remedy *remedy, const struct scenario *scenario,
                           size_t trim, const struct scenario_case *resolved);

// Value that the change of strength 0 (slightest) to 1 (strongest) leads to [SI].
double remedy_value(const struct remedy *remedy, const struct scenario_case *resolved, double today,
                    double strength);

// Make the change of a REMEDY_CHOICE in a resolved case.
void remedy_choose(const struct remedy *remedy, struct scenario_case *resolved);
