// SPDX-License-Identifier: MIT
// The tree of a file into the values of a scenario: sections, trims, expectations.
#include "scenario/scenario_data.h"

#include "base/nearest.h"

#include <ctype.h>
#include <string.h>

static const char *const expect_words[] = {"quantity", "value", "tolerance",
                                           "source",   "trim",  NULL};

enum { TRIMS_MAX = 100, TRIM_NAME_MAX = 40 };

void scenario_defaults(struct scenario *scenario) {
    struct diagnostics problems = {0};
    for (size_t i = 0; i < field_count(); i++) {
        const struct field *field = field_at(i);
        struct field_value *value = &scenario->values[i];
        if (!field->preset || field_preset_is_rule(field)) {
            *value = (struct field_value){.text = field->preset ? field->preset : ""};
            continue;
        }
        const struct yaml_node node = {.text = field->preset};
        scenario_read_value(scenario, field, &node, value, &problems);
        value->provenance = PROVENANCE_DEFAULT;
        value->place = (struct place){0};
    }
    // Defaults say nothing about the units their reader writes in.
    scenario->written_us = 0;
    scenario->written_metric = 0;
    diagnostics_free(&problems);
}

// Nearest row of the section, else the section that has a row of just that name. The row that was
// probably meant counts as reported, so that nobody calls it missing as well.
static void read_unknown_field(struct scenario *scenario, const struct field_section *section,
                               const struct yaml_node *node, struct field_value *values,
                               struct diagnostics *out) {
    struct nearest search = nearest_start(node->key);
    for (size_t i = 0; i < section->count; i++) {
        nearest_offer(&search, section->rows[i].name);
    }
    const char *hint = search.best;
    for (size_t i = 0; i < section->count; i++) {
        if (section->rows[i].name == hint && values[i].provenance == PROVENANCE_NONE) {
            values[i].wrong = true;
        }
    }
    const char *owner = section->name;
    for (size_t i = 0; !hint && i < field_count(); i++) {
        if (strcmp(field_at(i)->name, node->key) == 0) {
            hint = field_at(i)->name;
            owner = field_at(i)->section;
        }
    }
    const bool tight = yaml_text_tight(node->key);
    const char *quoted = scenario_quoted(&scenario->memory, node->key, hint && !tight);
    if (hint && !tight) {
        diagnostics_error(out, node->key_place, "%s: no field %s; did you mean %s%s%s?",
                          section->name, quoted, owner, owner[0] ? "." : "", hint);
    } else {
        diagnostics_error(out, node->key_place, "%s: no field %s%s", section->name, quoted,
                          scenario_tight(node->key));
    }
}

// Children of a section into an array that begins with the section's first row.
static void read_section(struct scenario *scenario, const struct field_section *section,
                         const struct yaml_node *node, struct field_value *values,
                         struct diagnostics *out) {
    if (node->refused) {
        return;
    }
    if (node->kind != YAML_MAPPING) {
        diagnostics_error(out, node->place, "%s: a section of `name: value` lines%s", node->key,
                          scenario_tight(node->text));
        // Whatever it was to say counts as reported.
        for (size_t i = 0; i < section->count; i++) {
            values[i].wrong = true;
        }
        return;
    }
    for (const struct yaml_node *child = node->first; child; child = child->next) {
        size_t row = 0;
        while (row < section->count && strcmp(section->rows[row].name, child->key) != 0) {
            row++;
        }
        if (row == section->count) {
            read_unknown_field(scenario, section, child, values, out);
        } else {
            scenario_read_value(scenario, &section->rows[row], child, &values[row], out);
        }
    }
}

static bool read_trim_name(const struct yaml_node *node, struct diagnostics *out) {
    const size_t length = strlen(node->key);
    bool fine = length <= TRIM_NAME_MAX;
    for (size_t i = 0; i < length; i++) {
        fine = fine && (isalnum((unsigned char)node->key[i]) || strchr("-_", node->key[i]));
    }
    if (!fine) {
        diagnostics_error(out, node->key_place,
                          "trims: a name has at most %d letters, digits, '-' and '_'",
                          TRIM_NAME_MAX);
    }
    return fine;
}

static void read_trims(struct scenario *scenario, const struct yaml_node *node,
                       struct diagnostics *out) {
    if (node->refused) {
        return;
    }
    if (node->kind != YAML_MAPPING || !node->first) {
        diagnostics_error(out, node->place, "trims: a mapping of names to what each trim changes");
        return;
    }
    const struct field_section *section = field_section_find("trim");
    struct scenario_trim **end = &scenario->trims;
    size_t count = 0;
    for (const struct yaml_node *child = node->first; child; child = child->next) {
        if (++count > TRIMS_MAX) {
            diagnostics_error(out, child->key_place, "trims: more than %d", TRIMS_MAX);
            return;
        }
        if (!read_trim_name(child, out)) {
            continue;
        }
        struct scenario_trim *trim = arena_alloc(&scenario->memory, sizeof *trim);
        void *values = arena_alloc(&scenario->memory, section->count * sizeof *trim->values);
        if (!trim || !values) {
            return;
        }
        trim->name = child->key;
        trim->place = child->key_place;
        trim->values = values;
        *end = trim;
        end = &trim->next;
        // A trim that changes nothing is written as an empty value.
        if (child->kind == YAML_SCALAR && child->text[0] == '\0' && !child->refused) {
            continue;
        }
        read_section(scenario, section, child, trim->values, out);
    }
}

