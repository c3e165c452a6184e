// SPDX-License-Identifier: MIT
#include "show/summary.h"

#include <jansson.h>

#include <math.h>
#include <string.h>

// Nine digits say all that the tolerances carry, and are the same on every machine.
#define SUMMARY_DIGITS 9

static json_t *figures_json(const struct scenario_case *c, const struct simulation *s) {
    json_t *all = json_object();
    for (size_t i = 0; figure_at(i); i++) {
        const struct figure *f = figure_at(i);
        const char *unit;
        double number = figure_number(f, f->value(s, c), c, &unit);
        json_t *one = json_object();
        json_object_set_new(one, "value", isfinite(number) ? json_real(number) : json_null());
        char text[64];
        snprintf(text, sizeof text, "%s%s", unit, f->per);
        json_object_set_new(one, "unit", json_string(text));
        json_object_set_new(all, f->name, one);
    }
    return all;
}

static const char *source_name(enum provenance provenance) {
    switch (provenance) {
    case PROVENANCE_GIVEN:
        return "given";
    case PROVENANCE_GUESS:
        return "guess";
    case PROVENANCE_DEFAULT:
        return "default";
    case PROVENANCE_NONE:
        break;
    }
    return NULL;
}

static json_t *inputs_json(const struct scenario *scenario, size_t trim) {
    json_t *all = json_object();
    struct scenario_entry e;
    for (size_t i = 0; scenario_provenance(scenario, trim, i, &e); i++) {
        const char *source = source_name(e.provenance);
        if (!e.applies || !source) {
            continue;
        }
        char name[96];
        snprintf(name, sizeof name, "%s%s%s", e.section, e.section[0] ? "." : "", e.name);
        json_t *one = json_object();
        json_object_set_new(one, "text", json_string(e.text ? e.text : ""));
        json_object_set_new(one, "source", json_string(source));
        json_object_set_new(all, name, one);
    }
    return all;
}

static json_t *modes_json(const struct simulation *s) {
    json_t *all = json_array();
    for (size_t i = 0; i < s->modes.count; i++) {
        const struct linear_mode *m = &s->modes.at[i];
        json_t *one = json_object();
        json_object_set_new(one, "growth_per_s", json_real(m->growth));
        json_object_set_new(one, "frequency_hz", json_real(m->frequency));
        json_object_set_new(one, "damping_ratio", json_real(m->damping_ratio));
        json_array_append_new(all, one);
    }
    return all;
}

static json_t *solver_json(const struct simulation *s) {
    const struct integrate_statistics *t = &s->statistics;
    json_t *all = json_object();
    json_object_set_new(all, "steps", json_integer(t->steps));
    json_object_set_new(all, "rate_calls", json_integer(t->rate_calls));
    json_object_set_new(all, "jacobians", json_integer(t->jacobians));
    json_object_set_new(all, "error_failures", json_integer(t->error_failures));
    json_object_set_new(all, "convergence_failures", json_integer(t->convergence_failures));
    json_object_set_new(all, "restarts", json_integer(t->restarts));
    json_object_set_new(all, "events", json_integer(t->events));
    return all;
}

static const char *outcome_name(const struct simulation *s) {
    switch (s->outcome) {
    case SIMULATION_DONE:
        return "done";
    case SIMULATION_INTERRUPTED:
        return "interrupted";
    default:
        return "failed";
    }
}

static json_t *run_json(const struct scenario *scenario, size_t trim, const struct scenario_case *c,
                        const struct simulation *s) {
    json_t *one = json_object();
    json_object_set_new(one, "title", json_string(c->title));
    json_object_set_new(one, "trim", json_string(c->trim_name));
    json_object_set_new(one, "outcome", json_string(outcome_name(s)));
    json_object_set_new(one, "verdict", json_string(verdict_name(s->judged.verdict)));
    json_object_set_new(one, "reason", json_string(s->judged.reason));
    if (s->message[0]) {
        json_object_set_new(one, "message", json_string(s->message));
    }
    json_object_set_new(one, "figures", figures_json(c, s));
    json_object_set_new(one, "modes", modes_json(s));
    json_object_set_new(one, "solver", solver_json(s));
    json_object_set_new(one, "inputs", inputs_json(scenario, trim));
    return one;
}

bool summary_write(FILE *out, size_t count, const struct scenario *const source[],
                   const size_t trim[], const struct scenario_case *const scenario[],
                   const struct simulation *const run[]) {
    json_t *document = json_object();
    json_t *runs = json_array();
    for (size_t i = 0; i < count; i++) {
        json_array_append_new(runs, run_json(source[i], trim[i], scenario[i], run[i]));
    }
    json_object_set_new(document, "program", json_string("lowlift"));
    json_object_set_new(document, "version", json_string(LOWLIFT_VERSION));
    json_object_set_new(document, "runs", runs);
    size_t flags = JSON_INDENT(2) | JSON_REAL_PRECISION(SUMMARY_DIGITS);
    bool fine = document && json_dumpf(document, out, flags) == 0 && fputc('\n', out) != EOF;
    json_decref(document);
    return fine;
}
