// SPDX-License-Identifier: MIT
// Listing, running and pairing of remedies.
#include "remedy/remedies.h"

#include "base/fingerprint.h"
#include "remedy/remedies_rank.h"
#include "steady/trim_window.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

// --- What is tried

static struct remedies_try *add_try(struct remedies *remedies) {
    size_t size = (remedies->try_count + 1) * sizeof *remedies->tries;
    struct remedies_try *bigger = realloc(remedies->tries, size);
    if (!bigger) {
        return NULL;
    }
    remedies->tries = bigger;
    struct remedies_try *attempt = &bigger[remedies->try_count++];
    *attempt = (struct remedies_try){.trim = remedies->trim};
    for (size_t i = 0; i < REMEDIES_COLUMNS; i++) {
        attempt->row[i] = (double)NAN;
    }
    return attempt;
}

static struct remedies_entry *add_entry(struct remedies *remedies, size_t tries) {
    if (remedies->entry_count == REMEDIES_ENTRIES_MAX) {
        return NULL;
    }
    struct remedies_entry *entry = &remedies->entry[remedies->entry_count++];
    *entry = (struct remedies_entry){
        .trim = remedies->trim, .first = remedies->try_count, .tries = tries};
    return entry;
}

static bool plan_remedy(struct remedies *r, const struct remedy *remedy) {
    // A choice, and what leads to one target only, has one strength.
    bool single = remedy->way == REMEDY_CHOICE || remedy->from == remedy->to;
    struct remedies_entry *entry = add_entry(r, single ? 1 : r->steps);
    if (!entry) {
        return true; // no room; the table is shorter than that
    }
    entry->count = 1;
    entry->remedy[0] = remedy;
    entry->parts = remedy->parts;
    double today = remedy_today(remedy, r->scenario, r->trim, &r->resolved);
    for (size_t i = 0; i < entry->tries; i++) {
        double strength = entry->tries > 1 ? (double)i / (double)(entry->tries - 1) : 1.0;
        struct remedies_try *attempt = add_try(r);
        if (!attempt) {
            return false;
        }
        attempt->count = 1;
        attempt->strength = strength;
        attempt->remedy[0] = remedy;
        attempt->today[0] = today;
        attempt->value[0] = remedy_value(remedy, &r->resolved, today, strength);
    }
    return true;
}

bool remedies_plan(struct remedies *r) {
    if (!add_try(r)) { // today's
        return false;
    }
    for (size_t i = 0; remedy_at(i); i++) {
        if (!remedy_missing(remedy_at(i), r->scenario, r->trim, &r->resolved) &&
            !plan_remedy(r, remedy_at(i))) {
            return false;
        }
    }
    for (size_t trim = 0; trim < scenario_trim_count(r->scenario); trim++) {
        struct remedies_entry *entry = trim == r->trim ? NULL : add_entry(r, 1);
        struct remedies_try *attempt = entry ? add_try(r) : NULL;
        if (entry && !attempt) {
            return false;
        }
        if (entry) {
            entry->trim = attempt->trim = trim;
            entry->parts = true;
        }
    }
    r->single_count = r->entry_count;
    return true;
}

// Whether one changes the other's field.
static bool touches(const struct remedy *a, const struct remedy *b) {
    return strcmp(a->field, b->field) == 0 ||
           (a->companion.field && strcmp(a->companion.field, b->field) == 0);
}

static bool may_pair(const struct remedies_entry *a, const struct remedies_entry *b) {
    if (a->count == 0 || b->count == 0) { // another trim sets the trim's fields itself
        const struct remedies_entry *other = a->count == 0 ? b : a;
        return other->count > 0 && strncmp(other->remedy[0]->field, "trim.", 5) != 0;
    }
    return !touches(a->remedy[0], b->remedy[0]) && !touches(b->remedy[0], a->remedy[0]);
}

static bool plan_pair(struct remedies *r, size_t a, size_t b) {
    struct remedies_entry *entry = add_entry(r, 1);
    struct remedies_try *attempt = entry ? add_try(r) : NULL;
    if (!entry || !attempt) {
        return !entry;
    }
    entry->pair = true;
    size_t parts[2] = {a, b};
    for (size_t k = 0; k < 2; k++) {
        const struct remedies_entry *from = &r->entry[parts[k]];
        const struct remedies_try *best = &r->tries[from->best];
        entry->parts = entry->parts || from->parts;
        if (from->count == 0) {
            entry->trim = attempt->trim = from->trim;
            continue;
        }
        entry->remedy[entry->count++] = attempt->remedy[attempt->count] = best->remedy[0];
        attempt->today[attempt->count] = best->today[0];
        attempt->value[attempt->count++] = best->value[0];
    }
    return true;
}

