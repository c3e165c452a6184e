// SPDX-License-Identifier: MIT
// What `lowlift remedies` answers: its options, and everything in words.
#include "answer/column.h"

#include "base/clean.h"
#include "field/field.h"
#include "remedy/remedies_words.h"
#include "study/observed_check.h"
#include "study/study_subject.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

// Default range of flows: shares of today's, and the travel at which the largest is passed.
#define LOWEST_SHARE 0.05
#define HIGHEST_AT_LEAST 2.0
#define HIGHEST_AT_MOST 30.0
#define TRAVEL_SHARE 0.9
enum { STEPS_DEFAULT = 2 };

// --- As it stands

struct look {
    const char *label, *field, *text;
};

// Our judgement of what descriptions most often get wrong; no source.
static const struct look looks[] = {
    {"feedback    ", "pilot.feedback_area",
     "does the chamber really push the pilot back, and how hard (proportional band)?"},
    {"chamber     ", "actuator.chamber_volume",
     "chamber with its loading line: measure the line's length and bore"},
    {"gas space   ", "vessel.volume", "true gas space: less the liquid, plus the piping up to it"},
    {"sense line  ", "sense.bore",
     "its true bore, length and tap; wet, waxed, or a valve half shut?"},
    {"play        ", "actuator.backlash", "play in the linkage between actuator and plug"},
    {"slugs       ", "inflow.rate", "slugs and surges: record the flow, and give it as a schedule"},
    {"surges      ", "demand.rate",
     "surges of the demand: record the flow, and give it as a schedule"},
    {"friction    ", "friction.kinetic", "stem and packing: pull by hand, and note the force"},
};

// What to look at on site when the model is steady and the regulator is not.
void remedies_answer_looks(struct answer *answer, const struct remedies *r) {
    answer_say(answer, ANSWER_LINE, "if the regulator on site hunts all the same, look at");
    for (size_t i = 0; i < sizeof looks / sizeof looks[0]; i++) {
        struct scenario_entry entry;
        if (!scenario_provenance(r->scenario, r->trim, field_index_of(looks[i].field), &entry) ||
            !entry.applies) {
            continue;
        }
        const bool given = entry.provenance != PROVENANCE_NONE && entry.text;
        const char *text = given ? entry.text : "not given";
        answer_label(answer, ANSWER_LINE, answer_keep(answer, "  %s", looks[i].label),
                     "%s (%s: %s%.*s)", looks[i].text, looks[i].field,
                     entry.provenance == PROVENANCE_DEFAULT ? "not given, taken as " : "",
                     clean_whole(text, 60), text);
    }
}

static void say_standing(struct answer *answer, const struct remedies *r) {
    const struct remedies_try *today = &r->tries[0];
    const bool calm = today->row[SEVERITY_OUTCOME] <= VERDICT_FORCED;
    const bool inside = remedies_lowest(today) <= r->flow;
    if (calm && inside) {
        answer_say(answer, ANSWER_FINDING,
                   "It is steady as it stands: there is nothing to cure at today's flow.");
        remedies_answer_looks(answer, r);
    } else if (!calm && inside && r->kick == 0.0) {
        answer_say(answer, ANSWER_NOTE,
                   "It moves, yet small motions die out: it hunts only when disturbed. Without a "
                   "kick every remedy looks alike: give one with --kick.");
    } else if (calm) {
        answer_say(answer, ANSWER_NOTE,
                   "It comes to rest in this run, but today's flow is outside its steady range.");
    }
}

static void say_heading(struct answer *answer, const struct remedies *r) {
    static const struct answer_column trim = COLUMN_TRIM, flow = COLUMN_FLOW, kick = COLUMN_KICK;
    const struct remedies_try *today = &r->tries[0];
    answer_say(answer, ANSWER_HEADING, "%s", answer->title[0] ? answer->title : "scenario");
    answer_fact(answer, &trim, (double)NAN, r->resolved.trim_name);
    answer_fact(answer, &flow, r->flow, NULL);
    answer_fact(answer, &kick, r->kick, r->kick > 0.0 ? NULL : "none; small motions must die out");
    answer_label(answer, ANSWER_FINDING, "as it stands, at today's flow: ", "%s",
                 remedies_words_day(answer, today));
    answer_label(answer, ANSWER_FINDING,
                 r->kick > 0.0 ? "kicked up or down: " : "left alone: ", "%s (looked at %s to %s)",
                 remedies_words_range(answer, r, today), answer_text(answer, UNIT_FLOW, r->low),
                 answer_text(answer, UNIT_FLOW, r->high));
    say_standing(answer, r);
    if (r->steps > 1) {
        answer_say(answer, ANSWER_NOTE,
                   "each remedy is tried at several strengths, one at a time; its best is shown");
    }
}

// --- Remedies

