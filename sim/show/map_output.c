// SPDX-License-Identifier: MIT
#include "show/map_output.h"

#include "base/csv.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { OUTCOMES_MAX = VERDICT_COUNT + MAP_REST_COUNT + 1 };

struct output {
    const struct study_request *request;
    const struct map *map;
    struct scenario_case base; // whose units are shown
};

// Numbers of a row as they are written, after the two axes and the two texts.
static const struct column {
    const char *name;
    enum map_value value;
    enum unit_kind kind;
    const char *unit; // of a kind without units
    bool simulated;
} columns[] = {
    {"growth", MAP_GROWTH, UNIT_NONE, "1/s", false},
    {"mode_frequency", MAP_FREQUENCY, UNIT_NONE, "Hz", false},
    {"damping_ratio", MAP_DAMPING, UNIT_NONE, "", false},
    {"travel", MAP_TRAVEL, UNIT_NONE, "share", false},
    {"pressure", MAP_PRESSURE, UNIT_PRESSURE_LEVEL, "", false},
    {"pressure_swing", MAP_SWING, UNIT_PRESSURE_DROP, "", true},
    {"seat_contacts", MAP_SEAT_RATE, UNIT_NONE, "1/min", true},
    {"frequency", MAP_MOTION, UNIT_NONE, "Hz", true},
};
enum { COLUMNS = sizeof columns / sizeof columns[0] };

static const char *unit_of(const struct output *o, enum unit_kind kind) {
    return units_preferred(kind, o->base.units, o->base.model.phase == FLUID_LIQUID);
}

static double in_unit(const struct output *o, enum unit_kind kind, double si) {
    return units_from_si(&o->base.site, kind, unit_of(o, kind), si);
}

static double shown(const struct output *o, const struct column *c, const double *row) {
    double si = row[c->value];
    return c->kind == UNIT_NONE ? si : in_unit(o, c->kind, si);
}

static const char *column_unit(const struct output *o, const struct column *c) {
    return c->kind == UNIT_NONE ? c->unit : unit_of(o, c->kind);
}

static bool column_is_there(const struct output *o, const struct column *c) {
    return o->map->simulated || !c->simulated;
}

// --- In words

static void print_axis(const struct output *o, const struct map_axis *axis) {
    printf("%s %.4g to %.4g %s", axis->path, in_unit(o, axis->field->kind, axis->from),
           in_unit(o, axis->field->kind, axis->to), unit_of(o, axis->field->kind));
}

static void print_shares(const struct output *o) {
    const struct map *map = o->map;
    const char *name[OUTCOMES_MAX];
    size_t count[OUTCOMES_MAX], kinds = 0;
    for (size_t i = 0; i < map_count(map); i++) {
        const char *outcome = map_outcome(map, &map->row[i * MAP_WIDTH]);
        size_t k = 0;
        while (k < kinds && strcmp(name[k], outcome) != 0) {
            k++;
        }
        if (k == kinds) {
            name[kinds] = outcome;
            count[kinds++] = 0;
        }
        count[k]++;
    }
    for (size_t k = 0; k < kinds; k++) {
        printf("  %5.1f %%  %s\n", 100.0 * (double)count[k] / (double)map_count(map), name[k]);
    }
}

static void print_trim(const struct output *o, size_t trim) {
    const struct map *map = o->map;
    const double *row = map_trim_row(map, trim);
    printf("  %-12s %s", scenario_trim_name(map->scenario, trim), map_outcome(map, row));
    if (isfinite(row[MAP_GROWTH])) {
        printf("; small motions %s by a factor e in %.3g s", row[MAP_GROWTH] > 0.0 ? "grow" : "die",
               1.0 / fabs(row[MAP_GROWTH]));
    }
    if (map->simulated && row[MAP_SEAT_RATE] > 0.0) {
        printf("; swing %.3g %s, seat hit %.3g times a minute",
               in_unit(o, UNIT_PRESSURE_DROP, row[MAP_SWING]), unit_of(o, UNIT_PRESSURE_DROP),
               row[MAP_SEAT_RATE]);
    }
    putchar('\n');
}

