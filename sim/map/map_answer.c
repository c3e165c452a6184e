// SPDX-License-Identifier: MIT
// What `lowlift map` answers: in words, as tables, and as a picture.
#include "answer/column.h"
#include "answer/picture.h"
#include "map/map.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double LN_2 = 0.6931471805599453;

enum { OUTCOMES_MAX = VERDICT_COUNT + MAP_REST_COUNT + 1, AXES = 2 };

// What is written of a point or a trim.
static const struct figure {
    struct answer_column column;
    enum map_value value;
    bool simulated; // not on a map of small motions
} figures[] = {
    {COLUMN_AT_REST, MAP_REST, false},           {COLUMN_VERDICT, MAP_VERDICT, true},
    {COLUMN_GROWTH, MAP_GROWTH, false},          {COLUMN_MODE_FREQUENCY, MAP_FREQUENCY, false},
    {COLUMN_LOWEST_DAMPING, MAP_DAMPING, false}, {COLUMN_TRAVEL, MAP_TRAVEL, false},
    {COLUMN_PRESSURE, MAP_PRESSURE, false},      {COLUMN_PRESSURE_SWING, MAP_SWING, true},
    {COLUMN_SEAT_RATE, MAP_SEAT_RATE, true},     {COLUMN_FREQUENCY, MAP_MOTION, true},
};
enum { FIGURES = sizeof figures / sizeof figures[0] };

// --- Tables

static size_t fill_figures(const struct map *map, const double *row, struct answer_cell *cell) {
    size_t count = 0;
    for (size_t i = 0; i < FIGURES; i++) {
        if (!map->simulated && figures[i].simulated) {
            continue;
        }
        struct answer_cell *c = &cell[count++];
        *c = (struct answer_cell){row[figures[i].value], NULL};
        if (figures[i].value == MAP_REST) {
            c->text = map_rest_name(row[MAP_REST]);
        } else if (figures[i].value == MAP_VERDICT) {
            c->text = map_outcome(map, row);
        } else if (figures[i].value == MAP_TRAVEL) {
            c->number *= 100.0;
        }
    }
    return count;
}

static size_t figure_columns(const struct map *map, struct answer_column *column) {
    size_t count = 0;
    for (size_t i = 0; i < FIGURES; i++) {
        if (map->simulated || !figures[i].simulated) {
            column[count++] = figures[i].column;
        }
    }
    return count;
}

static void fill_point(const void *context, size_t index, struct answer_cell *cell) {
    const struct map *map = context;
    const size_t across = index % map->across.count;
    const size_t up = index / map->across.count;
    cell[0] = (struct answer_cell){map_axis_value(&map->across, (double)across), NULL};
    cell[1] = (struct answer_cell){map_axis_value(&map->up, (double)up), NULL};
    fill_figures(map, &map->row[index * MAP_WIDTH], &cell[AXES]);
}

static void add_points(struct answer *answer, const struct map *map) {
    struct answer_column *column = answer_columns(answer, AXES + FIGURES);
    if (!column) {
        return;
    }
    const struct map_axis *const axes[AXES] = {&map->across, &map->up};
    for (size_t i = 0; i < AXES; i++) {
        column[i] = (struct answer_column){.key = axes[i]->path,
                                           .name = axes[i]->path,
                                           .kind = axes[i]->field->kind,
                                           .unit = axes[i]->unit};
    }
    const size_t columns = AXES + figure_columns(map, &column[AXES]);
    struct answer_table *table = answer_table(answer, "", NULL, column, columns);
    table->hidden = ANSWER_TERMINAL | ANSWER_JSON;
    table->rows = map_count(map);
    table->fill = fill_point;
    table->context = map;
}

static void add_trims(struct answer *answer, const struct map *map, const struct study_job *job) {
    struct answer_column *column = answer_columns(answer, 1 + FIGURES);
    if (!column) {
        return;
    }
    column[0] = (struct answer_column)COLUMN_TRIM;
    const size_t columns = 1 + figure_columns(map, &column[1]);
    struct answer_table *table = answer_table(answer, "trims", NULL, column, columns);
    table->hidden = ANSWER_TERMINAL | ANSWER_CSV;
    for (size_t i = 0; i < job->trim_count; i++) {
        struct answer_cell cell[FIGURES];
        const size_t count = fill_figures(map, map_trim_row(map, job->trim[i]), cell);
        answer_word(table, scenario_trim_name(map->scenario, job->trim[i]));
        for (size_t k = 0; k < count; k++) {
            if (cell[k].text) {
                answer_word(table, cell[k].text);
            } else {
                answer_put(table, cell[k].number);
            }
        }
    }
}