static void say_entry(struct answer *answer, const struct remedies *r,
                      const struct remedies_entry *e) {
    const struct remedies_try *best = &r->tries[e->best];
    const char *change = remedies_words_change(answer, r, best);
    const char *action = e->pair         ? (e->parts ? "with parts" : "without parts")
                         : e->count == 0 ? "change to this trim of the scenario"
                                         : e->remedy[0]->action;
    answer_label(answer, ANSWER_LINE, answer_keep(answer, "%-17s", remedies_effect_name(e->effect)),
                 "%s: %s", remedies_words_name(answer, r, e), action);
    if (change[0]) {
        answer_label(answer, ANSWER_LINE, "    try   ", "%s", change);
    }
    answer_label(answer, ANSWER_LINE, "    then  ", "%s; at today's flow: %s",
                 remedies_words_range(answer, r, best), remedies_words_day(answer, best));
    if (e->effect == REMEDIES_CURES && e->slightest != e->best) {
        answer_label(answer, ANSWER_LINE, "    less  ", "%s cures it already",
                     remedies_words_change(answer, r, &r->tries[e->slightest]));
    }
    if (e->too_much) {
        answer_label(answer, ANSWER_LINE, "    not   ",
                     "more than that: a stronger change is worse again");
    }
    if (!e->pair && e->count == 1) {
        answer_label(answer, ANSWER_LINE, "    mind  ", "%s", e->remedy[0]->caution);
    }
}

// Names of the entries from `first` to `end` of one effect, with commas between; "" if none.
static const char *names_of(struct answer *answer, const struct remedies *r, size_t first,
                            size_t end, enum remedies_effect effect, bool parts) {
    const char *text = "";
    for (size_t i = first; i < end; i++) {
        const struct remedies_entry *e = &r->entry[i];
        if (e->effect == effect && e->parts == parts) {
            text = answer_keep(answer, "%s%s%s", text, text[0] ? ", " : "",
                               remedies_words_name(answer, r, e));
        }
    }
    return text;
}

static void say_names(struct answer *answer, enum answer_kind kind, const char *label,
                      const char *names) {
    if (names[0]) {
        answer_label(answer, kind, label, "%s", names);
    }
}

// What does not help: what makes it worse with a line each, the others by name only.
static void say_others(struct answer *answer, const struct remedies *r, bool parts) {
    say_names(answer, ANSWER_LINE, "no clear effect  ",
              names_of(answer, r, 0, r->single_count, REMEDIES_NOTHING, parts));
    for (size_t i = 0; i < r->single_count; i++) {
        const struct remedies_entry *e = &r->entry[i];
        if (e->parts == parts && e->effect == REMEDIES_WORSE) {
            answer_label(answer, ANSWER_LINE, "makes it worse   ", "%s: %s",
                         remedies_words_name(answer, r, e),
                         remedies_words_day(answer, &r->tries[e->best]));
        }
    }
    say_names(answer, ANSWER_LINE, "not possible     ",
              names_of(answer, r, 0, r->single_count, REMEDIES_IMPOSSIBLE, parts));
}

static void say_kind(struct answer *answer, const struct remedies *r, bool parts) {
    size_t count = 0;
    for (size_t i = 0; i < r->single_count; i++) {
        const struct remedies_entry *e = &r->entry[i];
        if (e->parts == parts) {
            if (count++ == 0) {
                answer_say(answer, ANSWER_HEADING, parts ? "with parts" : "without parts");
            }
            if (e->effect <= REMEDIES_MIXED) {
                say_entry(answer, r, e);
            }
        }
    }
    say_others(answer, r, parts);
}

static void say_pairs(struct answer *answer, const struct remedies *r) {
    size_t count = 0;
    for (size_t i = r->single_count; i < r->entry_count; i++) {
        if (remedies_words_told(r, i)) {
            if (count++ == 0) {
                answer_say(answer, ANSWER_HEADING, "the best few together");
            }
            say_entry(answer, r, &r->entry[i]);
        }
    }
}

static const char *missing_at(const struct remedies *r, size_t index) {
    const char *missing = remedy_missing(remedy_at(index), r->scenario, r->trim, &r->resolved);
    return missing ? missing : "";
}

// Remedies that are left out, those for the same reason together.
static void say_left_out(struct answer *answer, const struct remedies *r) {
    answer_say(answer, ANSWER_HEADING, "left out");
    for (size_t i = 0; remedy_at(i); i++) {
        const char *missing = missing_at(r, i);
        bool told = !missing[0];
        for (size_t k = 0; k < i && !told; k++) {
            told = strcmp(missing_at(r, k), missing) == 0;
        }
        const char *names = "";
        for (size_t k = i; remedy_at(k) && !told; k++) {
            if (strcmp(missing_at(r, k), missing) == 0) {
                names =
                    answer_keep(answer, "%s%s%s", names, names[0] ? ", " : "", remedy_at(k)->name);
            }
        }
        say_names(answer, ANSWER_LINE, answer_keep(answer, "%s: ", missing), names);
    }
}

