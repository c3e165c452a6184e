// SPDX-License-Identifier: MIT
// The options of `lowlift map`: what they set up, and what its files are called after them.
#include "map/map.h"

#include "base/fingerprint.h"

#include <stdio.h>
#include <string.h>

enum { SIDE_MIN = 2, SIDE_MAX = 2000, VARIANT_SIZE = 256 };

// --- What they set up

static size_t usual_side(const struct map *map, bool up) {
    return !map->simulated ? 100 : up ? 30 : 36;
}

static enum study_status take_points(struct map *map, struct study_job *job,
                                     const struct study_asked *asked) {
    int used = 0;
    unsigned across = (unsigned)usual_side(map, false);
    unsigned up = (unsigned)usual_side(map, true);
    const char *text = asked->text;
    if (text && (sscanf(text, "%4ux%4u%n", &across, &up, &used) != 2 || text[used] != '\0' ||
                 across < SIDE_MIN || up < SIDE_MIN || across > SIDE_MAX || up > SIDE_MAX)) {
        return study_job_fail(job, STUDY_BAD_USAGE,
                              "%s: found '%s'; allowed NxM, such as 60x40, each %d to %d",
                              asked->name, text, SIDE_MIN, SIDE_MAX);
    }
    map->across.count = across;
    map->up.count = up;
    return STUDY_DONE;
}

static enum study_status check_logarithm(struct study_job *job, const struct map_axis *axis) {
    const enum unit_kind kind = axis->field->kind;
    if (axis->logarithmic && (kind == UNIT_PRESSURE_LEVEL || kind == UNIT_TEMPERATURE)) {
        return study_job_fail(job, STUDY_BAD_USAGE, "--log: %s has a zero that is only agreed upon",
                              axis->path);
    }
    if (axis->logarithmic && axis->from <= 0.0) {
        return study_job_fail(job, STUDY_BAD_USAGE, "--log: %s must begin above 0", axis->path);
    }
    return STUDY_DONE;
}

static enum study_status take_logarithm(struct map *map, struct study_job *job, const char *text) {
    if (text) {
        const bool both = strcmp(text, "both") == 0;
        map->across.logarithmic = both || strcmp(text, "across") == 0;
        map->up.logarithmic = both || strcmp(text, "up") == 0;
    }
    const enum study_status status = check_logarithm(job, &map->across);
    return status == STUDY_DONE ? check_logarithm(job, &map->up) : status;
}

static enum study_status take_axes(struct map *map, struct study_job *job,
                                   const struct study_asked *across, const struct study_asked *up) {
    bool fine = true;
    if (across->text) {
        fine = map_axis_parse(&map->across, across->name, across->text, map->scenario, map->trim,
                              &job->list);
    } else {
        map_axis_flow(&map->across, map->scenario, map->trim);
    }
    if (up->text) {
        fine = map_axis_parse(&map->up, up->name, up->text, map->scenario, map->trim, &job->list) &&
               fine;
    } else {
        map_axis_port(&map->up, map->scenario, map->trim);
    }
    if (fine && map->across.field == map->up.field) {
        return study_job_fail(job, STUDY_BAD_USAGE,
                              "--across and --up are both %s; allowed two fields", map->up.path);
    }
    return fine ? STUDY_DONE : STUDY_BAD_USAGE;
}

enum study_status map_take(struct map *map, struct study_job *job,
                           const struct study_asked *asked) {
    map->scenario = job->scenario;
    map->trim = job->trim[0];
    map->simulated = !asked[MAP_ASKED_LINEAR].text;
    map->fine = asked[MAP_ASKED_FINE].text != NULL;
    if (map->fine && !map->simulated) {
        return study_job_fail(job, STUDY_BAD_USAGE, "--fine: nothing is simulated with --linear");
    }
    enum study_status status = take_axes(map, job, &asked[MAP_ASKED_ACROSS], &asked[MAP_ASKED_UP]);
    status = status == STUDY_DONE ? take_points(map, job, &asked[MAP_ASKED_POINTS]) : status;
    return status == STUDY_DONE ? take_logarithm(map, job, asked[MAP_ASKED_LOG].text) : status;
}

// --- What it is called

static bool all_trims(const struct study_job *job) {
    bool all = job->trim_count == scenario_trim_count(job->scenario);
    for (size_t i = 0; i < job->trim_count; i++) {
        all = all && job->trim[i] == i;
    }
    return all;
}

static bool usual_fields(const struct map *map) {
    struct map_axis across;
    struct map_axis up;
    map_axis_flow(&across, map->scenario, map->trim);
    map_axis_port(&up, map->scenario, map->trim);
    return map->across.field == across.field && map->up.field == up.field;
}

// What has no short name, in the order of the options.
static unsigned long fingerprint(const struct study_job *job, const struct study_asked *asked) {
    static const enum map_asked texts[] = {MAP_ASKED_ACROSS, MAP_ASKED_UP, MAP_ASKED_LOG};
    unsigned long hash = FINGERPRINT_START;
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        const struct study_asked *one = &asked[texts[i]];
        if (one->text) {
            hash = fingerprint_bytes(hash, one->name, strlen(one->name) + 1);
            hash = fingerprint_bytes(hash, one->text, strlen(one->text) + 1);
        }
    }
    for (size_t i = 0; i < job->override_count; i++) {
        hash = fingerprint_bytes(hash, job->overrides[i], strlen(job->overrides[i]) + 1);
    }
    for (size_t i = 1; !all_trims(job) && i < job->trim_count; i++) {
        hash = fingerprint_bytes(hash, &job->trim[i], sizeof job->trim[i]);
    }
    return hash;
}

// Parts are told apart by their form: a field has a dot, a trim follows its word, numbers of points
// hold an x, which a fingerprint does not.
const char *map_variant(const struct map *map, const struct study_job *job,
                        const struct study_asked *asked, struct answer *answer) {
    const char *name = map->simulated ? "" : ".linear";
    if (!usual_fields(map)) {
        name = answer_keep(answer, "%s.%s-%s", name, map->across.path, map->up.path);
    }
    if (!all_trims(job)) {
        name =
            answer_keep(answer, "%s.trim-%s", name, scenario_trim_name(map->scenario, map->trim));
    }
    if (map->across.count != usual_side(map, false) || map->up.count != usual_side(map, true)) {
        name = answer_keep(answer, "%s.%zux%zu", name, map->across.count, map->up.count);
    }
    name = map->fine ? answer_keep(answer, "%s.fine", name) : name;
    const unsigned long hash = fingerprint(job, asked);
    if (hash != FINGERPRINT_START) {
        name = answer_keep(answer, "%s.%08lx", name, (hash ^ (hash >> 32)) & 0xFFFFFFFFUL);
    }
    return name[0] ? name + 1 : name;
}
