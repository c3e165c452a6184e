// SPDX-License-Identifier: MIT
// What was seen on site: rows of a flow and plain words.
#include "scenario/scenario_data.h"

#include "base/nearest.h"

#include <math.h>
#include <string.h>

static const char *const row_words[] = {"flow",  "seen", "frequency", "swing",
                                        "since", "trim", NULL};

// A single number stands for a reading by eye and ear: so much either way. Common practice, no
// source.
#define SINGLE_FACTOR 1.25

static bool observed_seen(const struct yaml_node *node, struct scenario_observed *row,
                          struct diagnostics *out) {
    const char *nearest;
    if (seen_find(node->text, &row->seen, &nearest)) {
        row->said = node->text;
        return true;
    }
    diagnostics_error(out, node->place, "observed.seen: found '%s'; allowed " SEEN_ALLOWED "%s%s%s",
                      node->text, nearest ? "; did you mean " : "", nearest ? nearest : "",
                      nearest ? "?" : "");
    return false;
}

// "0.5..2 Hz", "0.5 Hz..2 Hz", or one number.
static bool observed_range(struct scenario *scenario, const char *label, enum unit_kind kind,
                           const struct yaml_node *node, double range[2], struct diagnostics *out) {
    struct arena *memory = &scenario->memory;
    struct quantity low, high;
    const char *dots = strstr(node->text, "..");
    struct yaml_node part = *node;
    if (!dots) {
        if (!scenario_read_quantity(scenario, label, kind, &part, &high, out)) {
            return false;
        }
        range[0] = high.value / SINGLE_FACTOR;
        range[1] = high.value * SINGLE_FACTOR;
    } else {
        part.text = dots + 2 + strspn(dots + 2, " ");
        if (!scenario_read_quantity(scenario, label, kind, &part, &high, out)) {
            return false;
        }
        // Without a unit of its own the first has that of the second.
        const char *first = arena_copy(memory, node->text, (size_t)(dots - node->text));
        char message[UNIT_MESSAGE_SIZE];
        const char *unit = part.text + strcspn(part.text, " ");
        part.text = units_parse(first, UNIT_NONE, &low, message)
                        ? first
                        : arena_format(memory, "%s%s", first, unit);
        if (!scenario_read_quantity(scenario, label, kind, &part, &low, out)) {
            return false;
        }
        range[0] = low.value;
        range[1] = high.value;
    }
    if (range[0] > 0.0 && range[0] < range[1]) {
        return true;
    }
    diagnostics_error(out, node->place, "%s: found '%s'; allowed a range above zero such as 0.5..2",
                      label, scenario_shown(memory, node->text));
    return false;
}

// A field that differed then, by its path.
static bool observed_change(struct scenario *scenario, const struct yaml_node *node,
                            struct scenario_observed *row, struct diagnostics *out) {
    const size_t index = field_index_of(node->key);
    const struct field *field = field_at(index);
    if (!field || (field->type != FIELD_NUMBER && field->type != FIELD_SCHEDULE)) {
        struct nearest search = nearest_start(node->key);
        for (size_t i = 0; row_words[i]; i++) {
            nearest_offer(&search, row_words[i]);
        }
        for (size_t i = 0; i < field_count(); i++) {
            nearest_offer(&search, scenario_label(&scenario->memory, field_at(i)));
        }
        diagnostics_error(
            out, node->key_place,
            "observed: found '%s'; allowed flow, seen, frequency, swing, since, trim, "
            "or a field that differed then, such as downstream.pressure%s%s%s",
            scenario_shown(&scenario->memory, node->key), search.best ? "; did you mean " : "",
            search.best ? search.best : "", search.best ? "?" : "");
        return false;
    }
    if (row->change_count == OBSERVED_CHANGES_MAX) {
        diagnostics_error(out, node->key_place, "observed: more than %d fields that differed",
                          OBSERVED_CHANGES_MAX);
        return false;
    }
    row->change[row->change_count] = node->key;
    row->change_text[row->change_count] = node->text;
    return scenario_read_quantity(scenario, node->key, field->kind, node,
                                  &row->change_value[row->change_count++], out);
}