// Changes whose run at today's flow says neither: they may cure it all the same.
static size_t count_undecided(const struct remedies *r) {
    size_t count = 0;
    for (size_t i = 0; i < r->entry_count; i++) {
        count += r->tries[r->entry[i].best].row[SEVERITY_OUTCOME] == VERDICT_UNDECIDED;
    }
    return count;
}

static void say_short(struct answer *answer, const struct remedies *r) {
    const bool calm = r->tries[0].row[SEVERITY_OUTCOME] <= VERDICT_FORCED;
    const size_t singles = r->single_count;
    const char *alone = names_of(answer, r, 0, singles, REMEDIES_CURES, false);
    if (!alone[0]) {
        alone = names_of(answer, r, singles, r->entry_count, REMEDIES_CURES, false);
    }
    const char *parts = names_of(answer, r, 0, singles, REMEDIES_CURES, true);
    answer_say(answer, ANSWER_HEADING, "in short");
    say_names(answer, ANSWER_FINDING, "cures without parts: ", alone);
    say_names(answer, ANSWER_FINDING, "cures with parts: ", parts);
    if (!alone[0] && !parts[0]) {
        answer_say(answer, ANSWER_FINDING,
                   calm ? "nothing to cure at today's flow; see what widens the steady range"
                        : "nothing tried here cures it");
    }
    const size_t undecided = count_undecided(r);
    if (!calm && undecided > 0) {
        answer_say(answer, ANSWER_NOTE,
                   "%zu of %zu changes are undecided at today's flow, and may cure it all the "
                   "same: a longer run.duration tells.",
                   undecided, r->entry_count);
    }
    answer_say(answer, ANSWER_LINE,
               "Try one change at a time, those without parts first, and write down what was "
               "before.");
}

void remedies_answer_tell(struct answer *answer, const struct remedies *r) {
    answer->cautions = true;
    say_heading(answer, r);
    remedies_answer_tables(answer, r);
    say_kind(answer, r, false);
    say_kind(answer, r, true);
    say_pairs(answer, r);
    say_left_out(answer, r);
    say_short(answer, r);
    remedies_answer_picture(answer, r);
}

// --- What is asked

static enum study_status take_range(struct study_job *job, const struct study_asked *asked,
                                    const struct study_subject *own, struct remedies *r) {
    r->flow = own->steadiness.flow;
    r->low = LOWEST_SHARE * r->flow;
    const struct steadiness_capacity passed = steadiness_largest_flow(
        &own->steadiness, r->low, HIGHEST_AT_MOST * r->flow, TRAVEL_SHARE, (double)NAN);
    // fmax leaves out a NaN
    r->high = fmax(HIGHEST_AT_LEAST * r->flow, passed.flow);
    return study_subject_range(job, own, &asked[REMEDIES_FROM], &r->low, &r->high);
}

enum study_status remedies_open(struct remedies *r, struct study_job *job,
                                const struct study_asked *asked) {
    if (job->trim_count > 1 && job->trim_count != scenario_trim_count(job->scenario)) {
        return study_job_fail(job, STUDY_BAD_USAGE, "one trim at a time: the one in place today");
    }
    r->scenario = job->scenario;
    r->trim = job->trim[0];
    r->steps = asked[REMEDIES_STEPS].text ? (size_t)asked[REMEDIES_STEPS].count : STEPS_DEFAULT;
    struct study_subject own = {0};
    enum study_status status = study_subject_open(job, 0, &own);
    r->resolved = own.resolved; // with its memory
    if (status == STUDY_DONE && !(own.steadiness.flow > 0.0)) {
        status = study_job_fail(job, STUDY_BAD_USAGE,
                                "%s: nothing flows at the start; give it a flow", job->path);
    }
    status = status == STUDY_DONE ? take_range(job, asked, &own, r) : status;
    // The scenario's own kick, the one asked for, or 0: left alone.
    r->kick = fabs(r->resolved.start.kick_pressure);
    const char *kick = asked[REMEDIES_KICK].text;
    if (kick && strcmp(kick, "0") == 0) {
        r->kick = 0.0;
    } else if (kick && status == STUDY_DONE) {
        status = study_subject_kick(job, &asked[REMEDIES_KICK], &r->resolved, &r->kick);
    }
    if (status == STUDY_DONE && !remedies_plan(r)) {
        status = study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    }
    return status;
}

enum study_status remedies_answer(struct study_job *job, const struct study_asked *asked,
                                  struct answer *answer) {
    struct remedies *r = calloc(1, sizeof *r);
    if (!r) {
        return study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    }
    enum study_status status = remedies_open(r, job, asked);
    const bool draws = asked[REMEDIES_DRAWS].text != NULL;
    if (status == STUDY_DONE) {
        status = draws ? remedies_among(job, asked, r, answer)
                       : remedies_run(r, job, asked[REMEDIES_CHECKPOINT].text);
    }
    if (status == STUDY_DONE && !draws) {
        study_job_answer(job, &r->resolved, answer);
        remedies_answer_tell(answer, r);
        observed_check_tell(job->scenario, answer);
    }
    remedies_free(r);
    free(r);
    return status;
}