static void add_outcomes(struct answer *answer, const struct map *map) {
    static const struct answer_column columns[] = {
        COLUMN_IN("share", "share", "%"),
        COLUMN_WORD("outcome", "outcome"),
        {.key = "points", .name = "points", .form = ANSWER_COUNT, .hidden = ANSWER_TERMINAL}};
    const char *name[OUTCOMES_MAX];
    size_t count[OUTCOMES_MAX];
    size_t kinds = 0;
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
    struct answer_table *table =
        answer_table(answer, "outcomes", NULL, columns, sizeof columns / sizeof columns[0]);
    table->hidden = ANSWER_CSV;
    for (size_t k = 0; k < kinds; k++) {
        const double share = 100.0 * (double)count[k] / (double)map_count(map);
        answer_said(table, share, "%.1f", share);
        answer_word(table, name[k]);
        answer_put(table, (double)count[k]);
    }
}

// --- Facts

// "across" is the field, "across_from" where it begins, and so on.
static void add_axis(struct answer *answer, const struct map_axis *axis, const char *key) {
    const enum unit_kind kind = axis->field->kind;
    const struct answer_column columns[] = {
        COLUMN_WORD(key, key), COLUMN_OF(answer_keep(answer, "%s_from", key), "from", kind),
        COLUMN_OF(answer_keep(answer, "%s_to", key), "to", kind),
        COLUMN_COUNT(answer_keep(answer, "%s_points", key), "points"),
        COLUMN_FLAG(answer_keep(answer, "%s_logarithmic", key), "logarithmic")};
    const double number[] = {(double)NAN, axis->from, axis->to, (double)axis->count,
                             axis->logarithmic ? 1.0 : 0.0};
    struct answer_column *kept = answer_columns(answer, sizeof columns / sizeof columns[0]);
    if (!kept) {
        return;
    }
    memcpy(kept, columns, sizeof columns);
    for (size_t i = 0; i < sizeof columns / sizeof columns[0]; i++) {
        kept[i].hidden = ANSWER_TERMINAL; // said in a sentence
        kept[i].unit = kept[i].kind == UNIT_NONE ? NULL : axis->unit;
        answer_fact(answer, &kept[i], number[i], i == 0 ? axis->path : NULL);
    }
}

static void add_facts(struct answer *answer, const struct map *map) {
    static const struct answer_column simulated = {
        .key = "simulated", .name = "simulated", .form = ANSWER_FLAG, .hidden = ANSWER_TERMINAL};
    static const struct answer_column fine = {
        .key = "fine", .name = "fine", .form = ANSWER_FLAG, .hidden = ANSWER_TERMINAL};
    static const struct answer_column trim = {
        .key = "trim", .name = "trim", .form = ANSWER_WORD, .hidden = ANSWER_TERMINAL};
    answer_fact(answer, &simulated, map->simulated ? 1.0 : 0.0, NULL);
    answer_fact(answer, &fine, map->fine ? 1.0 : 0.0, NULL);
    answer_fact(answer, &trim, (double)NAN, scenario_trim_name(map->scenario, map->trim));
    add_axis(answer, &map->across, "across");
    add_axis(answer, &map->up, "up");
}

// --- Words

static const char *axis_text(struct answer *answer, const struct map_axis *axis) {
    const struct answer_column end = {.kind = axis->field->kind, .unit = axis->unit};
    const struct answer_cell cell = {axis->from, NULL};
    char from[64];
    answer_cell_text(answer, &end, &cell, false, from, sizeof from);
    return answer_keep(answer, "%s %s to %s", axis->path, from,
                       answer_text_in(answer, end.kind, map_axis_unit(axis, answer), axis->to));
}

