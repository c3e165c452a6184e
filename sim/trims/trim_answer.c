// SPDX-License-Identifier: MIT
// What `lowlift trims` answers: the trims side by side, what each does over the envelope, the
// advice, and the picture.
#include "study/inputs.h"
#include "study/observed_check.h"
#include "study/window_answer.h"
#include "trims/trim_study.h"

#include <math.h>
#include <stdlib.h>

// Said in a sentence on the terminal, or of use to a script only.
#define HIDDEN(KEY, NAME) .key = (KEY), .name = (NAME), .hidden = ANSWER_TERMINAL

// --- The trims side by side

// Openings at both pressures, smaller first.
static void put_opening(struct answer_table *table, const struct trim_study *s,
                        const struct trim_record *t, enum envelope_flow flow) {
    const double a = 100.0 * t->point[flow][0].opening;
    const double b = 100.0 * t->point[flow][s->envelope.pressure_count - 1].opening;
    if (isnan(a) || isnan(b)) {
        answer_put(table, (double)NAN);
    } else if (fabs(a - b) < 0.005 * fmax(a, b)) {
        answer_words(table, "%.3g %%", a);
    } else {
        answer_words(table, "%.3g..%.3g %%", fmin(a, b), fmax(a, b));
    }
}

// A ratio to the lower end of a window that may go further down.
static void put_ratio(struct answer_table *table, const struct trim_window *w, double ratio,
                      int digits) {
    if (isnan(ratio)) {
        answer_put(table, ratio);
    } else {
        answer_said(table, ratio, "%s%.*g", w->kicked <= w->looked_at ? "over " : "", digits,
                    ratio);
    }
}

static void put_trim(struct answer *answer, struct answer_table *table, const struct trim_study *s,
                     const struct trim_record *t) {
    const bool in_place = t->parts == 0;
    answer_word(table, t->name);
    answer_said(table, (double)t->rank, "%zu%s", t->rank, in_place ? " (in place)" : "");
    answer_flag(table, in_place);
    answer_flag(table, t->judged.passes);
    answer_flag(table, t->judged.steady);
    window_answer_put(answer, table, &t->window);
    answer_put(table, t->adjusted);
    put_ratio(table, &t->window, t->window.top / t->window.kicked, 4);
    put_ratio(table, &t->window, t->judged.margin, 3);
    for (int f = 0; f < ENVELOPE_FLOW_COUNT; f++) {
        put_opening(table, s, t, (enum envelope_flow)f);
    }
    answer_put(table, trim_study_peak_pressure(s, t));
    answer_word(table, verdict_name(t->worst));
    answer_put(table, t->worst_swing);
    answer_word(table, verdict_name(t->today));
    answer_put(table, t->today_swing);
    answer_put(table, t->today_seat_rate);
}

// An opening at either pressure; each has its place in the table of points.
#define OPENING(KEY, NAME)                                                                         \
    { .key = (KEY), .name = (NAME), .form = ANSWER_WORD, .hidden = ANSWER_FILES }

static void add_trims(struct answer *answer, const struct trim_study *s) {
    static const struct answer_column columns[] = {
        COLUMN_TRIM,
        COLUMN_COUNT("rank", "rank"),
        {HIDDEN("in_place", "in place"), .form = ANSWER_FLAG},
        {HIDDEN("passes_the_peak", "passes the peak"), .form = ANSWER_FLAG},
        {HIDDEN("steady_over_the_envelope", "steady over the envelope"), .form = ANSWER_FLAG},
        WINDOW_COLUMNS,
        WINDOW_SCREW_COLUMN,
        COLUMN_IN("turndown", "largest steady flow over the lowest", NULL),
        COLUMN_IN("margin", "margin below the lowest flow", NULL),
        OPENING("opening_at_lowest", "opening at the lowest flow"),
        OPENING("opening_at_normal", "opening at the normal flow"),
        OPENING("opening_at_peak", "opening at the peak"),
        COLUMN_OF("settled_pressure_at_the_peak", "settled pressure at the peak",
                  UNIT_PRESSURE_LEVEL),
        COLUMN_WORD("worst_verdict", "worst verdict in the envelope"),
        COLUMN_OF("largest_swing", "largest swing in the envelope", UNIT_PRESSURE_DROP),
        COLUMN_WORD("verdict_today", "verdict today"),
        COLUMN_OF("swing_today", "pressure swing today", UNIT_PRESSURE_DROP),
        COLUMN_IN("seat_rate_today", "seat contacts today", "1/min"),
    };
    struct answer_table *table =
        answer_table(answer, "", NULL, columns, sizeof columns / sizeof columns[0]);
    table->layout = ANSWER_SIDE_BY_SIDE;
    for (size_t i = 0; i < s->count; i++) {
        put_trim(answer, table, s, &s->trim[i]);
    }
}

