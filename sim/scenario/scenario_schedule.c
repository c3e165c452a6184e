// SPDX-License-Identifier: MIT
// Quantities given over time: steps, ramp, slug, record.
#include "scenario/scenario_data.h"

#include <string.h>

static const char *const schedule_words[] = {"steps",  "ramp",  "slug",  "pulse",
                                             "record", "value", "guess", NULL};
enum { SCHEDULE_FORMS = 5 }; // the words before `value`
static const char *const ramp_words[] = {"from", "to", "start", "end", NULL};
static const char *const slug_words[] = {"base", "peak", "start", "period", "duration", NULL};
static const char *const pulse_words[] = {"middle", "crest", "start", "period", NULL};

struct schedule_read {
    struct scenario *scenario;
    const char *label;
    enum unit_kind kind;
    struct diagnostics *out;
};

static bool schedule_time(const struct schedule_read *read, const struct yaml_node *node,
                          double *time) {
    struct quantity quantity;
    if (!scenario_read_quantity(read->scenario, read->label, UNIT_TIME, node, &quantity,
                                read->out)) {
        return false;
    }
    *time = quantity.value;
    return true;
}

static bool schedule_quantity(const struct schedule_read *read, const struct yaml_node *node,
                              struct quantity *quantity) {
    return scenario_read_quantity(read->scenario, read->label, read->kind, node, quantity,
                                  read->out);
}

static bool schedule_room(const struct schedule_read *read, struct schedule_input *input,
                          size_t points) {
    input->shape = SHAPE_POINTS;
    input->time = arena_alloc(&read->scenario->memory, points * sizeof *input->time);
    input->value = arena_alloc(&read->scenario->memory, points * sizeof *input->value);
    return input->time && input->value;
}

static void schedule_point(struct schedule_input *input, double time, struct quantity value) {
    input->time[input->count] = time;
    input->value[input->count++] = value;
}

// [[time, value], ...]: the value jumps at each time; the first also holds before.
static bool schedule_steps(const struct schedule_read *read, const struct yaml_node *node,
                           struct schedule_input *input) {
    const size_t steps = yaml_tree_count(node);
    if (node->kind != YAML_SEQUENCE || steps == 0) {
        diagnostics_error(read->out, node->place, "%s.steps: allowed [[time, value], ...]",
                          read->label);
        return false;
    }
    if (!schedule_room(read, input, 2 * steps)) {
        return false;
    }
    double last_time = 0.0;
    struct quantity last_value = {0};
    for (const struct yaml_node *row = node->first; row; row = row->next) {
        double time;
        struct quantity value;
        if (row->kind != YAML_SEQUENCE || yaml_tree_count(row) != 2) {
            diagnostics_error(read->out, row->place, "%s.steps: allowed a pair [time, value]",
                              read->label);
            return false;
        }
        if (!schedule_time(read, row->first, &time) ||
            !schedule_quantity(read, row->first->next, &value)) {
            return false;
        }
        if (row != node->first && time <= last_time) {
            diagnostics_error(read->out, row->place, "%s.steps: times must rise", read->label);
            return false;
        }
        if (row != node->first) {
            schedule_point(input, time, last_value);
        }
        schedule_point(input, time, value);
        last_time = time;
        last_value = value;
    }
    return true;
}

// Children of a mapping in the order of the words, all of them needed.
static bool schedule_children(const struct schedule_read *read, const char *part,
                              const struct yaml_node *node, const char *const *words,
                              const struct yaml_node **children) {
    struct arena *memory = &read->scenario->memory;
    const char *label = arena_format(memory, "%s.%s", read->label, part);
    if (node->kind != YAML_MAPPING) {
        diagnostics_error(read->out, node->place, "%s: allowed a mapping", label);
        return false;
    }
    bool fine = true;
    for (const struct yaml_node *child = node->first; child; child = child->next) {
        bool known = false;
        for (size_t i = 0; words[i]; i++) {
            known = known || strcmp(words[i], child->key) == 0;
        }
        if (!known) {
            scenario_unknown(label, child, words, read->out);
        }
        fine = fine && known;
    }
    for (size_t i = 0; words[i]; i++) {
        children[i] = yaml_tree_child(node, words[i]);
        if (children[i]) {
            continue;
        }
        diagnostics_error(read->out, node->place, "%s: `%s` is missing", label, words[i]);
        fine = false;
    }
    return fine;
}

