// SPDX-License-Identifier: MIT
// What `lowlift kick` answers: its options, tables and picture.
#include "answer/column.h"
#include "answer/picture.h"
#include "study/observed_check.h"
#include "trims/kick.h"

#include <math.h>
#include <stdlib.h>

enum { POINTS_DEFAULT = 14 };

// A kick down must leave the vessel some pressure.
#define LARGEST_SHARE 0.9

static const struct answer_column largest_column =
    COLUMN_OF("largest_kick", "largest kick tried", UNIT_PRESSURE_DROP);

// --- Tables

// One word or two for what a point does if left alone: "held" where small motions would grow if
// friction did not hold the plug.
static const char *left_alone(const struct kick_point *point) {
    const struct steadiness_kick *k = &point->smallest;
    const bool held = k->rest == STEADINESS_UNSTEADY && k->size > 0.0;
    return held ? "held" : steadiness_rest_name(k->rest);
}

static void put_size(struct answer *answer, struct answer_table *table, const struct kick *kick,
                     const struct steadiness_kick *k) {
    if (isinf(k->size)) {
        answer_said(table, k->size, "none up to %s",
                    answer_text(answer, UNIT_PRESSURE_DROP, kick->largest));
    } else if (k->size == 0.0) {
        answer_said(table, k->size, "needs none");
    } else {
        answer_put(table, k->size);
    }
    answer_word(table, !isfinite(k->size) || k->size == 0.0 ? "" : k->upward ? "up" : "down");
}

static void add_kicks(struct answer *answer, const struct kick *kick) {
    static const struct answer_column columns[] = {
        COLUMN_TRIM,
        COLUMN_FLOW,
        COLUMN_WORD("left_alone", "left alone"),
        COLUMN_OF("smallest_kick", "smallest kick", UNIT_PRESSURE_DROP),
        COLUMN_WORD("direction", "direction"),
        {.key = "largest_tried",
         .name = "largest tried",
         .kind = UNIT_PRESSURE_DROP,
         .hidden = ANSWER_TERMINAL},
        COLUMN_WORD("restart", "restart"),
    };
    struct answer_table *table =
        answer_table(answer, "kicks", NULL, columns, sizeof columns / sizeof columns[0]);
    for (size_t i = 0; i < kick->trim_count; i++) {
        for (size_t k = 0; k < kick->points; k++) {
            const struct kick_point *p = &kick->trim[i].point[k];
            answer_word(table, kick->trim[i].own.resolved.trim_name);
            answer_put(table, p->flow);
            answer_word(table, left_alone(p));
            put_size(answer, table, kick, &p->smallest);
            answer_put(table, p->smallest.largest);
            answer_word(table,
                        p->restart == STEADINESS_NO_RUN ? "" : verdict_name(p->restart_verdict));
        }
    }
}

static void add_step(struct answer_table *table, const struct study_subject *own, bool rising,
                     const struct sweep_step *step) {
    answer_word(table, own->resolved.trim_name);
    answer_word(table, rising ? "rising" : "falling");
    answer_put(table, step->flow);
    answer_word(table, verdict_name(step->verdict));
    answer_put(table, step->pressure_swing);
    answer_put(table, study_subject_percent(own, step->travel_swing));
    answer_put(table, step->frequency);
    answer_put(table, step->seat_rate);
}

static void add_sweep(struct answer *answer, const struct kick *kick) {
    static const struct answer_column columns[] = {
        COLUMN_TRIM,           COLUMN_WORD("direction", "the flow is"),
        COLUMN_FLOW,           COLUMN_VERDICT,
        COLUMN_PRESSURE_SWING, COLUMN_TRAVEL_SWING,
        COLUMN_FREQUENCY,      COLUMN_SEAT_RATE};
    struct answer_table *table =
        answer_table(answer, "sweep", NULL, columns, sizeof columns / sizeof columns[0]);
    for (size_t i = 0; i < kick->trim_count; i++) {
        const struct kick_trim *t = &kick->trim[i];
        for (size_t k = 0; k < kick->points; k++) {
            add_step(table, &t->own, true, &t->up[k]);
        }
        for (size_t k = kick->points; k-- > 0;) {
            add_step(table, &t->own, false, &t->down[k]);
        }
    }
}

// --- Picture

