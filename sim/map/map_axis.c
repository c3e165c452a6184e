// SPDX-License-Identifier: MIT
#include "map/map_axis.h"

#include "base/clean.h"
#include "base/nearest.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

enum { SHOWN = 60 }; // bytes of what was found

// Axes that nobody asked for.
#define FLOW_LOW 0.1
#define FLOW_HIGH 10.0
#define PORT_LOW 0.5
#define PORT_HIGH 1.1

struct axis_reading {
    struct map_axis *axis;
    const char *option;
    const struct scenario *scenario;
    size_t trim;
    struct diagnostics *out;
    struct arena memory;
};

static bool refuse(struct axis_reading *r, const char *message) {
    diagnostics_error(r->out, (struct place){"<command line>", 1, 1}, "%s: %s", r->option, message);
    return false;
}

static const char *field_path(struct arena *memory, const struct field *field) {
    return arena_format(memory, "%s%s%s", field->section, field->section[0] ? "." : "",
                        field->name);
}

// Fields that an axis may be of: numbers that belong to the scenario's build.
static bool find_field(struct axis_reading *r, const char *name) {
    struct nearest search = nearest_start(name);
    struct scenario_entry entry;
    for (size_t i = 0; scenario_provenance(r->scenario, r->trim, i, &entry); i++) {
        const struct field *field = field_at(i);
        if (!entry.applies || (field->type != FIELD_NUMBER && field->type != FIELD_SCHEDULE)) {
            continue;
        }
        const char *path = field_path(&r->memory, field);
        if (strcmp(path, name) == 0) {
            r->axis->field = field;
            snprintf(r->axis->path, sizeof r->axis->path, "%s", path);
            return true;
        }
        nearest_offer(&search, path);
    }
    const char *hint =
        search.best ? arena_format(&r->memory, "; did you mean %s?", search.best) : "";
    return refuse(r, arena_format(&r->memory,
                                  "found '%.*s'; allowed a field that holds a number and applies "
                                  "to this scenario%s",
                                  clean_whole(name, SHOWN), name, hint));
}

// Where the unit begins behind a number as a field hand writes it, such as "2 7/8 in" or "1e-3 m".
static const char *unit_part(const char *text) {
    for (const char *c = text; *c; c++) {
        bool exponent = (*c == 'e' || *c == 'E') && c > text && isdigit((unsigned char)c[-1]) &&
                        (isdigit((unsigned char)c[1]) || c[1] == '-' || c[1] == '+');
        if (!exponent && !isdigit((unsigned char)*c) && !strchr(" ./+-", *c)) {
            return c;
        }
    }
    return "";
}

// One end: set on a copy of the scenario as if the file said so, so that all its checks hold.
static bool read_end(struct axis_reading *r, const char *text, double *si) {
    struct scenario *copy = scenario_copy(r->scenario);
    if (!copy) {
        diagnostics_no_memory(r->out);
        return false;
    }
    size_t before = r->out->errors;
    struct scenario_case resolved;
    if (scenario_override(copy, arena_format(&r->memory, "%s=%s", r->axis->path, text), r->out)) {
        scenario_resolve(copy, r->trim, &resolved, r->out);
        scenario_case_free(&resolved);
    }
    *si = scenario_get_si(copy, r->trim, r->axis->path);
    // Messages refer to texts of the copy only through the list, which keeps its own.
    scenario_free(copy);
    return r->out->errors == before &&
           (isfinite(*si) || refuse(r, arena_format(&r->memory, "found '%.*s'; allowed a number",
                                                    clean_whole(text, SHOWN), text)));
}

