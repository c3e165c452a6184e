// SPDX-License-Identifier: MIT
// Draws where nothing was observed: from the ranges of the scenario's guesses, as `lowlift
// uncertainty` draws them.
#include "among/among.h"

#include "among/uncertainty.h"
#include "base/clean.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define SHARE 0.2 // of guesses that no table knows, either way
enum { SEED = 1, PATH_SIZE = 160 };

struct column {
    size_t input;
    size_t trim; // of the study, whose range it has
};

// Whether some trim says a field of `trim` itself.
static bool is_own(const struct scenario *scenario, const char *path) {
    struct scenario_entry entry;
    for (size_t t = 0; t < scenario_trim_count(scenario); t++) {
        if (scenario_provenance(scenario, t, field_index_of(path), &entry) && entry.from_trim) {
            return true;
        }
    }
    return false;
}

// A trim's own value stands under its name, so that other trims keep theirs.
static size_t list_columns(const struct uncertainty *u, const struct study_job *job,
                           struct column *column, char (*path)[PATH_SIZE]) {
    const bool only = scenario_trim_count(job->scenario) == 1;
    size_t count = 0;
    for (size_t i = 0; i < u->input_count; i++) {
        const struct uncertainty_input *input = &u->input[i];
        const bool own =
            !only && strncmp(input->field, "trim.", 5) == 0 && is_own(job->scenario, input->field);
        for (size_t t = 0; t < u->trim_count; t++) {
            if (!(input->range[t].low < input->range[t].high)) {
                continue;
            }
            column[count] = (struct column){i, t};
            if (own) {
                snprintf(path[count++], PATH_SIZE, "trims.%s.%s",
                         scenario_trim_name(job->scenario, u->trim[t]), input->field + 5);
            } else {
                snprintf(path[count++], PATH_SIZE, "%s", input->field);
                break;
            }
        }
    }
    return count;
}

static enum study_status fill(struct study_job *job, const struct uncertainty *u,
                              struct draws *out) {
    enum { MOST = UNCERTAINTY_INPUTS_MAX * UNCERTAINTY_TRIMS_MAX };
    struct column column[MOST];
    char path[MOST][PATH_SIZE];
    const char *field[MOST];
    const size_t columns = list_columns(u, job, column, path);
    for (size_t i = 0; i < columns; i++) {
        field[i] = path[i];
    }
    bool fine = draws_start(out, u->draws, columns, field);
    for (size_t i = 0; i < u->draws && fine; i++) {
        out->weight[i] = 1.0 / (double)u->draws;
        for (size_t k = 0; k < columns && fine; k++) {
            fine = draws_set(out, i, k, uncertainty_drawn(u, column[k].trim, i, column[k].input));
        }
    }
    return fine ? STUDY_DONE : study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
}

static enum study_status collect(struct study_job *job, struct uncertainty *u, size_t draws) {
    struct scenario_case resolved = {0};
    enum study_status status = study_job_resolve(job, job->trim[0], &resolved);
    u->kind =
        hardware_kind(resolved.model.actuation, resolved.model.pilot.exhaust, resolved.model.duty);
    u->site = resolved.site;
    scenario_case_free(&resolved);
    if (status != STUDY_DONE) {
        return status;
    }
    u->draws = draws;
    u->seed = SEED;
    u->table_ranges = u->table_shapes = u->table_ties = true;
    u->trim_count = job->trim_count;
    memcpy(u->trim, job->trim, sizeof u->trim);
    if (!uncertainty_collect(u, job->scenario, SHARE, SAMPLE_TRIANGULAR, job->message,
                             sizeof job->message)) {
        return STUDY_BAD_USAGE;
    }
    if (u->input_count == 0) {
        return study_job_fail(job, STUDY_BAD_USAGE,
                              "no value of %s is a guess or has a range: there is nothing to draw",
                              job->path);
    }
    return uncertainty_plan(u, job);
}

bool among_is_number(const struct study_asked *draws) {
    return draws->text[strspn(draws->text, "0123456789")] == '\0';
}

size_t among_count(const struct study_asked *draws) {
    const bool small = among_is_number(draws) && strlen(draws->text) < 8;
    const long number = small ? strtol(draws->text, NULL, 10) : 0;
    return number >= AMONG_GUESSED_MIN && number <= AMONG_GUESSED_MAX ? (size_t)number : 0;
}

enum study_status among_refuse(struct study_job *job, const struct study_asked *draws) {
    return study_job_fail(job, STUDY_BAD_USAGE,
                          "%s: found '%.*s'; allowed a file of draws, or a whole number from %d "
                          "to %d",
                          draws->name, clean_whole(draws->text, 40), draws->text, AMONG_GUESSED_MIN,
                          AMONG_GUESSED_MAX);
}

enum study_status among_guess(struct study_job *job, const struct study_asked *asked,
                              struct draws *out) {
    const size_t number = among_count(asked);
    if (number == 0) {
        return among_refuse(job, asked);
    }
    struct uncertainty *u = calloc(1, sizeof *u);
    if (!u) {
        return study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    }
    enum study_status status = collect(job, u, number);
    status = status == STUDY_DONE ? fill(job, u, out) : status;
    uncertainty_free(u);
    free(u);
    return status;
}
