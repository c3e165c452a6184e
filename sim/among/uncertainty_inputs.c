// SPDX-License-Identifier: MIT
// Which values of a scenario are uncertain, and within what.
#include "among/uncertainty.h"

#include "base/clean.h"
#include "base/nearest.h"
#include "field/field.h"

#include <stdio.h>
#include <string.h>

static void field_path(const struct field *field, char *text, size_t size) {
    snprintf(text, size, "%s%s%s", field->section, field->section[0] ? "." : "", field->name);
}

// The flow is no uncertain value of a study that goes through flows of its own.
static bool is_set_flow(const struct uncertainty *study, const char *path) {
    return study->flow_count > 0 &&
           strcmp(path, study->back_pressure ? "inflow.rate" : "demand.rate") == 0;
}

// Range of an input in one of the study's trims; false when it is certain there.
static bool find_range(const struct uncertainty *study, const struct scenario *scenario,
                       size_t which, double share, struct uncertainty_input *input) {
    struct scenario_entry entry;
    struct sample_range found = {.shape = input->range[which].shape}, *range = &found;
    const char *path = input->field;
    size_t trim = study->trim[which];
    if (is_set_flow(study, path) ||
        !scenario_provenance(scenario, trim, field_index_of(path), &entry) || !entry.applies) {
        return false;
    }
    range->middle = scenario_get_si(scenario, trim, path);
    const struct hardware_row *row = hardware_find(path, study->kind);
    bool stated = scenario_get_range(scenario, trim, path, &range->low, &range->high);
    const bool by_table = row && study->table_ranges && !stated;
    const double factor[2] = {by_table ? row->low / row->typical : 1.0 - share,
                              by_table ? row->high / row->typical : 1.0 + share};
    if (stated ? !(range->low < range->high)
               : !scenario_get_guess(scenario, trim, path, factor, &range->low, &range->high)) {
        return false;
    }
    input->range[which] = found;
    input->stated = input->stated || stated;
    if (entry.provenance == PROVENANCE_GUESS && (stated || by_table)) {
        input->hardware = row;
    }
    return true;
}

// A range that reaches zero or below cannot be drawn in the logarithm.
static bool is_above_zero(const struct uncertainty *study, const struct uncertainty_input *input) {
    for (size_t t = 0; t < study->trim_count; t++) {
        const struct sample_range *range = &input->range[t];
        if (range->low < range->high && range->low <= 0.0) {
            return false;
        }
    }
    return true;
}

static bool can_take_shape(const struct uncertainty *study, const struct uncertainty_input *input,
                           enum sample_shape shape, char *message, size_t size) {
    if (shape != SAMPLE_LOG_UNIFORM || is_above_zero(study, input)) {
        return true;
    }
    snprintf(message, size,
             "%s: found a range down to zero or below; allowed shapes of it triangular, uniform",
             input->field);
    return false;
}

static void set_shape(struct uncertainty_input *input, enum sample_shape shape) {
    for (size_t t = 0; t < UNCERTAINTY_TRIMS_MAX; t++) {
        input->range[t].shape = shape;
    }
}

// What is of one build goes together.
static void tie(struct uncertainty *study) {
    study->pair_count = 0;
    for (size_t a = 0; a < study->input_count && study->table_ties; a++) {
        for (size_t b = a + 1; b < study->input_count; b++) {
            const struct hardware_row *row[2] = {study->input[a].hardware,
                                                 study->input[b].hardware};
            const double tied = row[0] && row[1] ? hardware_tie(row[0], row[1]) : 0.0;
            if (tied != 0.0 && study->pair_count < UNCERTAINTY_PAIRS_MAX) {
                study->pair[study->pair_count++] =
                    (struct uncertainty_pair){.a = a, .b = b, .correlation = tied};
            }
        }
    }
}

