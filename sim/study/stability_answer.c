// SPDX-License-Identifier: MIT
// What `lowlift stability` answers: its options, findings, tables and picture.
#include "answer/column.h"
#include "study/stability.h"

#include <math.h>
#include <stdlib.h>

// Neutral flows are found to 1e-5; four digits would not show that.
enum { POINTS_DEFAULT = 100, FLOW_DIGITS = 5 };

#define COUNT_OF(COLUMNS) (sizeof(COLUMNS) / sizeof(COLUMNS)[0])

static const double LN_2 = 0.6931471805599453;

// --- What it comes to

static const char *flow_text(struct answer *answer, double si) {
    return answer_keep(answer, "%.*g %s", FLOW_DIGITS, answer_shown(answer, UNIT_FLOW, si),
                       answer_unit(answer, UNIT_FLOW));
}

static const char *range_text(struct answer *answer, const struct steadiness_window *w) {
    switch (w->range) {
    case STEADINESS_FROM:
        return answer_keep(answer, "steady from %s upward", flow_text(answer, w->lowest));
    case STEADINESS_NOT_AT_TOP:
        return "steady in part, but not at the highest flow";
    case STEADINESS_NOT_PASSED:
        return "wide open at every flow";
    default:
        return answer_keep(answer, "steady %s", steadiness_range_name(w->range));
    }
}

static void tell_trim(struct answer *answer, const struct stability_trim *t) {
    const struct steadiness_settled *s = &t->today;
    const bool grows = s->rest == STEADINESS_UNSTEADY;
    const char *doubles =
        grows
            ? answer_keep(answer, ": left alone, a small swing doubles in %.3g s", LN_2 / s->growth)
            : "";
    answer_label(answer, ANSWER_FINDING,
                 answer_keep(answer, "trim %s: ", t->own.resolved.trim_name),
                 "%s at %s%s; %s (looked at %s to %s%s)", steadiness_rest_name(s->rest),
                 flow_text(answer, t->own.steadiness.flow), doubles, range_text(answer, &t->window),
                 flow_text(answer, t->window.low), flow_text(answer, t->window.top),
                 t->window.range != STEADINESS_NOT_PASSED && !t->window.high_passed
                     ? ", above which it is wide open"
                     : "");
    study_subject_note(answer, &t->own);
}

// --- Tables

static void add_trims(struct answer *answer, const struct stability *stability) {
    static const struct answer_column columns[] = {
        COLUMN_TRIM,
        COLUMN_DIGITS("flow", "flow", UNIT_FLOW, FLOW_DIGITS),
        COLUMN_AT_REST,
        COLUMN_TRAVEL,
        COLUMN_DIGITS("controlled_pressure", "controlled pressure", UNIT_PRESSURE_LEVEL, 5),
        COLUMN_COUNT("points_of_rest", "open points of rest"),
        COLUMN_GROWTH,
        COLUMN_STEADY_RANGE,
        COLUMN_DIGITS("lowest_steady_flow_left_alone", "lowest steady flow, left alone", UNIT_FLOW,
                      FLOW_DIGITS),
        COLUMN_DIGITS("low", "looked at from", UNIT_FLOW, FLOW_DIGITS),
        COLUMN_DIGITS("top", "looked at up to", UNIT_FLOW, FLOW_DIGITS),
        COLUMN_FLAG("wide_open_above", "wide open above"),
        COLUMN_FLAG("monotone", "one change at most"),
    };
    struct answer_table *table = answer_table(answer, "trims", NULL, columns, COUNT_OF(columns));
    table->layout = ANSWER_SIDE_BY_SIDE;
    for (size_t i = 0; i < stability->trim_count; i++) {
        const struct stability_trim *t = &stability->trim[i];
        answer_word(table, t->own.resolved.trim_name);
        answer_put(table, t->own.steadiness.flow);
        answer_word(table, steadiness_rest_name(t->today.rest));
        answer_put(table, study_subject_percent(&t->own, t->today.travel));
        answer_put(table, t->today.pressure);
        answer_put(table, (double)t->today.points);
        answer_put(table, t->today.growth);
        answer_word(table, steadiness_range_name(t->window.range));
        answer_put(table, t->window.lowest);
        answer_put(table, t->window.low);
        answer_put(table, t->window.top);
        answer_flag(table, !t->window.high_passed);
        answer_flag(table, t->window.monotone);
    }
}