// Fields of the trim section in which another trim differs besides those of the axes.
static bool differs_elsewhere(const struct map *map, size_t trim) {
    struct scenario_entry own, other;
    for (size_t i = 0; scenario_provenance(map->scenario, map->trim, i, &own); i++) {
        const struct field *field = field_at(i);
        if (strcmp(own.section, "trim") == 0 && field != map->across.field &&
            field != map->up.field && scenario_provenance(map->scenario, trim, i, &other) &&
            strcmp(own.text ? own.text : "", other.text ? other.text : "") != 0) {
            return true;
        }
    }
    return false;
}

static void print_cautions(const struct output *o) {
    const struct map *map = o->map;
    const char *base = scenario_trim_name(map->scenario, map->trim);
    bool of_trim = map_axis_is_of_trim(&map->across) || map_axis_is_of_trim(&map->up);
    for (size_t i = 0; of_trim && i < o->request->trim_count; i++) {
        if (differs_elsewhere(map, o->request->trim[i])) {
            printf("note: trim %s differs from %s in other fields too, so the map around its mark\n"
                   "is not quite its own\n",
                   scenario_trim_name(map->scenario, o->request->trim[i]), base);
        }
    }
    bool port =
        strcmp(map->across.path, "trim.port") == 0 || strcmp(map->up.path, "trim.port") == 0;
    if (port && isfinite(scenario_get_si(map->scenario, map->trim, "trim.coefficient"))) {
        printf("note: trim.coefficient is stated, so another port passes no more and no less\n");
    }
}

static void print(const struct output *o) {
    const struct map *map = o->map;
    printf("%s of trim %s over ", map->simulated ? "simulated map" : "map of small motions",
           scenario_trim_name(map->scenario, map->trim));
    print_axis(o, &map->across);
    printf(" and ");
    print_axis(o, &map->up);
    printf(", %zu x %zu points:\n", map->across.count, map->up.count);
    print_shares(o);
    printf("the trims as they are:\n");
    for (size_t i = 0; i < o->request->trim_count; i++) {
        print_trim(o, o->request->trim[i]);
    }
    print_cautions(o);
}

// --- Table

static void write_row(const struct output *o, struct csv *csv, size_t across, size_t up) {
    const struct map *map = o->map;
    const double *row = map_row(map, across, up);
    csv_number(csv,
               in_unit(o, map->across.field->kind, map_axis_value(&map->across, (double)across)));
    csv_number(csv, in_unit(o, map->up.field->kind, map_axis_value(&map->up, (double)up)));
    csv_text(csv, map_rest_name(row[MAP_REST]));
    if (map->simulated) {
        csv_text(csv, map_outcome(map, row));
    }
    for (size_t c = 0; c < COLUMNS; c++) {
        if (column_is_there(o, &columns[c])) {
            csv_number(csv, shown(o, &columns[c], row));
        }
    }
    csv_end_row(csv);
}

static int write_table(const struct output *o) {
    const struct map *map = o->map;
    char path[STUDY_OUTPUT_PATH_SIZE];
    struct csv csv;
    const int code = study_output_table_open(o->request, "csv", path, &csv);
    if (code != EXIT_CODE_DONE) {
        return code;
    }
    csv_heading(&csv, map->across.path, unit_of(o, map->across.field->kind));
    csv_heading(&csv, map->up.path, unit_of(o, map->up.field->kind));
    csv_heading(&csv, "rest", "");
    if (map->simulated) {
        csv_heading(&csv, "verdict", "");
    }
    for (size_t c = 0; c < COLUMNS; c++) {
        if (column_is_there(o, &columns[c])) {
            csv_heading(&csv, columns[c].name, column_unit(o, &columns[c]));
        }
    }
    csv_end_row(&csv);
    for (size_t j = 0; j < map->up.count; j++) {
        for (size_t i = 0; i < map->across.count; i++) {
            write_row(o, &csv, i, j);
        }
    }
    return study_output_table_close(o->request, path, &csv);
}