bool uncertainty_collect(struct uncertainty *study, const struct scenario *scenario, double share,
                         enum sample_shape shape, char *message, size_t size) {
    study->input_count = 0;
    study->fingerprint = scenario_fingerprint(scenario);
    for (size_t i = 0; i < field_count(); i++) {
        struct uncertainty_input input = {.help = field_at(i)->help, .kind = field_at(i)->kind};
        field_path(field_at(i), input.field, sizeof input.field);
        bool uncertain = false;
        for (size_t t = 0; t < study->trim_count; t++) {
            uncertain = find_range(study, scenario, t, share, &input) || uncertain;
        }
        if (!uncertain) {
            continue;
        }
        const bool own = study->table_shapes && input.hardware && is_above_zero(study, &input);
        const enum sample_shape drawn = own ? input.hardware->shape : shape;
        set_shape(&input, drawn);
        if (study->input_count == UNCERTAINTY_INPUTS_MAX) {
            snprintf(message, size, "more than %d uncertain values; mark fewer as guesses",
                     UNCERTAINTY_INPUTS_MAX);
            return false;
        }
        if (!can_take_shape(study, &input, drawn, message, size)) {
            return false;
        }
        study->input[study->input_count++] = input;
    }
    tie(study);
    return true;
}

static size_t find_input(const struct uncertainty *study, const char *field, char *message,
                         size_t size) {
    struct nearest near = nearest_start(field);
    for (size_t i = 0; i < study->input_count; i++) {
        if (strcmp(study->input[i].field, field) == 0) {
            return i;
        }
        nearest_offer(&near, study->input[i].field);
    }
    snprintf(message, size, "'%.*s' is no uncertain value of this scenario%s%s%s",
             clean_whole(field, 80), field, near.best ? "; did you mean " : "",
             near.best ? near.best : "", near.best ? "?" : "");
    return study->input_count;
}

bool uncertainty_shape(struct uncertainty *study, const char *field, enum sample_shape shape,
                       char *message, size_t size) {
    size_t i = find_input(study, field, message, size);
    if (i == study->input_count || !can_take_shape(study, &study->input[i], shape, message, size)) {
        return false;
    }
    set_shape(&study->input[i], shape);
    return true;
}

bool uncertainty_pair_add(struct uncertainty *study, const char *a, const char *b,
                          double correlation, char *message, size_t size) {
    struct uncertainty_pair pair = {.correlation = correlation, .asked = true};
    if ((pair.a = find_input(study, a, message, size)) == study->input_count ||
        (pair.b = find_input(study, b, message, size)) == study->input_count) {
        return false;
    }
    if (pair.a == pair.b || !(correlation > -1.0 && correlation < 1.0)) {
        snprintf(message, size, "found %s,%s=%g; allowed two values, and between -1 and 1", a, b,
                 correlation);
        return false;
    }
    for (size_t i = 0; i < study->pair_count; i++) {
        const struct uncertainty_pair *old = &study->pair[i];
        if ((old->a == pair.a && old->b == pair.b) || (old->a == pair.b && old->b == pair.a)) {
            study->pair[i] = pair;
            return true;
        }
    }
    if (study->pair_count == UNCERTAINTY_PAIRS_MAX) {
        snprintf(message, size, "more than %d pairs", UNCERTAINTY_PAIRS_MAX);
        return false;
    }
    study->pair[study->pair_count++] = pair;
    return true;
}

bool uncertainty_left_alone(const struct uncertainty *study, const struct scenario *scenario,
                            size_t index) {
    char path[96];
    field_path(field_at(index), path, sizeof path);
    for (size_t i = 0; i < study->input_count; i++) {
        if (strcmp(study->input[i].field, path) == 0) {
            return false;
        }
    }
    for (size_t t = 0; t < study->trim_count; t++) {
        struct scenario_entry entry;
        if (scenario_provenance(scenario, study->trim[t], index, &entry) && entry.applies &&
            entry.provenance == PROVENANCE_GUESS && !is_set_flow(study, path)) {
            return true;
        }
    }
    return false;
}