static bool schedule_ramp(const struct schedule_read *read, const struct yaml_node *node,
                          struct schedule_input *input) {
    const struct yaml_node *child[4];
    struct quantity from;
    struct quantity to;
    double start;
    double end;
    if (!schedule_children(read, "ramp", node, ramp_words, child) ||
        !schedule_quantity(read, child[0], &from) || !schedule_quantity(read, child[1], &to) ||
        !schedule_time(read, child[2], &start) || !schedule_time(read, child[3], &end)) {
        return false;
    }
    if (end <= start) {
        diagnostics_error(read->out, child[3]->place, "%s.ramp: `end` must come after `start`",
                          read->label);
        return false;
    }
    if (!schedule_room(read, input, 2)) {
        return false;
    }
    schedule_point(input, start, from);
    schedule_point(input, end, to);
    return true;
}

static const double SLUG_PERIOD_LEAST = 1e-3; // [s]

static bool schedule_slug(const struct schedule_read *read, const struct yaml_node *node,
                          struct schedule_input *input) {
    const struct yaml_node *child[5];
    input->shape = SHAPE_SLUG;
    if (!schedule_children(read, "slug", node, slug_words, child) ||
        !schedule_quantity(read, child[0], &input->base) ||
        !schedule_quantity(read, child[1], &input->peak) ||
        !schedule_time(read, child[2], &input->start) ||
        !schedule_time(read, child[3], &input->period) ||
        !schedule_time(read, child[4], &input->duration)) {
        return false;
    }
    if (!(input->duration > 0.0 && input->duration < input->period)) {
        diagnostics_error(read->out, child[4]->place,
                          "%s.slug: found '%s'; `duration` must be above 0 and below `period`",
                          read->label, child[4]->text);
        return false;
    }
    if (input->period < SLUG_PERIOD_LEAST) {
        diagnostics_error(read->out, child[3]->place,
                          "%s.slug: found '%s'; `period` must not be below 1 ms: a run stops at "
                          "each slug",
                          read->label, child[3]->text);
        return false;
    }
    return true;
}

// Pulsation, as of a compressor: a cosine about the middle, with its first crest at the start.
static bool schedule_pulse(const struct schedule_read *read, const struct yaml_node *node,
                           struct schedule_input *input) {
    const struct yaml_node *child[4];
    input->shape = SHAPE_PULSE;
    if (!schedule_children(read, "pulse", node, pulse_words, child) ||
        !schedule_quantity(read, child[0], &input->base) ||
        !schedule_quantity(read, child[1], &input->peak) ||
        !schedule_time(read, child[2], &input->start) ||
        !schedule_time(read, child[3], &input->period)) {
        return false;
    }
    if (input->period > 0.0) {
        return true;
    }
    diagnostics_error(read->out, child[3]->place, "%s.pulse: found '%s'; `period` must be above 0",
                      read->label, child[3]->text);
    return false;
}

const struct schedule_input *scenario_read_schedule(struct scenario *scenario, const char *label,
                                                    enum unit_kind kind,
                                                    const struct yaml_node *node,
                                                    struct diagnostics *out) {
    const struct schedule_read read = {scenario, label, kind, out};
    struct schedule_input *input = arena_alloc(&scenario->memory, sizeof *input);
    const struct yaml_node *form = NULL;
    bool fine = true;
    for (const struct yaml_node *child = node->first; child; child = child->next) {
        size_t word = 0;
        while (schedule_words[word] && strcmp(schedule_words[word], child->key) != 0) {
            word++;
        }
        if (!schedule_words[word]) {
            scenario_unknown(label, child, schedule_words, out);
            fine = false;
        } else if (word < SCHEDULE_FORMS && form) {
            diagnostics_error(out, child->key_place,
                              "%s: only one of steps, ramp, slug, pulse, record", label);
            fine = false;
        } else if (word < SCHEDULE_FORMS) {
            form = child;
        }
    }
    if (!form && fine) {
        diagnostics_error(out, node->place,
                          "%s: needs one of steps, ramp, slug, pulse, record, value", label);
    }
    if (!input || !form || !fine || form->refused) {
        return NULL;
    }
    if (strcmp(form->key, "steps") == 0) {
        fine = schedule_steps(&read, form, input);
    } else if (strcmp(form->key, "ramp") == 0) {
        fine = schedule_ramp(&read, form, input);
    } else if (strcmp(form->key, "slug") == 0) {
        fine = schedule_slug(&read, form, input);
    } else if (strcmp(form->key, "pulse") == 0) {
        fine = schedule_pulse(&read, form, input);
    } else {
        fine = scenario_read_record(scenario, label, kind, form, input, out);
    }
    return fine ? input : NULL;
}
