// SPDX-License-Identifier: MIT
// From a scenario to a match: what is drawn, and what it is held against.
#include "site/match_inside.h"

#include "base/fingerprint.h"

#include <stdio.h>
#include <string.h>

// The trim in place, then the others: their values are drawn along with it, so that the set of
// draws says how each of them would do.
static void take_trims(struct match *match, const struct study_job *job) {
    struct uncertainty *space = &match->space;
    space->trim[space->trim_count++] = job->trim[0];
    for (size_t i = 0;
         i < scenario_trim_count(job->scenario) && space->trim_count < UNCERTAINTY_TRIMS_MAX; i++) {
        if (i != job->trim[0]) {
            space->trim[space->trim_count++] = i;
        }
    }
}

enum study_status match_prepare(struct match *match, struct study_job *job,
                                const struct scenario_case *resolved, double share) {
    struct uncertainty *space = &match->space;
    char message[400];
    space->site = resolved->site;
    space->kind = hardware_kind(resolved->model.actuation, resolved->model.pilot.exhaust,
                                resolved->model.duty);
    space->back_pressure = resolved->model.duty == DUTY_BACK_PRESSURE;
    space->table_ranges = space->table_shapes = space->table_ties = true;
    space->flow_count = 1; // the rows say the flows
    take_trims(match, job);
    if (!uncertainty_collect(space, job->scenario, share, SAMPLE_TRIANGULAR, message,
                             sizeof message)) {
        return study_job_fail(job, STUDY_BAD_USAGE, "%s: %s", job->path, message);
    }
    if (space->input_count == 0) {
        return study_job_fail(job, STUDY_BAD_USAGE,
                              "%s: nothing is uncertain; mark a value as a guess (about 8 lbf) "
                              "or give it a range {value: 8 lbf, low: 2 lbf, high: 20 lbf}",
                              job->path);
    }
    if (space->input_count + OBSERVED_CHANGES_MAX + 1 > STUDY_CHANGES_MAX) {
        return study_job_fail(job, STUDY_BAD_USAGE,
                              "%s: more than %d uncertain values; mark fewer as guesses", job->path,
                              STUDY_CHANGES_MAX - OBSERVED_CHANGES_MAX - 1);
    }
    if (!match_space_factor(match)) {
        return study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    }
    if (!readings_take(&match->readings, job->scenario, resolved, &job->list)) {
        return STUDY_BAD_SCENARIO;
    }
    // Finished work is of this record.
    space->fingerprint =
        fingerprint_bytes(space->fingerprint, match->record.feature, sizeof match->record.feature);
    space->fingerprint = fingerprint_bytes(space->fingerprint, &match->seed, sizeof match->seed);
    const enum study_status status = match_rows_take(match, job, resolved);
    if (status == STUDY_DONE && match->row_count == 0 && match->readings.count == 0) {
        return study_job_fail(job, STUDY_BAD_USAGE,
                              "%s: nothing to match: say what was seen in `observed`, what was "
                              "read in `readings`, or give --record FILE",
                              job->path);
    }
    return status;
}

// A column of the set: a path, the input it is of, and the trim of the space.
struct drawn {
    const char *path;
    size_t input, trim;
};

// A trim's own value stands under its name; one that all trims share stands once, unless some trim
// has its own.
static size_t fields_of(const struct match *match, const struct scenario *scenario,
                        struct arena *memory, struct drawn *field) {
    size_t count = 0;
    for (size_t i = 0; i < match->space.input_count; i++) {
        const struct uncertainty_input *in = &match->space.input[i];
        const bool of_trim = strncmp(in->field, "trim.", 5) == 0;
        bool own = false;
        for (size_t t = 0; of_trim && t < match->space.trim_count; t++) {
            struct scenario_entry entry;
            own = own || !(in->range[t].low < in->range[t].high) ||
                  (scenario_provenance(scenario, match->space.trim[t], field_index_of(in->field),
                                       &entry) &&
                   entry.from_trim);
        }
        for (size_t t = 0; t < (own ? match->space.trim_count : 1); t++) {
            if (in->range[t].low < in->range[t].high) {
                const char *name = scenario_trim_name(scenario, match->space.trim[t]);
                field[count++] = (struct drawn){
                    own ? arena_format(memory, "trims.%s.%s", name, in->field + 5) : in->field, i,
                    t};
            }
        }
    }
    return count;
}

bool match_draws(const struct match *match, const struct scenario *scenario, struct draws *out) {
    enum { FIELDS = UNCERTAINTY_INPUTS_MAX * UNCERTAINTY_TRIMS_MAX };
    struct drawn drawn[FIELDS];
    const char *field[FIELDS];
    struct arena memory = {0};
    const size_t width = match->space.input_count;
    const size_t count = fields_of(match, scenario, &memory, drawn);
    for (size_t k = 0; k < count; k++) {
        field[k] = drawn[k].path;
    }
    bool fine = draws_start(out, match->count, count, field) && !memory.failed;
    out->worth = match->kin; // 0: what the weights say
    for (size_t i = 0; i < match->count && fine; i++) {
        out->weight[i] = match->weight[i];
        for (size_t k = 0; k < count && fine; k++) {
            const double *score = &match->score[i * width];
            fine = draws_set(out, i, k, match_value(match, score, drawn[k].input, drawn[k].trim));
        }
    }
    arena_free(&memory);
    return fine;
}
