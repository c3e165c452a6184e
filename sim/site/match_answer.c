// SPDX-License-Identifier: MIT
// What `lowlift match` answers, in words.
#include "site/match_inside.h"

#include "answer/column.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

// Rows are met more easily than a record, and should take minutes.
enum { WANTED = 200, MOST = 1200, MOST_ROWS = 1000, SEED = 1 };

#define SHARE_DEFAULT 0.2
// Effective draws below which shares say little.
#define FEW 30.0
// In tolerances of the record: beyond, its motion is not met by anything that was tried.
#define RECORD_MET 3.0

// --- Asking

static enum study_status take_record(struct match *match, struct study_job *job,
                                     const struct study_asked *asked,
                                     const struct scenario_case *resolved) {
    char why[300];
    const struct match_record_asked options = {.path = asked[MATCH_RECORD].text,
                                               .column = asked[MATCH_COLUMN].text,
                                               .unit = asked[MATCH_UNIT].text,
                                               .chamber = asked[MATCH_CHAMBER].text,
                                               .travel = asked[MATCH_TRAVEL].text,
                                               .site = resolved->site,
                                               .set_pressure = resolved->set_pressure};
    if (!options.path) {
        return STUDY_DONE;
    }
    if (match_record_read(&match->record, &options, why, sizeof why, &job->list)) {
        return STUDY_DONE;
    }
    if (why[0] == '\0') {
        return STUDY_BAD_SCENARIO;
    }
    diagnostics_error(&job->list, (struct place){options.path, 0, 0},
                      "no record to match: %s; `lowlift record` says more", why);
    return STUDY_BAD_SCENARIO;
}

static enum study_status take(struct match *match, struct study_job *job,
                              const struct study_asked *asked,
                              const struct scenario_case *resolved) {
    double share = SHARE_DEFAULT;
    const struct unit_context none = {0};
    match->wanted = asked[MATCH_DRAWS].text ? (size_t)asked[MATCH_DRAWS].count : WANTED;
    match->most = asked[MATCH_MOST].text     ? (size_t)asked[MATCH_MOST].count
                  : asked[MATCH_RECORD].text ? MOST
                                             : MOST_ROWS;
    match->seed = asked[MATCH_SEED].text ? (uint64_t)asked[MATCH_SEED].count : SEED;
    match->checkpoint = asked[MATCH_CHECKPOINT].text;
    enum study_status status =
        study_job_quantity(job, &asked[MATCH_GUESSES], UNIT_FRACTION, &none, (double)NAN, &share);
    if (status == STUDY_DONE && !(share >= 0.0 && share < 1.0)) {
        return study_job_fail(job, STUDY_BAD_USAGE,
                              "--guesses: found '%s'; allowed 0 %% to below 100 %%",
                              asked[MATCH_GUESSES].text);
    }
    status = status == STUDY_DONE ? take_record(match, job, asked, resolved) : status;
    return status == STUDY_DONE ? match_prepare(match, job, resolved, share) : status;
}

// --- Words

static void say_heading(struct answer *answer, const struct match *match) {
    static const struct answer_column drawn = COLUMN_COUNT("drawn", "drawn from the ranges");
    static const struct answer_column runs =
        COLUMN_COUNT("simulated", "of these, simulated (the rest fell by their eigenvalues)");
    static const struct answer_column moved =
        COLUMN_COUNT("moved", "more, simulated while those that fit were moved about");
    static const struct answer_column kept = COLUMN_COUNT("fitting", "regulators that fit");
    static const struct answer_column effective = {
        .key = "effective", .name = "effective number of these", .digits = 3};
    static const struct answer_column seed = COLUMN_COUNT("seed", "seed");
    answer_say(answer, ANSWER_HEADING, "%s", answer->title[0] ? answer->title : "scenario");
    answer_fact(answer, &drawn, (double)match->drawn, NULL);
    answer_fact(answer, &runs, (double)(match->simulated - match->moved), NULL);
    if (match->moved > 0) {
        answer_fact(answer, &moved, (double)match->moved, NULL);
    }
    answer_fact(answer, &kept, (double)match->count, NULL);
    answer_fact(answer, &effective, match_effective(match), NULL);
    answer_fact(answer, &seed, (double)match->seed, NULL);
}

static const char *row_words(struct answer *answer, const struct match_row *row) {
    return row->seen ? answer_keep(answer, "at %s: %s%s%s%s", row->name, row->seen->said,
                                   row->seen->since[0] ? ", since " : "", row->seen->since,
                                   row->recorded ? ", and recorded" : "")
                     : row->name;
}