static bool observed_word(struct scenario *scenario, const struct yaml_node *child,
                          struct scenario_observed *row, struct diagnostics *out) {
    double range[2];
    if (child->kind != YAML_SCALAR || child->text[0] == '\0') {
        diagnostics_error(out, child->place, "observed.%s: allowed a text", child->key);
        return false;
    }
    if (strcmp(child->key, "flow") == 0) {
        row->flow_text = child->text;
        return scenario_read_quantity(scenario, "observed.flow", UNIT_FLOW, child, &row->flow, out);
    }
    if (strcmp(child->key, "seen") == 0) {
        return observed_seen(child, row, out);
    }
    if (strcmp(child->key, "frequency") == 0) {
        const bool fine =
            observed_range(scenario, "observed.frequency", UNIT_FREQUENCY, child, range, out);
        row->frequency_low = fine ? range[0] : (double)NAN;
        row->frequency_high = fine ? range[1] : (double)NAN;
        return fine;
    }
    if (strcmp(child->key, "swing") == 0) {
        const bool fine =
            observed_range(scenario, "observed.swing", UNIT_PRESSURE_DROP, child, range, out);
        row->swing_low = fine ? range[0] : (double)NAN;
        row->swing_high = fine ? range[1] : (double)NAN;
        return fine;
    }
    if (strcmp(child->key, "since") == 0) {
        row->since = child->text;
        return true;
    }
    if (strcmp(child->key, "trim") == 0) {
        row->trim = child->text;
        return true;
    }
    return observed_change(scenario, child, row, out);
}

static bool observed_moves(enum observed_seen seen) {
    return seen != SEEN_QUIET && seen != SEEN_SHUT && seen != SEEN_WIDE_OPEN &&
           seen != SEEN_SETTLES;
}

static void observed_row(struct scenario *scenario, const struct yaml_node *node,
                         struct diagnostics *out) {
    struct scenario_observed *row = &scenario->observed[scenario->observed_count];
    *row = (struct scenario_observed){.place = node->place,
                                      .said = NULL,
                                      .since = "",
                                      .trim = "",
                                      .frequency_low = (double)NAN,
                                      .frequency_high = (double)NAN,
                                      .swing_low = (double)NAN,
                                      .swing_high = (double)NAN};
    if (node->kind != YAML_MAPPING) {
        diagnostics_error(out, node->place, "observed: each row is a mapping {flow, seen, ...}");
        return;
    }
    bool fine = true;
    bool seen = false;
    bool flow = false;
    for (const struct yaml_node *child = node->first; child; child = child->next) {
        fine = observed_word(scenario, child, row, out) && fine;
        seen = seen || strcmp(child->key, "seen") == 0;
        flow = flow || strcmp(child->key, "flow") == 0;
    }
    if (!seen || !flow) {
        diagnostics_error(out, node->place, "observed: a row needs `flow` and `seen`");
    } else if (fine && !observed_moves(row->seen) &&
               (!isnan(row->frequency_low) || !isnan(row->swing_low))) {
        diagnostics_error(out, node->place,
                          "observed: found a frequency or swing of what was seen '%s'; allowed "
                          "with words that say it moves",
                          row->said);
    } else {
        scenario->observed_count += fine;
    }
}

void scenario_read_observed(struct scenario *scenario, const struct yaml_node *node,
                            struct diagnostics *out) {
    if (node->refused) {
        return;
    }
    if (node->kind != YAML_SEQUENCE) {
        diagnostics_error(out, node->place, "observed: a list of {flow, seen, ...}");
        return;
    }
    const size_t count = yaml_tree_count(node);
    scenario->observed = arena_alloc(&scenario->memory, count * sizeof *scenario->observed);
    for (const struct yaml_node *row = node->first; row && scenario->observed; row = row->next) {
        if (!row->refused) {
            observed_row(scenario, row, out);
        }
    }
}