static void add_changes(struct answer *answer, const struct stability *stability) {
    static const struct answer_column columns[] = {
        COLUMN_TRIM, COLUMN_DIGITS("flow", "flow", UNIT_FLOW, FLOW_DIGITS),
        COLUMN_WORD("below", "below"), COLUMN_WORD("above", "above"), COLUMN_FREQUENCY};
    struct answer_table *table =
        answer_table(answer, "changes",
                     "flows at which a trim begins to rest in another way (neutral: between steady "
                     "and unsteady):",
                     columns, COUNT_OF(columns));
    for (size_t i = 0; i < stability->trim_count; i++) {
        const struct stability_trim *t = &stability->trim[i];
        for (size_t k = 0; k < t->window.count; k++) {
            const struct steadiness_change *c = &t->window.change[k];
            answer_word(table, t->own.resolved.trim_name);
            answer_put(table, c->flow);
            answer_word(table, steadiness_rest_name(c->below));
            answer_word(table, steadiness_rest_name(c->above));
            answer_put(table, c->frequency);
        }
    }
}

static void add_mode(struct answer_table *table, const struct linear_mode *mode, double zero) {
    const char *grows = mode->growth > 0.0 ? ", grows" : "";
    if (mode->frequency > 0.0) {
        answer_put(table, mode->frequency);
        answer_put(table, mode->damping_ratio);
        answer_put(table, mode->growth);
        answer_words(table, "swings%s", grows);
        return;
    }
    answer_said(table, mode->frequency, "-");
    answer_said(table, mode->damping_ratio, "-");
    if (fabs(mode->growth) <= zero) {
        answer_said(table, mode->growth, "0");
        answer_word(table, "stays as it is");
    } else {
        answer_put(table, mode->growth);
        answer_words(table, "no swing%s", grows);
    }
}

static void add_modes(struct answer *answer, const struct stability *stability) {
    static const struct answer_column columns[] = {COLUMN_TRIM, COLUMN_FREQUENCY,
                                                   COLUMN_DAMPING_RATIO, COLUMN_GROWTH,
                                                   COLUMN_WORD("motion", "motion")};
    struct answer_table *table =
        answer_table(answer, "modes", "modes of small motions at the scenario's flow:", columns,
                     COUNT_OF(columns));
    for (size_t i = 0; i < stability->trim_count; i++) {
        const struct stability_trim *t = &stability->trim[i];
        for (size_t k = 0; k < t->modes.count; k++) {
            answer_word(table, t->own.resolved.trim_name);
            add_mode(table, &t->modes.at[k], linearise_zero(&t->modes));
        }
    }
}

static void add_driver(struct answer_table *table, const struct stability_trim *t, enum driver d) {
    const struct driver_growth *g = &t->growth[d];
    answer_word(table, t->own.resolved.trim_name);
    answer_word(table, driver_name(d));
    answer_word(table, driver_words(d));
    answer_put(table, g->growth);
    if (!g->swings) {
        answer_said(table, g->frequency, "no swing");
    } else if (g->frequency > 0.0) {
        answer_put(table, g->frequency);
    } else {
        answer_said(table, g->frequency, "runs away");
    }
}

