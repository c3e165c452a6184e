// SPDX-License-Identifier: MIT
// One value of a scenario: a text, `about` a text, or {value: , guess: , low: , high: }.
#include "scenario/scenario_data.h"

#include <ctype.h>
#include <limits.h>
#include <string.h>

static const char *const value_words[] = {"value", "guess", "low", "high", NULL};

// Yes or no in the few spellings people use; -1 for anything else.
static int value_flag(const char *text) {
    static const char *const words[] = {"no", "yes", "false", "true"};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        if (strcmp(text, words[i]) == 0) {
            return (int)(i % 2);
        }
    }
    return -1;
}

static bool value_choice(const struct field *field, const char *label, const struct yaml_node *node,
                         struct field_value *value, struct diagnostics *out) {
    for (int i = 0; field->words[i]; i++) {
        if (strcmp(field->words[i], node->text) == 0) {
            value->whole = i;
            return true;
        }
    }
    // The same report as for a key, at the place of the value.
    const struct yaml_node word = {.key = node->text, .key_place = node->place};
    scenario_unknown(label, &word, field->words, out);
    return false;
}

static bool value_integer(struct scenario *scenario, const char *label,
                          const struct yaml_node *node, struct field_value *value,
                          struct diagnostics *out) {
    struct quantity number;
    if (!scenario_read_quantity(scenario, label, UNIT_NONE, node, &number, out)) {
        return false;
    }
    const bool fits = number.value >= INT_MIN && number.value <= INT_MAX;
    value->whole = fits ? (int)number.value : 0;
    if (fits && (double)value->whole == number.value) {
        return true;
    }
    diagnostics_error(out, node->place, "%s: found '%s'; allowed a whole number", label,
                      node->text);
    return false;
}

static bool value_scalar(struct scenario *scenario, const struct field *field, const char *label,
                         const struct yaml_node *node, struct field_value *value,
                         struct diagnostics *out) {
    struct schedule_input *constant;
    switch (field->type) {
    case FIELD_TEXT:
        return true;
    case FIELD_FLAG:
        value->whole = value_flag(node->text);
        if (value->whole >= 0) {
            return true;
        }
        diagnostics_error(out, node->place, "%s: found '%s'; allowed yes, no", label,
                          scenario_shown(&scenario->memory, node->text));
        return false;
    case FIELD_CHOICE:
        return value_choice(field, label, node, value, out);
    case FIELD_INTEGER:
        return value_integer(scenario, label, node, value, out);
    case FIELD_SCHEDULE:
        if (!scenario_read_quantity(scenario, label, field->kind, node, &value->quantity, out)) {
            return false;
        }
        constant = arena_alloc(&scenario->memory, sizeof *constant);
        if (!constant) {
            return false;
        }
        constant->base = value->quantity;
        value->schedule = constant;
        return true;
    case FIELD_NUMBER:
        return scenario_read_quantity(scenario, label, field->kind, node, &value->quantity, out);
    default:
        diagnostics_error(out, node->place, "%s: found '%s'; allowed [[position, value], ...]",
                          label, scenario_shown(&scenario->memory, node->text));
        return false;
    }
}

// "about 8 lbf" is a guess of 8 lbf.
static const char *value_without_about(const char *text) {
    if (strncmp(text, "about ", 6) != 0) {
        return text;
    }
    text += 6;
    while (*text == ' ') {
        text++;
    }
    return text;
}

static bool value_table(struct scenario *scenario, const char *label, const struct yaml_node *node,
                        struct field_value *value, struct diagnostics *out) {
    struct trim_table *table = arena_alloc(&scenario->memory, sizeof *table);
    if (!table) {
        return false;
    }
    value->table = table;
    for (const struct yaml_node *row = node->first; row; row = row->next) {
        struct quantity position;
        struct quantity share;
        if (table->count == TRIM_TABLE_MAX) {
            diagnostics_error(out, row->place, "%s: more than %d points", label, TRIM_TABLE_MAX);
            return false;
        }
        if (row->kind != YAML_SEQUENCE || yaml_tree_count(row) != 2) {
            diagnostics_error(out, row->place, "%s: allowed a pair [position, value]", label);
            return false;
        }
        if (!scenario_read_quantity(scenario, label, UNIT_FRACTION, row->first, &position, out) ||
            !scenario_read_quantity(scenario, label, UNIT_FRACTION, row->first->next, &share,
                                    out)) {
            return false;
        }
        const size_t i = table->count++;
        table->position[i] = position.value;
        table->value[i] = share.value;
        if (position.value < 0.0 || position.value > 1.0 ||
            (i > 0 && position.value <= table->position[i - 1])) {
            diagnostics_error(out, row->place, "%s: positions must rise from 0 to 1", label);
            return false;
        }
        if (share.value < -1.0 || share.value > 2.0) {
            diagnostics_error(out, row->place, "%s: allowed values -1 to 2", label);
            return false;
        }
    }
    if (table->count >= 2) {
        return true;
    }
    diagnostics_error(out, node->place, "%s: needs two points or more", label);
    return false;
}

