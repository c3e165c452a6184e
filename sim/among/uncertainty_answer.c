// SPDX-License-Identifier: MIT
// What `lowlift uncertainty` answers, in words.
#include "among/among_runs.h"
#include "among/uncertainty_told.h"
#include "answer/column.h"
#include "field/field.h"

#include <math.h>
#include <stdlib.h>

// A verdict that nearly all draws share does not hang on the uncertain values.
#define SETTLED 0.95
// A value that is known no better than within this factor is a wide guess.
#define WIDE 2.0

// --- What was drawn

static void say_heading(struct answer *answer, const struct uncertainty_told *told) {
    static const struct answer_column ranges =
        COLUMN_COUNT("with_a_range", "values with a stated range");
    static const struct answer_column guesses = COLUMN_COUNT("guesses", "values that are guesses");
    static const struct answer_column by_hardware =
        COLUMN_COUNT("guesses_by_hardware", "of all these within hardware that exists");
    static const struct answer_column within =
        COLUMN_OF("guesses_within", "guesses within, either way", UNIT_FRACTION);
    static const struct answer_column others =
        COLUMN_OF("guesses_within", "other guesses within, either way", UNIT_FRACTION);
    static const struct answer_column draws = COLUMN_COUNT("draws", "draws");
    static const struct answer_column seed = COLUMN_COUNT("seed", "seed");
    static const struct answer_column confidence = {.key = "confidence",
                                                    .name = "confidence of the bounds",
                                                    .kind = UNIT_FRACTION,
                                                    .hidden = ANSWER_TERMINAL};
    const struct uncertainty *study = told->study;
    size_t stated = 0, known = 0;
    for (size_t i = 0; i < study->input_count; i++) {
        stated += study->input[i].stated;
        known += study->input[i].hardware != NULL;
    }
    answer_say(answer, ANSWER_HEADING, "%s", answer->title[0] ? answer->title : "scenario");
    answer_fact(answer, &ranges, (double)stated, NULL);
    answer_fact(answer, &guesses, (double)(study->input_count - stated), NULL);
    if (known > 0) {
        answer_fact(answer, &by_hardware, (double)known, NULL);
    }
    answer_fact(answer, known > 0 ? &others : &within, told->share, NULL);
    answer_fact(answer, &draws, (double)study->draws, NULL);
    answer_fact(answer, &seed, (double)study->seed, NULL);
    answer_fact(answer, &confidence, UNCERTAINTY_CONFIDENCE, NULL);
}

// What geometry ties is told by name, since nobody asked for it.
static void note_together(struct answer *answer, const struct uncertainty *study) {
    const char *tied = "";
    for (size_t i = 0; i < study->input_count; i++) {
        bool has = false;
        for (size_t k = 0; k < study->pair_count; k++) {
            const struct uncertainty_pair *pair = &study->pair[k];
            has = has || (!pair->asked && (pair->a == i || pair->b == i));
        }
        if (has) {
            tied = answer_keep(answer, "%s%s%s", tied, tied[0] ? ", " : "", study->input[i].field);
        }
    }
    if (tied[0]) {
        answer_say(answer, ANSWER_NOTE,
                   "drawn together, since their sizes go together (lowlift fields --hardware): %s",
                   tied);
    }
    if (study->pair_count > 0) {
        answer_say(answer, ANSWER_NOTE,
                   "values drawn together carry each other's correlation below");
    }
}

// Nothing was observed: on how wide a guess it rests, by the widest of all.
static void note_width(struct answer *answer, const struct uncertainty *study, size_t rows) {
    size_t wide = 0, widest = 0;
    double most = 0.0;
    for (size_t i = 0; i < study->input_count; i++) {
        double factor = 0.0;
        for (size_t t = 0; t < study->trim_count; t++) {
            const struct sample_range *range = &study->input[i].range[t];
            const bool ratio = range->low > 0.0 && range->low < range->high;
            factor = fmax(factor, ratio ? range->high / range->low : 0.0);
        }
        wide += factor > WIDE;
        widest = factor > most ? i : widest;
        most = fmax(most, factor);
    }
    if (wide > 0) {
        answer_say(answer, rows > 0 ? ANSWER_WARNING : ANSWER_NOTE,
                   "%s it rests on %zu values known no better than "
                   "within a factor of %g, the widest %s (a factor of %.2g)",
                   rows > 0 ? "what was seen on site (`observed`) did not go into this, so it is "
                              "not about the regulator there: `lowlift match` keeps the draws that "
                              "do what was seen, --draws asks them;"
                            : "nothing observed went into this:",
                   wide, WIDE, study->input[widest].field, most);
    }
}

static void note_drawn(struct answer *answer, const struct uncertainty_told *told) {
    const char *alone = "";
    for (size_t i = 0; field_at(i) && told->share > 0.0; i++) {
        if (uncertainty_left_alone(told->study, told->scenario, i)) {
            alone =
                answer_keep(answer, "%s%s%s%s%s", alone, alone[0] ? ", " : "", field_at(i)->section,
                            field_at(i)->section[0] ? "." : "", field_at(i)->name);
        }
    }
    note_together(answer, told->study);
    note_width(answer, told->study, scenario_observed_count(told->scenario));
    if (alone[0]) {
        answer_say(answer, ANSWER_NOTE,
                   "guesses left as they are, because a share of them means nothing; give them low "
                   "and high: %s",
                   alone);
    }
}

// --- What to do about it

static size_t most_common(const struct uncertainty_summary *s) {
    size_t best = 0;
    for (size_t k = 1; k < SEVERITY_COUNTED; k++) {
        best = s->count[k] > s->count[best] ? k : best;
    }
    return best;
}

