// SPDX-License-Identifier: MIT
#include "study/study.h"

#include "base/fingerprint.h"
#include "base/progress.h"
#include "base/ranks.h"
#include "base/threads.h"
#include "solve/integrate.h"
#include "study/draws.h"
#include "study/study_ledger.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct work {
    const struct study *study;
    const struct scenario *scenario; // read-only; each point changes a copy
    struct study_ledger ledger;
    struct progress progress;
    bool stop; // the checkpoint or memory fails; read and written by all threads
    bool no_memory;
};

unsigned long study_fingerprint_points(unsigned long start, study_describe describe, void *context,
                                       size_t count) {
    unsigned long hash = start;
    for (size_t i = 0; i < count; i++) {
        struct study_point point;
        describe(context, i, &point);
        hash = fingerprint_bytes(hash, &point.trim, sizeof point.trim);
        for (size_t k = 0; k < point.change_count; k++) {
            const struct study_change *c = &point.change[k];
            hash = fingerprint_bytes(hash, c->field, strlen(c->field) + 1);
            hash = fingerprint_bytes(hash, &c->si, sizeof c->si);
        }
    }
    return hash;
}

static void fill_unknown(double *numbers, size_t count) {
    for (size_t i = 0; i < count; i++) {
        numbers[i] = (double)NAN;
    }
}

// What is wrong with a changed scenario is no message to the user: a study may well leave the
// range in which the scenario makes sense, and its row says so. False without memory.
static bool evaluate(const struct work *w, size_t index, double *row) {
    const struct study *study = w->study;
    struct study_point point = {0};
    study->describe(study->context, index, &point);
    struct scenario *own = scenario_copy(w->scenario);
    if (!own) {
        return false;
    }
    struct diagnostics list = {0};
    bool fine = point.trim < scenario_trim_count(own);
    if (study->draws) {
        fine = draws_apply(study->draws, point.draw, own, &list) && fine;
    }
    for (size_t i = 0; i < point.change_count; i++) {
        fine = scenario_set_si(own, point.change[i].field, point.change[i].si) && fine;
    }
    struct scenario_case resolved = {0};
    fine = scenario_resolve(own, point.trim, &resolved, &list) && fine;
    resolved.run.screening = study->screening;
    bool no_memory = list.no_memory;
    if (!no_memory) {
        study->evaluate(study->context, index, fine ? &resolved : NULL, row);
    }
    scenario_case_free(&resolved);
    diagnostics_free(&list);
    scenario_free(own);
    return !no_memory;
}

static bool must_stop(struct work *w) {
    bool stop;
#pragma omp atomic read
    stop = w->stop;
    return stop || integrate_interrupted();
}

static void finish_point(struct work *w, size_t index) {
    progress_step(&w->progress);
    // After a failure the end of the file is not known to be whole.
    if (!w->stop && !study_ledger_add(&w->ledger, index)) {
#pragma omp atomic write
        w->stop = true;
    }
}

static void run_point(struct work *w, size_t index) {
    double *row = &w->ledger.result[index * w->study->width];
    if (w->ledger.done[index] || must_stop(w)) {
        return;
    }
    bool whole = evaluate(w, index, row);
    if (!whole) {
#pragma omp atomic write
        w->no_memory = true;
#pragma omp atomic write
        w->stop = true;
    }
    // A signal may have cut the point short.
    if (!whole || integrate_interrupted()) {
        fill_unknown(row, w->study->width);
        return;
    }
#pragma omp critical(study)
    finish_point(w, index);
}

// Every so-manieth point, so that each rank gets cheap and dear ones.
static void run_points(struct work *w) {
    size_t first = ranks_own(), step = ranks_count(), count = w->study->count;
    size_t own = first < count ? (count - first - 1) / step + 1 : 0, before = 0;
    for (size_t i = 0; i < own; i++) {
        before += w->ledger.done[first + i * step];
    }
    w->progress = progress_start(w->study->label, own, before);
    int threads = threads_to_be_had(w->study->threads);
    (void)threads; // unused without OpenMP
#pragma omp parallel for schedule(dynamic, 1) num_threads(threads)
    for (size_t i = 0; i < own; i++) {
        run_point(w, first + i * step);
    }
    progress_end(&w->progress);
}

static enum study_status tell(enum study_status status, const char *text, char *message,
                              size_t size) {
    snprintf(message, size, "%s", text);
    return status;
}

static enum study_status run_and_keep(struct work *w, char *message, size_t size) {
    const char *said = w->ledger.file.message;
    switch (study_ledger_open(&w->ledger)) {
    case CHECKPOINT_READY:
        break;
    case CHECKPOINT_REFUSED:
        return tell(STUDY_BAD_CHECKPOINT, said, message, size);
    case CHECKPOINT_FAILED:
        return tell(STUDY_OUTPUT_FAILED, said, message, size);
    }
    run_points(w);
    if (ranks_largest(w->no_memory) > 0) {
        study_ledger_close(&w->ledger);
        return tell(STUDY_NO_MEMORY, "out of memory", message, size);
    }
    if (study_ledger_close(&w->ledger) != CHECKPOINT_READY || ranks_largest(w->stop) > 0) {
        return tell(STUDY_OUTPUT_FAILED, said, message, size);
    }
    for (size_t i = 0; i < w->study->count; i++) {
        if (!w->ledger.done[i]) {
            return tell(STUDY_INTERRUPTED, "stopped by a signal", message, size);
        }
    }
    return STUDY_DONE;
}

// NULL after a message: the first of the errors.
static struct scenario *open_scenario(const struct study *study, char *message, size_t size) {
    struct diagnostics list = {0};
    struct scenario *scenario =
        scenario_open(study->path, study->overrides, study->override_count, &list);
    if (!scenario && list.count == 0) {
        snprintf(message, size, "out of memory");
    } else if (!scenario) {
        diagnostics_sort(&list);
        const struct diagnostic *d = &list.items[0];
        if (d->place.line > 0) {
            snprintf(message, size, "%s:%d:%d: %s", d->place.file, d->place.line, d->place.column,
                     d->message);
        } else {
            snprintf(message, size, "%s: %s", d->place.file, d->message);
        }
    }
    diagnostics_free(&list);
    return scenario;
}

enum study_status study_run(const struct study *study, double *result, char *message,
                            size_t message_size) {
    struct work w = {.study = study, .ledger = {.study = study, .result = result}};
    fill_unknown(result, study->count * study->width);
    tell(STUDY_DONE, "another rank could not begin", message, message_size);
    struct scenario *scenario = open_scenario(study, message, message_size);
    w.scenario = scenario;
    w.ledger.done = calloc(study->count + 1, sizeof *w.ledger.done);
    enum study_status status = !scenario ? STUDY_BAD_SCENARIO : STUDY_DONE;
    if (!w.ledger.done) {
        status = tell(STUDY_NO_MEMORY, "out of memory", message, message_size);
    }
    status = (enum study_status)ranks_largest((int)status);
    if (status == STUDY_DONE) {
        tell(STUDY_DONE, "", message, message_size);
        status = run_and_keep(&w, message, message_size);
    }
    free(w.ledger.done);
    scenario_free(scenario);
    return status;
}