// --- At each pressure of the envelope

#define PRESSURE_COLUMNS                                                                           \
    COLUMN_OF("line_pressure", "line pressure", UNIT_PRESSURE_LEVEL),                              \
        COLUMN_OF("set_pressure", "set pressure", UNIT_PRESSURE_LEVEL)

// The one that the envelope varies; the other stays as the scenario has it.
static void put_pressure(struct answer_table *table, const struct envelope *e, size_t pressure) {
    answer_put(table, e->of_set ? (double)NAN : e->pressure[pressure]);
    answer_put(table, e->of_set ? e->pressure[pressure] : (double)NAN);
}

static void add_windows(struct answer *answer, const struct trim_study *s) {
    static const struct answer_column columns[] = {COLUMN_TRIM, PRESSURE_COLUMNS, WINDOW_COLUMNS};
    struct answer_table *table =
        answer_table(answer, "windows", NULL, columns, sizeof columns / sizeof columns[0]);
    table->hidden = ANSWER_TERMINAL;
    for (size_t i = 0; i < s->count; i++) {
        for (size_t p = 0; p < s->envelope.pressure_count; p++) {
            answer_word(table, s->trim[i].name);
            put_pressure(table, &s->envelope, p);
            window_answer_put(answer, table, &s->trim[i].at[p]);
        }
    }
}

static void put_point(struct answer_table *table, const struct trim_point *point) {
    answer_put(table, 100.0 * point->opening);
    answer_put(table, point->pressure);
    answer_word(table, verdict_name(point->verdict));
    answer_put(table, point->swing);
}

static void add_points(struct answer *answer, const struct trim_study *s) {
    static const struct answer_column columns[] = {
        COLUMN_TRIM,
        PRESSURE_COLUMNS,
        COLUMN_WORD("at", "at the flow"),
        COLUMN_FLOW,
        COLUMN_IN("opening", "opening", "%"),
        COLUMN_OF("settled_pressure", "settled pressure", UNIT_PRESSURE_LEVEL),
        COLUMN_VERDICT,
        COLUMN_PRESSURE_SWING,
    };
    struct answer_table *table =
        answer_table(answer, "points", NULL, columns, sizeof columns / sizeof columns[0]);
    table->hidden = ANSWER_TERMINAL;
    const struct envelope *e = &s->envelope;
    for (size_t i = 0; i < s->count; i++) {
        for (size_t p = 0; p < e->pressure_count; p++) {
            for (int f = 0; f < ENVELOPE_FLOW_COUNT; f++) {
                if (!isnan(e->flow[f])) {
                    answer_word(table, s->trim[i].name);
                    put_pressure(table, e, p);
                    answer_word(table, envelope_flow_name((enum envelope_flow)f));
                    answer_put(table, e->flow[f]);
                    put_point(table, &s->trim[i].point[f][p]);
                }
            }
        }
    }
}

// --- What is asked for, and what it comes to