static void tell_trim(struct answer *answer, const struct map *map, size_t trim) {
    const double *row = map_trim_row(map, trim);
    const double growth = row[MAP_GROWTH];
    const char *motions = "";
    const char *swing = "";
    if (isfinite(growth)) {
        motions = answer_keep(answer, "; small motions %s in %.3g s",
                              growth > 0.0 ? "double" : "halve", LN_2 / fabs(growth));
    }
    if (map->simulated && row[MAP_SEAT_RATE] > 0.0) {
        swing = answer_keep(answer, "; swing %.3g %s, seat hit %.3g times a minute",
                            answer_shown(answer, UNIT_PRESSURE_DROP, row[MAP_SWING]),
                            answer_unit(answer, UNIT_PRESSURE_DROP), row[MAP_SEAT_RATE]);
    }
    answer_label(answer, ANSWER_FINDING,
                 answer_keep(answer, "trim %s: ", scenario_trim_name(map->scenario, trim)),
                 "%s%s%s", map_outcome(map, row), motions, swing);
}

// Fields of the trim section in which another trim differs besides those of the axes.
static bool differs_elsewhere(const struct map *map, size_t trim) {
    struct scenario_entry own;
    struct scenario_entry other;
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

static void add_notes(struct answer *answer, const struct map *map, const struct study_job *job) {
    const bool of_trim = map_axis_is_of_trim(&map->across) || map_axis_is_of_trim(&map->up);
    for (size_t i = 0; of_trim && i < job->trim_count; i++) {
        if (differs_elsewhere(map, job->trim[i])) {
            answer_say(answer, ANSWER_NOTE,
                       "trim %s differs from %s in other fields too, so the map around its mark is "
                       "not quite its own",
                       scenario_trim_name(map->scenario, job->trim[i]),
                       scenario_trim_name(map->scenario, map->trim));
        }
    }
    const bool port =
        strcmp(map->across.path, "trim.port") == 0 || strcmp(map->up.path, "trim.port") == 0;
    if (port && isfinite(scenario_get_si(map->scenario, map->trim, "trim.coefficient"))) {
        answer_say(answer, ANSWER_NOTE,
                   "trim.coefficient is stated, so another port passes no more and no less");
    }
}

// --- All of it

static void tell(const struct study_job *job, const struct map *map, struct answer *answer) {
    answer_say(answer, ANSWER_HEADING, "%s", answer->title[0] ? answer->title : "scenario");
    add_facts(answer, map);
    answer_say(answer, ANSWER_LINE, "%s of trim %s over %s and %s, %zux%zu points:",
               map->simulated ? "simulated map" : "map of small motions",
               scenario_trim_name(map->scenario, map->trim), axis_text(answer, &map->across),
               axis_text(answer, &map->up), map->across.count, map->up.count);
    add_outcomes(answer, map);
    answer_gap(answer);
    answer_say(answer, ANSWER_LINE, "the trims as they are:");
    for (size_t i = 0; i < job->trim_count; i++) {
        tell_trim(answer, map, job->trim[i]);
    }
    add_notes(answer, map, job);
    add_trims(answer, map, job);
    add_points(answer, map);
    map_picture(map, job, answer);
}

static enum study_status evaluate(struct study_job *job, const char *checkpoint, struct map *map) {
    struct study study = study_job_start(job, "map");
    study.checkpoint = checkpoint;
    return map_run(map, &study, job->message, sizeof job->message);
}

static enum study_status carry_out(struct study_job *job, const struct study_asked *asked,
                                   struct map *map, struct answer *answer) {
    struct scenario_case base = {0}; // whose units are shown
    enum study_status status = map_take(map, job, asked);
    if (status != STUDY_DONE) {
        return status;
    }
    status = study_job_resolve(job, map->trim, &base);
    status = status == STUDY_DONE ? evaluate(job, asked[MAP_ASKED_CHECKPOINT].text, map) : status;
    if (status == STUDY_DONE) {
        study_job_answer(job, &base, answer);
        answer->variant = map_variant(map, job, asked, answer);
        tell(job, map, answer);
    }
    scenario_case_free(&base);
    return status;
}

enum study_status map_answer(struct study_job *job, const struct study_asked *asked,
                             struct answer *answer) {
    struct map *map = calloc(1, sizeof *map);
    if (!map) {
        return study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    }
    const enum study_status status = carry_out(job, asked, map, answer);
    // The table of points reads the map while it is written.
    answer_hold(answer, map->row);
    answer_hold(answer, map);
    return status;
}
