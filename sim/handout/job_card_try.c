// SPDX-License-Identifier: MIT
#include "handout/job_card_try.h"

#include "answer/column.h"
#include "remedy/remedies_words.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { TOLD_MOST = 6 };

static struct answer_table *begin_table(struct answer *answer) {
    static const struct answer_column columns[] = {
        COLUMN_WORD("action", "try"), COLUMN_WORD("change", "in the model"),
        COLUMN_WORD("effect", "then"), COLUMN_WORD("parts", "parts"),
        COLUMN_WORD("caution", "mind")};
    return answer_table(answer, "try", NULL, columns, sizeof columns / sizeof columns[0]);
}

// Whether the change of trims has done it already.
static bool is_done(const struct study_job *job, size_t from, size_t to, const char *field) {
    const double before = scenario_get_si(job->scenario, from, field);
    const double after = scenario_get_si(job->scenario, to, field);
    return strncmp(field, "trim.", 5) == 0 && isfinite(before) && before != after;
}

// The order is theirs: without parts first, then by effect. Another trim is not a remedy here.
static size_t add_entries(struct answer *answer, struct answer_table *table,
                          const struct remedies *r, const struct study_job *job, size_t from) {
    const size_t to = job->trim[1];
    size_t told = 0;
    for (size_t i = 0; i < r->single_count && told < TOLD_MOST; i++) {
        const struct remedies_entry *e = &r->entry[i];
        if (e->count != 1 || e->effect > REMEDIES_HELPS ||
            is_done(job, from, to, e->remedy[0]->field)) {
            continue;
        }
        answer_word(table, e->remedy[0]->action);
        answer_word(table, remedies_words_change(answer, r, &r->tries[e->best]));
        answer_words(table, "%s: %s", remedies_effect_name(e->effect),
                     remedies_words_day(answer, &r->tries[e->best]));
        answer_word(table, e->parts ? "yes" : "none");
        answer_word(table, e->remedy[0]->caution);
        told++;
    }
    return told;
}

// What is found for one trim of the job.
struct trying {
    const struct study_asked *kick;
    struct answer *answer;
    struct answer_table *table;
    size_t told; // rows added
};

static enum study_status try_trim(struct study_job *job, size_t index, bool looks,
                                  struct trying *t) {
    const struct study_asked asked[REMEDIES_ASKED_COUNT] = {
        [REMEDIES_KICK] = {"--kick", t->kick->text ? t->kick->text : "0", 0},
        [REMEDIES_STEPS] = {"--steps", "1", 1}};
    const size_t first = job->trim[0];
    const size_t count = job->trim_count;
    struct remedies *r = calloc(1, sizeof *r);
    if (!r) {
        return study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    }
    job->trim[0] = job->trim[index];
    job->trim_count = 1;
    enum study_status status = remedies_open(r, job, asked);
    status = status == STUDY_DONE ? remedies_run(r, job, NULL) : status;
    if (status == STUDY_DONE) {
        t->told = add_entries(t->answer, t->table, r, job, first);
        if (looks) {
            remedies_answer_looks(t->answer, r);
        }
    }
    job->trim[0] = first;
    job->trim_count = count;
    remedies_free(r);
    free(r);
    return status;
}

enum study_status job_card_try(struct study_job *job, const struct study_asked *kick,
                               struct answer *answer) {
    struct trying t = {.kick = kick, .answer = answer, .table = begin_table(answer)};
    enum study_status status = try_trim(job, 1, true, &t);
    if (status == STUDY_DONE && t.told > 0) {
        answer_say(answer, ANSWER_FINDING, "Of the model with the new trim at today's flow:");
        return status;
    }
    if (status == STUDY_DONE) {
        status = try_trim(job, 0, false, &t);
    }
    if (status == STUDY_DONE) {
        answer_say(answer, ANSWER_FINDING,
                   t.told > 0
                       ? "With the new trim the model has nothing to calm at today's flow. What "
                         "calms it with the present trim is the best hint it has:"
                       : "The model has nothing to calm at today's flow, with either trim, or "
                         "nothing that it tried calms it. Look at the list above, and measure.");
    }
    return status;
}