// Pairs of the best that help, which the sorting has put first among their kind.
static bool plan_pairs(struct remedies *r) {
    size_t chosen[REMEDIES_PAIRED_FREE + REMEDIES_PAIRED_PARTS], count = 0, of_kind[2] = {0, 0};
    for (size_t i = 0; i < r->single_count; i++) {
        const struct remedies_entry *e = &r->entry[i];
        size_t most = e->parts ? REMEDIES_PAIRED_PARTS : REMEDIES_PAIRED_FREE;
        // What cures alone needs no company.
        if (e->effect == REMEDIES_HELPS && of_kind[e->parts] < most) {
            of_kind[e->parts]++;
            chosen[count++] = i;
        }
    }
    for (size_t i = 0; i < count; i++) {
        for (size_t k = 0; k < i; k++) {
            if (may_pair(&r->entry[chosen[k]], &r->entry[chosen[i]]) &&
                !plan_pair(r, chosen[k], chosen[i])) {
                return false;
            }
        }
    }
    return true;
}

// --- The study

struct work {
    const struct remedies *remedies;
    size_t first; // try of the study's first point
};

void remedies_point(const struct scenario *scenario, const struct remedies_try *attempt,
                    struct study_point *point) {
    point->trim = attempt->trim;
    point->change_count = 0;
    for (size_t i = 0; i < attempt->count; i++) {
        const struct remedy *remedy = attempt->remedy[i];
        if (remedy->way == REMEDY_CHOICE) {
            continue;
        }
        point->change[point->change_count++] =
            (struct study_change){remedy->field, attempt->value[i]};
        const struct remedy_companion *along = &remedy->companion;
        if (!along->field) {
            continue;
        }
        double stated = scenario_get_si(scenario, attempt->trim, along->field);
        if (isfinite(stated)) {
            double factor = attempt->value[i] / attempt->today[i];
            point->change[point->change_count++] =
                (struct study_change){along->field, stated * pow(factor, along->power)};
        }
    }
}

static void describe(void *context, size_t index, struct study_point *point) {
    const struct work *work = context;
    remedies_point(work->remedies->scenario, &work->remedies->tries[work->first + index], point);
}

static void evaluate(void *context, size_t index, const struct scenario_case *scenario,
                     double *result) {
    const struct work *work = context;
    const struct remedies *r = work->remedies;
    const struct remedies_try *attempt = &r->tries[work->first + index];
    if (!scenario) {
        severity_measure(NULL, result);
        return;
    }
    struct scenario_case changed = *scenario; // shares its memory, which nobody writes to
    for (size_t i = 0; i < attempt->count; i++) {
        if (attempt->remedy[i]->way == REMEDY_CHOICE) {
            remedy_choose(attempt->remedy[i], &changed);
        }
    }
    severity_measure_on(&changed, result);
    struct steadiness subject;
    if (steadiness_prepare(&changed, &subject)) {
        const struct trim_window_search search = {.lowest = r->low,
                                                  .upper = r->flow,
                                                  .ceiling = r->high,
                                                  .limit = changed.pressure_limit,
                                                  .kick = r->kick,
                                                  .brief = true};
        const struct trim_window window = trim_window_find(&subject, &search);
        result[REMEDIES_RANGE] = window.kicked_range;
        result[REMEDIES_LOWEST] = window.kicked;
        result[REMEDIES_TOP] = fmin(window.top, window.largest);
    }
}

static unsigned long fingerprint(struct work *work, size_t count) {
    const struct remedies *r = work->remedies;
    const double numbers[] = {r->low, r->high, r->kick};
    unsigned long hash = scenario_fingerprint(r->scenario);
    hash = fingerprint_bytes(hash, numbers, sizeof numbers);
    return study_fingerprint_points(hash, describe, work, count);
}

// Run the tries from `first` on.
static enum study_status run_tries(struct remedies *r, size_t first, struct study_job *job,
                                   const char *checkpoint) {
    struct work work = {r, first};
    const size_t count = r->try_count - first;
    double *result = malloc((count + 1) * REMEDIES_COLUMNS * sizeof *result);
    if (!result) {
        return study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    }
    struct study study = study_job_start(job, "remedies");
    study.count = count;
    study.width = REMEDIES_COLUMNS;
    study.describe = describe;
    study.evaluate = evaluate;
    study.context = &work;
    study.checkpoint = checkpoint;
    study.fingerprint = checkpoint ? fingerprint(&work, count) : 0;
    const enum study_status status = study_run(&study, result, job->message, sizeof job->message);
    for (size_t i = 0; i < count && status == STUDY_DONE; i++) {
        memcpy(r->tries[first + i].row, &result[i * REMEDIES_COLUMNS], sizeof r->tries[0].row);
    }
    free(result);
    return status;
}

enum study_status remedies_run(struct remedies *r, struct study_job *job, const char *checkpoint) {
    enum study_status status = run_tries(r, 0, job, checkpoint);
    if (status != STUDY_DONE) {
        return status;
    }
    remedies_rank(r);
    const size_t first = r->try_count;
    if (!plan_pairs(r)) {
        return study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    }
    status = run_tries(r, first, job, NULL);
    remedies_rank(r);
    return status;
}

void remedies_free(struct remedies *r) {
    free(r->tries);
    r->tries = NULL;
    r->try_count = 0;
    scenario_case_free(&r->resolved);
}
