// SPDX-License-Identifier: MIT
// Inside of a scenario, shared by the files that read and change it.
#pragma once

#include "scenario/scenario.h"
#include "yaml/yaml_tree.h"

enum schedule_shape { SHAPE_CONSTANT, SHAPE_POINTS, SHAPE_SLUG, SHAPE_PULSE };

// A schedule as written: values not yet SI, since that needs the whole scenario.
struct schedule_input {
    enum schedule_shape shape;
    struct quantity base; // constant, between slugs, or the middle of a pulsation
    struct quantity peak; // of a slug, or the crest of a pulsation
    double start;         // [s]
    double period;        // [s]
    double duration;      // [s]
    size_t count;
    double *time; // [s]
    struct quantity *value;
};

struct field_value {
    enum provenance provenance;
    bool wrong; // already reported
    struct place place;
    const char *text; // as written
    struct quantity quantity;
    int whole; // integer, choice, flag
    const struct trim_table *table;
    const struct schedule_input *schedule;
    bool ranged;
    struct quantity low;
    struct quantity high;
};

// The ends of the range that a row allows, read once: a study asks for them at each of its points.
struct field_bounds {
    bool has_low;
    bool has_high;
    struct quantity low;
    struct quantity high;
};

struct scenario_trim {
    const char *name;
    struct place place;
    struct field_value *values; // one for each row of the trim section
    struct scenario_trim *next;
};

// A record that came along in a dump.
struct scenario_file {
    const char *path;
    const char *text; // ended by NUL
    size_t length;
    struct scenario_file *next;
};

struct scenario {
    struct arena memory;
    const char *name;
    const char *folder;                // with its slash, or ""
    struct field_value *values;        // one for each row of the table
    const struct field_bounds *bounds; // likewise; copies share them
    size_t trim_first;                 // first row of the trim section
    size_t trim_rows;
    struct scenario_trim *trims;  // in the order of the file
    struct place *section_places; // of each section's key; line 0: the file has none
    struct scenario_expect *expects;
    size_t expect_count;
    struct scenario_observed *observed;
    size_t observed_count;
    size_t written_us; // values written in US units
    size_t written_metric;
    size_t strange_names; // top keys that are no section and near to none
    bool dumped;          // read from a dump: its records are among `files`, and nowhere else
    struct scenario_file *files;
};

// An empty scenario with the defaults of the table; NULL without memory (or with memory.failed).
// Free with scenario_free.
struct scenario *scenario_create(const char *name);

// Value of a row for a trim (NULL: the common part alone).
const struct field_value *scenario_value(const struct scenario *scenario,
                                         const struct scenario_trim *trim, size_t index);
const struct scenario_trim *scenario_trim_at(const struct scenario *scenario, size_t index);

// Warns of sizes that one does not meet.
void scenario_warn_plausible(const struct scenario *scenario, struct diagnostics *out);

// Fills all values with the table's defaults.
void scenario_defaults(struct scenario *scenario);

// Reads the whole tree into the scenario; false if it is no mapping.
bool scenario_read(struct scenario *scenario, const struct yaml_node *root,
                   struct diagnostics *out);

// Reads the list of what was seen on site.
void scenario_read_observed(struct scenario *scenario, const struct yaml_node *node,
                            struct diagnostics *out);

// Reads one node into the value of a row.
void scenario_read_value(struct scenario *scenario, const struct field *field,
                         const struct yaml_node *node, struct field_value *value,
                         struct diagnostics *out);

// Reads a quantity from a scalar; reports and returns false if it is none.
bool scenario_read_quantity(struct scenario *scenario, const char *label, enum unit_kind kind,
                            const struct yaml_node *node, struct quantity *out,
                            struct diagnostics *list);

// Reads a mapping that describes a schedule; NULL after an error.
const struct schedule_input *scenario_read_schedule(struct scenario *scenario, const char *label,
                                                    enum unit_kind kind,
                                                    const struct yaml_node *node,
                                                    struct diagnostics *out);

// Reads a two-column record beside the scenario; false after an error.
bool scenario_read_record(struct scenario *scenario, const char *label, enum unit_kind kind,
                          const struct yaml_node *node, struct schedule_input *input,
                          struct diagnostics *out);

// The same with dates in the first column and flows in the second: `time` then holds days from
// 1970-01-01 (sim/base/calendar.h). Place and label are of what names the file.
bool scenario_read_dated_record(struct scenario *scenario, const char *label, const char *name,
                                struct place place, struct schedule_input *input,
                                struct diagnostics *out);

enum { SCENARIO_RECORD_MAX = 4 << 20 }; // [bytes]

// Path of a file beside a scenario.
const char *scenario_beside(struct arena *arena, const char *folder, const char *name);

// "section.name", or "name".
const char *scenario_label(struct arena *arena, const struct field *field);

// What to say of `key:value`, which YAML reads as one word.
const char *scenario_tight(const char *text);

// A key as it may be repeated in a message: in quotes if it was `meant` as one there is, or could
// have been; else "of that name".
const char *scenario_quoted(struct arena *arena, const char *key, bool meant);

// Whether a mapping is of something else than a scenario: no key of it is a section, and its file
// is not called one of YAML.
bool scenario_is_strange(const struct scenario *scenario, const struct yaml_node *root);

// Reports a key that is no section; returns the section that was probably meant, or NULL.
const struct field_section *scenario_unknown_section(struct scenario *scenario,
                                                     const struct yaml_node *node,
                                                     struct diagnostics *out);

// A text as shown in a message: cut to what a line can bear.
const char *scenario_shown(struct arena *arena, const char *text);

// Reports a child that is none of the words (ended by NULL), with the nearest of them.
void scenario_unknown(const char *owner, const struct yaml_node *child, const char *const *words,
                      struct diagnostics *out);