static void note_left_out(struct answer *answer, const char *label, size_t count, const char *why) {
    if (count > 0) {
        answer_label(answer, ANSWER_NOTE, label, "besides, %zu %s left out: %s", count,
                     count == 1 ? "draw is" : "draws are", why);
    }
}

// "all of 200 draws; 95 % sure more than 98 %": rounded down, and never 100 %.
static const char *share_in_words(struct answer *answer, const struct uncertainty_summary *s,
                                  size_t outcome) {
    const double least = fmin(floor(100.0 * s->share[outcome].low), 99.0);
    const double sure = 100.0 * UNCERTAINTY_CONFIDENCE;
    return s->count[outcome] == s->draws
               ? answer_keep(answer, "all of %zu draws; %.0f %% sure more than %.0f %%", s->draws,
                             sure, least)
               : answer_keep(answer, "%zu of %zu draws; %.0f %% sure more than %.0f %%",
                             s->count[outcome], s->draws, sure, least);
}

static const char *advice(struct answer *answer, const struct uncertainty_told *told,
                          const struct uncertainty_summary *s) {
    const size_t common = most_common(s);
    if (s->draws == 0) {
        return "no draw can be your regulator: look at the ranges";
    }
    if ((double)s->count[common] >= SETTLED * (double)s->draws) {
        return answer_keep(answer, "the verdict hardly hangs on these values: %s in %s%s",
                           severity_outcome_name(common), share_in_words(answer, s, common),
                           s->share[common].low < SETTLED ? "; more draws make that surer" : "");
    }
    if (s->telling == 0) {
        return "the verdict hangs on these values, on no single one of them alone";
    }
    const struct uncertainty_input *input = told->study->input;
    return answer_keep(answer,
                       "the verdict hangs on these values: measure %s first%s%s, put what you find "
                       "into the scenario, and draw again",
                       input[s->effect[0].input].field, s->telling > 1 ? ", then " : "",
                       s->telling > 1 ? input[s->effect[1].input].field : "");
}

static void say_case(struct answer *answer, const struct uncertainty_told *told, size_t index) {
    const struct uncertainty_summary *s = &told->summary[index];
    const char *label =
        answer_keep(answer, "trim %s: ", uncertainty_told_name(answer, told, index));
    note_left_out(answer, label, s->count[SEVERITY_OUT_OF_REACH],
                  "with such values no travel holds the set pressure at today's flow, which yours "
                  "does");
    note_left_out(answer, label, s->count[SEVERITY_IMPOSSIBLE], "the values contradict each other");
    if (s->telling > 0 && s->measure == SEVERITY_GROWTH) {
        answer_label(answer, ANSWER_NOTE, label,
                     "nearly all draws are equally severe, so values are ranked by how slowly the "
                     "slowest small motion dies out");
    }
    answer_label(answer, ANSWER_FINDING, label, "%s", advice(answer, told, s));
}

// --- All of it

static enum study_status tell(struct study_job *job, const struct scenario_case *resolved,
                              struct uncertainty_told *told, bool listed, struct answer *answer) {
    const size_t cases = uncertainty_told_cases(told), flows = uncertainty_flow_count(told->study);
    struct uncertainty_summary *summary = calloc(cases, sizeof *summary);
    bool fine = summary != NULL;
    for (size_t i = 0; i < cases && fine; i++) {
        fine = uncertainty_summarise(told->study, i / flows, i % flows, &summary[i]);
    }
    if (!fine) {
        free(summary);
        return study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    }
    told->summary = summary;
    study_job_answer(job, resolved, answer);
    answer->cautions = true;
    say_heading(answer, told);
    uncertainty_told_inputs(answer, told, listed);
    note_drawn(answer, told);
    uncertainty_told_draws(answer, told);
    uncertainty_told_outcomes(answer, told);
    uncertainty_told_values(answer, told);
    answer_gap(answer);
    for (size_t i = 0; i < cases; i++) {
        say_case(answer, told, i);
    }
    uncertainty_told_picture(answer, told);
    free(summary);
    return STUDY_DONE;
}

enum study_status uncertainty_answer(struct study_job *job, const struct study_asked *asked,
                                     struct answer *answer) {
    const struct study_asked *draws = &asked[UNCERTAINTY_DRAWS];
    if (draws->text && !among_is_number(draws)) {
        return among_runs(job, draws, &asked[UNCERTAINTY_MOST], asked[UNCERTAINTY_CHECKPOINT].text,
                          answer);
    }
    struct uncertainty *study = calloc(1, sizeof *study);
    if (!study) {
        return study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    }
    struct uncertainty_told told = {.study = study, .scenario = job->scenario};
    struct scenario_case resolved = {0}; // the first trim, for its units
    enum study_status status = study_job_resolve(job, job->trim[0], &resolved);
    if (status == STUDY_DONE) {
        study->site = resolved.site;
        study->kind = hardware_kind(resolved.model.actuation, resolved.model.pilot.exhaust,
                                    resolved.model.duty);
        study->back_pressure = resolved.model.duty == DUTY_BACK_PRESSURE;
        status = uncertainty_take(study, job, asked, &told.share);
    }
    if (status == STUDY_DONE) {
        status = uncertainty_run(study, job, asked[UNCERTAINTY_CHECKPOINT].text);
    }
    if (status == STUDY_DONE) {
        status = tell(job, &resolved, &told, asked[UNCERTAINTY_LIST].text != NULL, answer);
    }
    uncertainty_free(study);
    free(study);
    scenario_case_free(&resolved);
    return status;
}