static void add_drivers(struct answer *answer, const struct stability *stability) {
    static const struct answer_column columns[] = {
        COLUMN_TRIM,
        {.key = "frozen", .name = "frozen", .form = ANSWER_WORD, .hidden = ANSWER_TERMINAL},
        COLUMN_WORD("words", "what if"),
        COLUMN_GROWTH,
        COLUMN_FREQUENCY};
    struct answer_table *table =
        answer_table(answer, "drivers",
                     "what drives the swing: its growth with one thing frozen at a time:", columns,
                     COUNT_OF(columns));
    for (size_t i = 0; i < stability->trim_count; i++) {
        const struct stability_trim *t = &stability->trim[i];
        for (int d = 0; d < DRIVER_COUNT; d++) {
            if (t->driven && t->growth[d].applies) {
                add_driver(table, t, (enum driver)d);
            }
        }
    }
}

static void add_flows(struct answer *answer, const struct stability *stability) {
    static const struct answer_column columns[] = {
        COLUMN_TRIM,
        COLUMN_FLOW,
        COLUMN_AT_REST,
        COLUMN_GROWTH,
        COLUMN_MODE_FREQUENCY,
        COLUMN_IN("swing_damping_ratio", "swing damping ratio", NULL),
        COLUMN_IN("swing_frequency", "swing frequency", "Hz"),
        COLUMN_LOWEST_DAMPING,
        COLUMN_IN("lowest_damping_frequency", "frequency of that", "Hz"),
        COLUMN_TRAVEL,
        COLUMN_PRESSURE};
    struct answer_table *table = answer_table(answer, "flows", NULL, columns, COUNT_OF(columns));
    table->hidden = ANSWER_TERMINAL | ANSWER_JSON;
    for (size_t i = 0; i < stability->trim_count; i++) {
        const struct stability_trim *t = &stability->trim[i];
        for (size_t k = 0; k < stability->points; k++) {
            const struct steadiness_settled *s = &t->curve[k].settled;
            answer_word(table, t->own.resolved.trim_name);
            answer_put(table, t->curve[k].flow);
            answer_word(table, steadiness_rest_name(s->rest));
            answer_put(table, s->growth);
            answer_put(table, s->frequency);
            answer_put(table, s->swing_damping);
            answer_put(table, s->swing_frequency);
            answer_put(table, s->damping);
            answer_put(table, s->ringing);
            answer_put(table, study_subject_percent(&t->own, s->travel));
            answer_put(table, s->pressure);
        }
    }
}

// --- All of it

static void tell(struct study_job *job, const struct stability *stability, struct answer *answer) {
    study_job_answer(job, &stability->trim[0].own.resolved, answer);
    answer_say(answer, ANSWER_HEADING, "%s", answer->title[0] ? answer->title : "scenario");
    for (size_t i = 0; i < stability->trim_count; i++) {
        tell_trim(answer, &stability->trim[i]);
    }
    answer_gap(answer);
    add_trims(answer, stability);
    answer_gap(answer);
    add_changes(answer, stability);
    answer_gap(answer);
    add_modes(answer, stability);
    answer_gap(answer);
    add_drivers(answer, stability);
    add_flows(answer, stability);
    answer_gap(answer);
    answer_say(answer, ANSWER_NOTE,
               "small motions only, without dry friction and seat contact: a steady flow may still "
               "hunt after a kick, and friction may hold an unsteady one (lowlift kick)");
    stability_picture(stability, answer);
}

static enum study_status take(struct study_job *job, const struct study_asked *asked,
                              struct stability *stability) {
    const struct study_asked *points = &asked[STABILITY_POINTS];
    stability->points = points->text ? (size_t)points->count : POINTS_DEFAULT;
    stability_range(stability);
    return study_subject_range(job, &stability->trim[0].own, &asked[STABILITY_FROM],
                               &stability->low, &stability->high);
}

enum study_status stability_answer(struct study_job *job, const struct study_asked *asked,
                                   struct answer *answer) {
    struct stability *stability = calloc(1, sizeof *stability);
    if (!stability) {
        return study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    }
    enum study_status status = stability_open(stability, job);
    status = status == STUDY_DONE ? take(job, asked, stability) : status;
    status = status == STUDY_DONE ? stability_find(stability, job) : status;
    if (status == STUDY_DONE) {
        tell(job, stability, answer);
    }
    stability_free(stability);
    free(stability);
    return status;
}