static bool value_plain(struct scenario *scenario, const struct field *field, const char *label,
                        const struct yaml_node *node, struct field_value *value,
                        struct diagnostics *out) {
    if (node->refused) {
        return false;
    }
    if (field->type == FIELD_TABLE && node->kind == YAML_SEQUENCE) {
        return value_table(scenario, label, node, value, out);
    }
    if (node->kind != YAML_SCALAR) {
        const bool over_time = field->type == FIELD_SCHEDULE && node->kind == YAML_SEQUENCE;
        diagnostics_error(out, node->place, "%s: found a %s; allowed one value%s", label,
                          node->kind == YAML_SEQUENCE ? "list" : "mapping",
                          over_time ? "; for a change over time write {steps: [[0 s, v], ...]}"
                                    : "");
        return false;
    }
    if (node->text[0] == '\0' && field->type != FIELD_TEXT) {
        diagnostics_error(out, node->place, "%s: is empty; give a value or leave the line out",
                          label);
        return false;
    }
    if (value->provenance != PROVENANCE_GUESS) {
        value->provenance = PROVENANCE_GIVEN;
    }
    struct yaml_node stripped = *node;
    if (field->type != FIELD_TEXT) {
        stripped.text = value_without_about(node->text);
    }
    if (stripped.text != node->text) {
        value->provenance = PROVENANCE_GUESS;
    }
    value->text = stripped.text;
    return value_scalar(scenario, field, label, &stripped, value, out);
}

static bool value_guess(const char *label, const struct yaml_node *node, struct field_value *value,
                        struct diagnostics *out) {
    const int flag = node->kind == YAML_SCALAR ? value_flag(node->text) : -1;
    if (flag < 0) {
        diagnostics_error(out, node->place, "%s.guess: allowed yes, no", label);
        return false;
    }
    if (flag) {
        value->provenance = PROVENANCE_GUESS;
    }
    return true;
}

// {value: , guess: , low: , high: }, or a schedule with an optional guess mark.
static bool value_mapping(struct scenario *scenario, const struct field *field, const char *label,
                          const struct yaml_node *node, struct field_value *value,
                          struct diagnostics *out) {
    bool fine = true;
    const struct yaml_node *guess = yaml_tree_child(node, "guess");
    const struct yaml_node *inner = yaml_tree_child(node, "value");
    if (guess) {
        fine = value_guess(label, guess, value, out);
    }
    if (field->type == FIELD_SCHEDULE && !inner) {
        value->schedule = scenario_read_schedule(scenario, label, field->kind, node, out);
        value->text = "a schedule";
        return fine && value->schedule;
    }
    const struct yaml_node *ends[2] = {yaml_tree_child(node, "low"), yaml_tree_child(node, "high")};
    for (const struct yaml_node *child = node->first; child; child = child->next) {
        if (child != guess && child != inner && child != ends[0] && child != ends[1]) {
            scenario_unknown(label, child, value_words, out);
            fine = false;
        }
    }
    if (!inner) {
        diagnostics_error(out, node->place, "%s: needs `value`", label);
        return false;
    }
    if (!value_plain(scenario, field, label, inner, value, out)) {
        return false;
    }
    if (!ends[0] && !ends[1]) {
        return fine;
    }
    if (field->type != FIELD_NUMBER || !ends[0] || !ends[1]) {
        diagnostics_error(out, node->place, "%s: `low` and `high` go together, on a number", label);
        return false;
    }
    value->ranged = true;
    return scenario_read_quantity(scenario, label, field->kind, ends[0], &value->low, out) &&
           scenario_read_quantity(scenario, label, field->kind, ends[1], &value->high, out) && fine;
}

void scenario_read_value(struct scenario *scenario, const struct field *field,
                         const struct yaml_node *node, struct field_value *value,
                         struct diagnostics *out) {
    const char *label = scenario_label(&scenario->memory, field);
    *value = (struct field_value){.provenance = PROVENANCE_GIVEN, .place = node->place, .text = ""};
    const bool fine = node->kind == YAML_MAPPING
                          ? value_mapping(scenario, field, label, node, value, out)
                          : value_plain(scenario, field, label, node, value, out);
    value->wrong = !fine;
}