static void read_expect_row(struct scenario *scenario, const struct yaml_node *row,
                            struct diagnostics *out) {
    struct scenario_expect *expect = &scenario->expects[scenario->expect_count];
    *expect = (struct scenario_expect){"", "", "", "", "", row->place};
    const char **texts[] = {&expect->quantity, &expect->value, &expect->tolerance, &expect->source,
                            &expect->trim};
    if (row->kind != YAML_MAPPING) {
        diagnostics_error(out, row->place, "expect: each row is a mapping {quantity, value, ...}");
        return;
    }
    for (const struct yaml_node *child = row->first; child; child = child->next) {
        size_t word = 0;
        while (expect_words[word] && strcmp(expect_words[word], child->key) != 0) {
            word++;
        }
        if (!expect_words[word]) {
            scenario_unknown("expect", child, expect_words, out);
        } else if (child->kind != YAML_SCALAR || child->text[0] == '\0') {
            diagnostics_error(out, child->place, "expect.%s: allowed a text", child->key);
        } else {
            *texts[word] = child->text;
        }
    }
    if (!expect->quantity[0] || !expect->value[0]) {
        diagnostics_error(out, row->place, "expect: a row needs `quantity` and `value`");
    } else {
        scenario->expect_count++;
    }
}

static void read_expects(struct scenario *scenario, const struct yaml_node *node,
                         struct diagnostics *out) {
    if (node->refused) {
        return;
    }
    if (node->kind != YAML_SEQUENCE) {
        diagnostics_error(out, node->place, "expect: a list of {quantity, value, tolerance, ...}");
        return;
    }
    const size_t count = yaml_tree_count(node);
    scenario->expects = arena_alloc(&scenario->memory, count * sizeof *scenario->expects);
    for (const struct yaml_node *row = node->first; row && scenario->expects; row = row->next) {
        if (!row->refused) {
            read_expect_row(scenario, row, out);
        }
    }
}

static void read_into_section(struct scenario *scenario, const struct field_section *section,
                              const struct yaml_node *node, struct diagnostics *out) {
    for (size_t i = 0; field_section_at(i); i++) {
        if (field_section_at(i) == section) {
            scenario->section_places[i] = node->key_place;
        }
    }
    read_section(scenario, section, node, scenario->values + field_section_first(section), out);
}

static void read_top(struct scenario *scenario, const struct yaml_node *node,
                     struct diagnostics *out) {
    if (strcmp(node->key, "trims") == 0) {
        read_trims(scenario, node, out);
        return;
    }
    if (strcmp(node->key, "expect") == 0) {
        read_expects(scenario, node, out);
        return;
    }
    if (strcmp(node->key, "observed") == 0) {
        scenario_read_observed(scenario, node, out);
        return;
    }
    const size_t top = field_index("", node->key);
    if (top < field_count()) {
        scenario_read_value(scenario, field_at(top), node, &scenario->values[top], out);
        return;
    }
    const struct field_section *section = node->key[0] ? field_section_find(node->key) : NULL;
    // What was probably meant is read as such, so that its own errors show in the same pass.
    if (!section) {
        section = scenario_unknown_section(scenario, node, out);
    }
    if (section) {
        read_into_section(scenario, section, node, out);
    }
}

static void read_trim_exists(const struct scenario *scenario, const char *owner, const char *trim,
                             struct place place, struct diagnostics *out) {
    bool found = trim[0] == '\0';
    for (size_t j = 0; j < scenario_trim_count(scenario) && !found; j++) {
        found = strcmp(scenario_trim_name(scenario, j), trim) == 0;
    }
    if (!found) {
        diagnostics_error(out, place, "%s.trim: no trim '%s'", owner, trim);
    }
}

static void read_named_trims(const struct scenario *scenario, struct diagnostics *out) {
    for (size_t i = 0; i < scenario->expect_count; i++) {
        const struct scenario_expect *expect = &scenario->expects[i];
        read_trim_exists(scenario, "expect", expect->trim, expect->place, out);
    }
    for (size_t i = 0; i < scenario->observed_count; i++) {
        const struct scenario_observed *row = &scenario->observed[i];
        read_trim_exists(scenario, "observed", row->trim, row->place, out);
    }
}

bool scenario_read(struct scenario *scenario, const struct yaml_node *root,
                   struct diagnostics *out) {
    if (root->kind != YAML_MAPPING) {
        if (!root->refused) {
            diagnostics_error(out, root->place, "a scenario is a mapping of sections%s",
                              scenario_tight(root->text));
        }
        return false;
    }
    if (scenario_is_strange(scenario, root)) {
        diagnostics_error(out, root->place,
                          "no scenario: none of its names is a section; see `lowlift fields`");
        return false;
    }
    for (const struct yaml_node *child = root->first; child; child = child->next) {
        read_top(scenario, child, out);
    }
    read_named_trims(scenario, out);
    return true;
}