// --- Summary

static json_t *axis_json(const struct output *o, const struct map_axis *axis) {
    enum unit_kind kind = axis->field->kind;
    json_t *one = json_object();
    json_object_set_new(one, "field", json_string(axis->path));
    json_object_set_new(one, "from",
                        study_output_number(in_unit(o, kind, axis->from), unit_of(o, kind)));
    json_object_set_new(one, "to",
                        study_output_number(in_unit(o, kind, axis->to), unit_of(o, kind)));
    json_object_set_new(one, "points", json_integer((json_int_t)axis->count));
    json_object_set_new(one, "logarithmic", json_boolean(axis->logarithmic));
    return one;
}

static json_t *trim_json(const struct output *o, size_t trim) {
    const struct map *map = o->map;
    const double *row = map_trim_row(map, trim);
    json_t *one = json_object();
    json_object_set_new(one, "trim", json_string(scenario_trim_name(map->scenario, trim)));
    json_object_set_new(one, "rest", json_string(map_rest_name(row[MAP_REST])));
    if (map->simulated) {
        json_object_set_new(one, "verdict", json_string(map_outcome(map, row)));
    }
    for (size_t c = 0; c < COLUMNS; c++) {
        if (column_is_there(o, &columns[c])) {
            json_object_set_new(
                one, columns[c].name,
                study_output_number(shown(o, &columns[c], row), column_unit(o, &columns[c])));
        }
    }
    return one;
}

static json_t *outcomes_json(const struct map *map) {
    json_t *all = json_object();
    for (size_t i = 0; i < map_count(map); i++) {
        const char *outcome = map_outcome(map, &map->row[i * MAP_WIDTH]);
        json_int_t before = json_integer_value(json_object_get(all, outcome));
        json_object_set_new(all, outcome, json_integer(before + 1));
    }
    return all;
}

static int write_summary(const struct output *o) {
    const struct map *map = o->map;
    json_t *summary = study_output_summary(o->request);
    json_object_set_new(summary, "simulated", json_boolean(map->simulated));
    json_object_set_new(summary, "fine", json_boolean(map->fine));
    json_object_set_new(summary, "trim", json_string(scenario_trim_name(map->scenario, map->trim)));
    json_object_set_new(summary, "across", axis_json(o, &map->across));
    json_object_set_new(summary, "up", axis_json(o, &map->up));
    json_object_set_new(summary, "outcomes", outcomes_json(map));
    json_t *trims = json_array();
    for (size_t i = 0; i < o->request->trim_count; i++) {
        json_array_append_new(trims, trim_json(o, o->request->trim[i]));
    }
    json_object_set_new(summary, "trims", trims);
    return study_output_json(o->request, summary);
}

static int write_all(const struct output *o) {
    int code = EXIT_CODE_DONE;
    print(o);
    if (o->request->shared.files) {
        code = write_table(o);
        code = code == EXIT_CODE_DONE ? write_summary(o) : code;
    }
    if (code == EXIT_CODE_DONE && (o->request->shared.picture || o->request->shared.sketch)) {
        code = map_picture(o->request, o->map, &o->base);
    }
    return code;
}

int map_output(const struct study_request *request, const struct map *map) {
    struct output o = {.request = request, .map = map};
    struct diagnostics list = {0};
    int code = EXIT_CODE_SCENARIO;
    if (scenario_resolve(map->scenario, map->trim, &o.base, &list)) {
        code = write_all(&o);
    }
    diagnostics_print(&list, stderr);
    diagnostics_free(&list);
    scenario_case_free(&o.base);
    return code;
}
