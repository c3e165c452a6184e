// SPDX-License-Identifier: MIT
#include "map/map.h"

#include "base/fingerprint.h"
#include "run/screening.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static void set_unless_flow(const struct map_axis *axis, size_t index, struct study_point *point) {
    // The flow is set behind the screw's back, which is turned at the scenario's own.
    if (!map_axis_is_flow(axis)) {
        point->change[point->change_count++] =
            (struct study_change){axis->path, map_axis_value(axis, (double)index)};
    }
}

static void describe(void *context, size_t index, struct study_point *point) {
    const struct map *map = context;
    if (index >= map_count(map)) {
        point->trim = index - map_count(map);
        return;
    }
    point->trim = map->trim;
    set_unless_flow(&map->across, index % map->across.count, point);
    set_unless_flow(&map->up, index / map->across.count, point);
}

static double flow_of(const struct map *map, size_t index, double own) {
    size_t across = index % map->across.count, up = index / map->across.count;
    if (index >= map_count(map)) {
        return own;
    }
    if (map_axis_is_flow(&map->across)) {
        return map_axis_value(&map->across, (double)across);
    }
    return map_axis_is_flow(&map->up) ? map_axis_value(&map->up, (double)up) : own;
}

// What a colour on a map needs. Against the limits and tolerance of a single run this took half the
// time on the main demo, and changed the verdict of 1 point in 300.
#define COARSE_REPEATS 3.0
#define COARSE_CYCLE 0.03
#define COARSE_EVENTS 20.0
#define COARSE_TOLERANCE 3.0

static void simulate_point(const struct map *map, struct scenario_case *scenario, double *row) {
    struct verdict_limits limits = simulation_limits(scenario);
    if (!map->fine) {
        limits.cycle_repeats = COARSE_REPEATS;
        limits.cycle_tolerance = COARSE_CYCLE;
        limits.irregular_cycles = COARSE_EVENTS;
        scenario->run.relative_tolerance *= COARSE_TOLERANCE;
    }
    struct simulation run;
    screening_run(scenario, &(struct simulation_manner){.limits = &limits, .brief = true}, &run);
    if (run.outcome == SIMULATION_DONE) {
        const struct verdict_figures *f = &run.judged.figures;
        row[MAP_VERDICT] = (double)run.judged.verdict;
        row[MAP_SWING] = f->pressure_swing;
        row[MAP_SEAT_RATE] = f->seat_rate;
        row[MAP_MOTION] = f->frequency;
    }
    simulation_free(&run);
}

static void evaluate(void *context, size_t index, const struct scenario_case *scenario,
                     double *row) {
    const struct map *map = context;
    struct steadiness subject;
    if (!scenario || !steadiness_prepare(scenario, &subject)) {
        row[MAP_REST] = scenario ? MAP_OUT_OF_REACH : MAP_IMPOSSIBLE;
        return;
    }
    double flow = flow_of(map, index, subject.flow);
    struct steadiness_settled settled = steadiness_settled(&subject, flow);
    row[MAP_REST] = (double)settled.rest;
    row[MAP_GROWTH] = settled.growth;
    row[MAP_FREQUENCY] = settled.frequency;
    row[MAP_DAMPING] = settled.damping;
    row[MAP_TRAVEL] = settled.travel / scenario->model.trim.rated_travel;
    row[MAP_PRESSURE] = settled.pressure;
    if (map->simulated) {
        struct scenario_case held = subject.held;
        held.model.flow = schedule_constant(flow);
        simulate_point(map, &held, row);
    }
}

// Everything that the points depend on, besides the program itself.
static unsigned long fingerprint(const struct map *map) {
    unsigned long hash = scenario_fingerprint(map->scenario);
    const struct map_axis *axes[] = {&map->across, &map->up};
    for (int i = 0; i < 2; i++) {
        const struct map_axis *a = axes[i];
        hash = fingerprint_bytes(hash, a->path, strlen(a->path));
        hash = fingerprint_bytes(hash, &a->from, sizeof a->from);
        hash = fingerprint_bytes(hash, &a->to, sizeof a->to);
        hash = fingerprint_bytes(hash, &a->count, sizeof a->count);
        hash = fingerprint_bytes(hash, &a->logarithmic, sizeof a->logarithmic);
    }
    hash = fingerprint_bytes(hash, &map->trim, sizeof map->trim);
    hash = fingerprint_bytes(hash, &map->simulated, sizeof map->simulated);
    hash = fingerprint_bytes(hash, &map->fine, sizeof map->fine);
    return fingerprint_bytes(hash, LOWLIFT_VERSION, strlen(LOWLIFT_VERSION));
}

enum study_status map_run(struct map *map, struct study *study, char *message,
                          size_t message_size) {
    study->count = map_count(map) + scenario_trim_count(map->scenario);
    study->width = MAP_WIDTH;
    study->describe = describe;
    study->evaluate = evaluate;
    study->context = map;
    study->fingerprint = fingerprint(map);
    map->row = malloc(study->count * MAP_WIDTH * sizeof *map->row);
    return map->row ? study_run(study, map->row, message, message_size) : STUDY_NO_MEMORY;
}

void map_free(struct map *map) {
    free(map->row);
    map->row = NULL;
}

size_t map_count(const struct map *map) {
    return map->across.count * map->up.count;
}

const double *map_row(const struct map *map, size_t across, size_t up) {
    return &map->row[(up * map->across.count + across) * MAP_WIDTH];
}

const double *map_trim_row(const struct map *map, size_t trim) {
    return &map->row[(map_count(map) + trim) * MAP_WIDTH];
}

const char *map_rest_name(double rest) {
    if (rest <= (double)STEADINESS_FAILED) {
        return steadiness_rest_name((enum steadiness_rest)rest);
    }
    return rest == (double)MAP_OUT_OF_REACH ? "set pressure out of reach" : "not possible";
}

const char *map_outcome(const struct map *map, const double *row) {
    if (!map->simulated || row[MAP_REST] >= (double)MAP_OUT_OF_REACH) {
        return map_rest_name(row[MAP_REST]);
    }
    return isnan(row[MAP_VERDICT]) ? "failed" : verdict_name((enum verdict)row[MAP_VERDICT]);
}