// Columns: flow; smallest kick, the largest tried where every kick dies out; 1 where it does; 1
// where friction holds it; 1 where it moves if left alone; swing rising; swing falling.
static void add_curve(struct answer *answer, const struct kick *kick, const struct kick_trim *t) {
    struct picture_data *data = picture_data(answer, 7);
    for (size_t i = 0; i < kick->points; i++) {
        const struct kick_point *p = &t->point[i];
        const struct steadiness_kick *k = &p->smallest;
        const double row[] = {
            answer_shown(answer, UNIT_FLOW, p->flow),
            answer_shown(answer, UNIT_PRESSURE_DROP, isinf(k->size) ? kick->largest : k->size),
            isinf(k->size),
            k->rest == STEADINESS_UNSTEADY && k->size > 0.0,
            k->size == 0.0,
            answer_shown(answer, UNIT_PRESSURE_DROP, t->up[i].pressure_swing),
            answer_shown(answer, UNIT_PRESSURE_DROP, t->down[i].pressure_swing)};
        picture_row(data, NULL, row);
    }
}

static void add_picture(struct answer *answer, const struct kick *kick) {
    picture_begin(answer, "kick.gp", answer->title);
    for (size_t t = 0; t < kick->trim_count; t++) {
        add_curve(answer, kick, &kick->trim[t]);
        picture_title(answer, "%s", kick->trim[t].own.resolved.trim_name);
    }
    picture_axis(answer, "flow", UNIT_FLOW);
    picture_axis(answer, "smallest kick", UNIT_PRESSURE_DROP);
    picture_axis(answer, "swing of the pressure", UNIT_PRESSURE_DROP);
    picture_number(answer, (double)kick->trim_count);
    picture_number(answer, answer_shown(answer, UNIT_FLOW, kick->low));
    picture_number(answer, answer_shown(answer, UNIT_FLOW, kick->high));
    picture_number(answer, answer_shown(answer, UNIT_FLOW, kick->trim[0].own.steadiness.flow));
    picture_number(answer, answer_shown(answer, UNIT_PRESSURE_DROP, kick->largest));
}

// --- All of it

static void tell(struct study_job *job, const struct kick *kick, struct answer *answer) {
    study_job_answer(job, &kick->trim[0].own.resolved, answer);
    answer_say(answer, ANSWER_HEADING, "%s", answer->title[0] ? answer->title : "scenario");
    answer_fact(answer, &largest_column, kick->largest, NULL);
    for (size_t i = 0; i < kick->trim_count; i++) {
        study_subject_note(answer, &kick->trim[i].own);
    }
    observed_check_tell(job->scenario, answer);
    answer_gap(answer);
    answer_say(answer, ANSWER_LINE,
               "left alone, kicked, and restarted from shut in (held: a small motion would grow, "
               "but friction holds the plug until it is disturbed; the smallest kick moves the "
               "controlled pressure at once and does not die out):");
    add_kicks(answer, kick);
    answer_gap(answer);
    answer_say(answer, ANSWER_LINE,
               "the flow raised step by step and lowered again, the motion carried over:");
    add_sweep(answer, kick);
    add_picture(answer, kick);
}

static enum study_status take(struct study_job *job, const struct study_asked *asked,
                              struct kick *kick) {
    const struct study_subject *own = &kick->trim[0].own;
    kick->points = asked[KICK_POINTS].text ? (size_t)asked[KICK_POINTS].count : POINTS_DEFAULT;
    enum study_status status =
        study_subject_range(job, own, &asked[KICK_FROM], &kick->low, &kick->high);
    if (status == STUDY_DONE) {
        status = study_job_quantity(job, &asked[KICK_LARGEST], UNIT_PRESSURE_DROP,
                                    &own->resolved.site, own->steadiness.set_gauge, &kick->largest);
    }
    if (status == STUDY_DONE &&
        !(kick->largest > 0.0 && kick->largest < LARGEST_SHARE * own->resolved.set_pressure)) {
        return study_job_fail(job, STUDY_BAD_USAGE,
                              "%s: found '%s'; allowed more than 0 and less than 90 %% of the "
                              "absolute set pressure",
                              asked[KICK_LARGEST].name,
                              asked[KICK_LARGEST].text ? asked[KICK_LARGEST].text : "nothing");
    }
    return status;
}

enum study_status kick_answer(struct study_job *job, const struct study_asked *asked,
                              struct answer *answer) {
    struct kick *kick = calloc(1, sizeof *kick);
    if (!kick) {
        return study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    }
    enum study_status status = kick_open(kick, job);
    status = status == STUDY_DONE ? take(job, asked, kick) : status;
    if (status == STUDY_DONE && asked[KICK_DRAWS].text) {
        status = kick_among(job, asked, kick, answer);
        kick_free(kick);
        free(kick);
        return status;
    }
    status = status == STUDY_DONE ? kick_find(kick, job) : status;
    if (status == STUDY_DONE) {
        tell(job, kick, answer);
    }
    kick_free(kick);
    free(kick);
    return status;
}