static void say_envelope(struct answer *answer, const struct trim_study *s) {
    static const struct answer_column flow[ENVELOPE_FLOW_COUNT] = {
        {HIDDEN("envelope_lowest", "lowest flow of the envelope"), .kind = UNIT_FLOW},
        {HIDDEN("envelope_normal", "normal flow of the envelope"), .kind = UNIT_FLOW},
        {HIDDEN("envelope_peak", "peak of the envelope"), .kind = UNIT_FLOW},
    };
    static const struct answer_column of = {HIDDEN("pressure_of", "pressures of the envelope"),
                                            .form = ANSWER_WORD};
    static const struct answer_column end[ENVELOPE_PRESSURES_MAX] = {
        {HIDDEN("pressure_low", "lowest pressure"), .kind = UNIT_PRESSURE_LEVEL},
        {HIDDEN("pressure_high", "highest pressure"), .kind = UNIT_PRESSURE_LEVEL},
    };
    static const struct answer_column limit = {HIDDEN("vessel_limit", "vessel limit"),
                                               .kind = UNIT_PRESSURE_LEVEL};
    const struct envelope *e = &s->envelope;
    const double low = e->pressure[0], high = e->pressure[e->pressure_count - 1];
    answer_label(answer, ANSWER_LINE, "envelope: ", "lowest %s, normal %s, peak %s",
                 answer_text(answer, UNIT_FLOW, e->flow[ENVELOPE_LOWEST]),
                 answer_text(answer, UNIT_FLOW, e->flow[ENVELOPE_NORMAL]),
                 answer_text(answer, UNIT_FLOW, e->flow[ENVELOPE_PEAK]));
    for (int f = 0; f < ENVELOPE_FLOW_COUNT; f++) {
        answer_fact(answer, &flow[f], e->flow[f], NULL);
    }
    if (!isnan(low)) {
        answer_say(answer, ANSWER_LINE, "%s pressure %s to %s",
                   e->of_set                                      ? "set"
                   : s->scenario.model.duty == DUTY_BACK_PRESSURE ? "downstream"
                                                                  : "inlet",
                   answer_text(answer, UNIT_PRESSURE_LEVEL, low),
                   answer_text(answer, UNIT_PRESSURE_LEVEL, high));
    }
    answer_fact(answer, &of, (double)NAN, e->of_set ? "set" : "line");
    answer_fact(answer, &end[0], low, NULL);
    answer_fact(answer, &end[1], high, NULL);
    answer_fact(answer, &limit, s->scenario.pressure_limit, NULL);
}

static void say_warnings(struct answer *answer, const struct trim_study *s) {
    const double limit = s->scenario.pressure_limit;
    bool shut = false;
    for (size_t i = 0; i < s->count; i++) {
        const struct trim_record *t = &s->trim[i];
        const double peak = trim_study_peak_pressure(s, t);
        if (peak > limit) {
            answer_say(answer, ANSWER_WARNING,
                       "trim %s: the peak settles at %s, above the vessel limit of %s", t->name,
                       answer_text(answer, UNIT_PRESSURE_LEVEL, peak),
                       answer_text(answer, UNIT_PRESSURE_LEVEL, limit));
        }
        window_answer_notes(answer, &s->scenario, t->name, t->adjusted, &t->window);
        shut = shut || window_answer_is_shut(&t->window);
    }
    if (shut) {
        window_answer_shut(answer, &s->scenario);
    }
    if (isnan(limit)) {
        answer_say(answer, ANSWER_NOTE,
                   "no vessel.pressure_limit is given, so no peak is compared with it");
    }
}

static void say_advice(struct answer *answer, const struct trim_study *s) {
    static const struct answer_column advice = {HIDDEN("advice", "advice"), .form = ANSWER_WORD};
    static const struct answer_column trim = {HIDDEN("trim", "trim"), .form = ANSWER_WORD};
    const struct trim_choice *c = &s->choice;
    answer_fact(answer, &advice, (double)NAN, trim_advice_name(c->advice));
    answer_fact(answer, &trim, (double)NAN,
                c->advice == TRIM_ADVICE_NONE ? NULL : s->trim[c->rank[0].candidate].name);
    answer_label(answer, ANSWER_LINE, "advice: ", "%s", trim_study_advice(s, answer));
    answer_say(answer, ANSWER_FINDING, "%s", c->reason);
}

// --- All of it

static void tell(struct study_job *job, const struct trim_study *s, struct answer *answer) {
    study_job_answer(job, &s->scenario, answer);
    answer->cautions = true;
    answer_say(answer, ANSWER_HEADING, "%s", answer->title[0] ? answer->title : "scenario");
    say_envelope(answer, s);
    window_answer_head(answer, &s->scenario, s->search.kick, s->envelope.of_set,
                       s->envelope.flow[ENVELOPE_NORMAL]);
    answer_gap(answer);
    add_trims(answer, s);
    add_windows(answer, s);
    add_points(answer, s);
    answer_gap(answer);
    inputs_alike_all(answer, job);
    observed_check_tell(job->scenario, answer);
    say_warnings(answer, s);
    say_advice(answer, s);
    trim_study_picture(s, answer);
}

enum study_status trim_study_answer(struct study_job *job, const struct study_asked *asked,
                                    struct answer *answer) {
    struct trim_study *study = calloc(1, sizeof *study);
    if (!study) {
        return study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    }
    enum study_status status = trim_study_open(job, asked, study);
    if (status == STUDY_DONE && asked[TRIMS_DRAWS].text) {
        status = trim_among(job, asked, study, answer);
    } else if (status == STUDY_DONE) {
        tell(job, study, answer);
    }
    trim_study_close(study);
    free(study);
    return status;
}