// "nothing fits" with the nearest of all that was tried.
static void say_nothing(struct answer *answer, const struct match *match) {
    size_t hardest = 0;
    double most = -1.0;
    for (size_t r = 0; r < match->row_count; r++) {
        const double asked = (double)match->looked[r] - (double)match->unasked;
        const double share = (double)match->against[r] / fmax(asked, 1.0);
        hardest = share > most ? r : hardest;
        most = fmax(share, most);
    }
    answer_say(answer, ANSWER_FINDING,
               "nothing in the ranges fits: of %zu regulators drawn, none does all that was seen",
               match->drawn);
    if (match->row_count == 0) {
        return;
    }
    const struct match_row *row = &match->row[match->miss_row];
    answer_say(answer, ANSWER_FINDING, "the nearest misses the row \"%s\"%s",
               row_words(answer, row),
               isfinite(match->miss_distance)
                   ? answer_keep(answer, "%s, by %.1f times what eye, ear and gauge may be off",
                                 match->miss_fall == FALL_RECORD ? ": its motion is not that of "
                                                                   "the record"
                                                                 : "",
                                 match->miss_distance)
                   : answer_keep(answer, ": %s", match_falls_word(match->miss_fall)));
    answer_say(answer, ANSWER_FINDING, "the row that most of them speak against is \"%s\": %s",
               row_words(answer, &match->row[hardest]), match_falls_row(answer, match, hardest));
    answer_say(answer, ANSWER_FINDING,
               "so one of these is wrong: that row, a value that is stated as known, or a range "
               "that is too narrow; or something is at work that the model does not have (dirt, "
               "water, wear, a leak)");
}

static void say_record(struct answer *answer, const struct match *match,
                       const struct match_best *best) {
    if (!match->record.enough) {
        return;
    }
    const double *f = match->record.feature;
    answer_label(answer, ANSWER_NOTE, "record: ", "swing %s, %.3g Hz, %zu cycles%s%s",
                 answer_text(answer, UNIT_PRESSURE_DROP, f[FEATURE_SWING]), f[FEATURE_FREQUENCY],
                 match->record.cycles,
                 match->record.beside[BESIDE_CHAMBER] ? "; with the chamber pressure" : "",
                 match->record.beside[BESIDE_TRAVEL] ? "; with the travel" : "");
    if (best->found) {
        const double *b = &best->result[MATCH_FEATURES];
        answer_label(answer, ANSWER_NOTE, "nearest wave: ",
                     "swing %s, %.3g Hz, wave within %.0f %% of the swing, by a search of %zu runs "
                     "from the best draws",
                     answer_text(answer, UNIT_PRESSURE_DROP, b[FEATURE_SWING]),
                     b[FEATURE_FREQUENCY], 100.0 * best->misfit, best->runs);
        if (best->misfit > 0.1 * RECORD_MET) {
            answer_label(answer, ANSWER_WARNING, "record: ",
                         "no regulator within the ranges makes this wave: it may be another "
                         "regulator's, or of another flow, or something is at work that the model "
                         "does not have");
        }
    }
}

static void say_few(struct answer *answer, const struct match *match) {
    const double effective = match_effective(match);
    if (effective < FEW) {
        answer_say(answer, ANSWER_WARNING,
                   "only %.0f effective draws: shares and intervals are rough; more runs (--most) "
                   "make them surer",
                   effective);
    }
    answer_say(answer, ANSWER_NOTE,
               "a model, and ranges that are common practice: a value outside of its range is "
               "never found");
}

static enum study_status tell(struct study_job *job, const struct scenario_case *resolved,
                              const struct match *match, const struct match_best *best,
                              struct answer *answer) {
    const struct match_told told = {match, best, job->scenario};
    study_job_answer(job, resolved, answer);
    answer->cautions = true;
    say_heading(answer, match);
    match_tables_rows(answer, &told);
    if (match->count == 0) {
        say_nothing(answer, match);
        return STUDY_DONE;
    }
    for (size_t r = 0; r < match->row_count; r++) {
        match_falls_note(answer, match, r);
    }
    match_tables_values(answer, &told);
    match_tables_pairs(answer, &told);
    say_record(answer, match, best);
    say_few(answer, match);
    match_tables_words(answer, &told);
    if (!match_tables_draws(answer, &told)) {
        return study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    }
    match_picture_add(answer, &told);
    return STUDY_DONE;
}

enum study_status match_answer(struct study_job *job, const struct study_asked *asked,
                               struct answer *answer) {
    struct match *match = calloc(1, sizeof *match);
    struct match_best *best = calloc(1, sizeof *best);
    struct scenario_case resolved = {0};
    if (!match || !best) {
        free(match);
        free(best);
        return study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    }
    enum study_status status = study_job_resolve(job, job->trim[0], &resolved);
    status = status == STUDY_DONE ? take(match, job, asked, &resolved) : status;
    status = status == STUDY_DONE ? match_find(match, job) : status;
    if (status == STUDY_DONE && match->count > 0 && match->record.enough) {
        status = match_fit(match, job, best);
    }
    status = status == STUDY_DONE ? tell(job, &resolved, match, best, answer) : status;
    match_free(match);
    free(best->score);
    free(match);
    free(best);
    scenario_case_free(&resolved);
    return status;
}