static bool read_ends(struct axis_reading *r, const char *from, const char *to) {
    struct map_axis *axis = r->axis;
    struct quantity quantity;
    char message[UNIT_MESSAGE_SIZE];
    const char *alone = from;
    const bool read = !units_parse(to, axis->field->kind, &quantity, message);
    // "1..2.9 in": what has no unit of its own takes that of the other end.
    if (read && unit_part(from)[0] == '\0') {
        alone = arena_format(&r->memory, "%s %s", from, unit_part(to));
    }
    if (read && quantity.token && quantity.token[0]) {
        axis->unit = units_read_as(quantity.token);
    }
    if (!read_end(r, to, &axis->to) || !read_end(r, alone, &axis->from)) {
        return false;
    }
    return axis->from < axis->to ||
           refuse(r, arena_format(&r->memory, "found '%.*s..%.*s'; allowed FROM below TO",
                                  clean_whole(from, SHOWN), from, clean_whole(to, SHOWN), to));
}

static bool read_axis(struct axis_reading *r, const char *text) {
    const char *equals = strchr(text, '=');
    const char *dots = equals ? strstr(equals, "..") : NULL;
    if (!dots) {
        return refuse(r, arena_format(&r->memory,
                                      "found '%.*s'; allowed FIELD=FROM..TO, such as "
                                      "'trim.port=1..3 in'",
                                      clean_whole(text, SHOWN), text));
    }
    const char *name = arena_copy(&r->memory, text, (size_t)(equals - text));
    const char *from = arena_copy(&r->memory, equals + 1, (size_t)(dots - equals - 1));
    return find_field(r, name) && read_ends(r, from, dots + 2);
}

bool map_axis_parse(struct map_axis *axis, const char *option, const char *text,
                    const struct scenario *scenario, size_t trim, struct diagnostics *out) {
    struct axis_reading r = {
        .axis = axis, .option = option, .scenario = scenario, .trim = trim, .out = out};
    *axis = (struct map_axis){0};
    bool fine = read_axis(&r, text);
    if (r.memory.failed) {
        diagnostics_no_memory(out);
        fine = false;
    }
    arena_free(&r.memory);
    return fine;
}

static void name_axis(struct map_axis *axis, const char *path) {
    *axis = (struct map_axis){.field = field_at(field_index_of(path))};
    snprintf(axis->path, sizeof axis->path, "%s", path);
}

void map_axis_flow(struct map_axis *axis, const struct scenario *scenario, size_t trim) {
    double inflow = scenario_get_si(scenario, trim, "inflow.rate");
    double today = isfinite(inflow) ? inflow : scenario_get_si(scenario, trim, "demand.rate");
    name_axis(axis, isfinite(inflow) ? "inflow.rate" : "demand.rate");
    axis->from = FLOW_LOW * today;
    axis->to = FLOW_HIGH * today;
    axis->logarithmic = true;
}

void map_axis_port(struct map_axis *axis, const struct scenario *scenario, size_t trim) {
    name_axis(axis, "trim.port");
    double smallest = scenario_get_si(scenario, trim, axis->path), largest = smallest;
    for (size_t i = 0; i < scenario_trim_count(scenario); i++) {
        smallest = fmin(smallest, scenario_get_si(scenario, i, axis->path));
        largest = fmax(largest, scenario_get_si(scenario, i, axis->path));
    }
    axis->from = PORT_LOW * smallest;
    axis->to = PORT_HIGH * largest;
}

bool map_axis_is_flow(const struct map_axis *axis) {
    return strcmp(axis->path, "inflow.rate") == 0 || strcmp(axis->path, "demand.rate") == 0;
}

bool map_axis_is_of_trim(const struct map_axis *axis) {
    return strcmp(axis->field->section, "trim") == 0;
}

const char *map_axis_unit(const struct map_axis *axis, const struct answer *answer) {
    return axis->unit ? axis->unit : answer_unit(answer, axis->field->kind);
}

double map_axis_shown(const struct map_axis *axis, const struct answer *answer, double si) {
    return answer_shown_in(answer, axis->field->kind, map_axis_unit(axis, answer), si);
}

double map_axis_value(const struct map_axis *axis, double index) {
    double share = index / (double)(axis->count - 1);
    return axis->logarithmic ? axis->from * pow(axis->to / axis->from, share)
                             : axis->from + (axis->to - axis->from) * share;
}
