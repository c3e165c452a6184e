// SPDX-License-Identifier: MIT
// The records of runs, in the units shown by the first, as the picture takes them.
#include "study/comparison.h"
#include "study/run_picture.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

// Cycles shown in the enlarged part.
#define CLOSE_CYCLES 6.0

// Start of the part shown enlarged: the last cycles of the fastest run that keeps moving.
static double close_from(const struct comparison *c) {
    double end = 0.0;
    for (size_t i = 0; i < c->count; i++) {
        end = fmax(end, c->run[i].statistics.end_time);
    }
    double from = 0.8 * end;
    for (size_t i = 0; i < c->count; i++) {
        const struct simulation *s = &c->run[i];
        const double frequency = s->judged.figures.frequency;
        if (s->judged.verdict > VERDICT_RINGING && isfinite(frequency) && frequency > 0.0) {
            from = fmin(from, fmax(0.0, s->statistics.end_time - CLOSE_CYCLES / frequency));
        }
    }
    return from;
}

// A curve in memory of its own, which is returned; NULL when there is none.
static double *fill_curve(const struct answer *answer, const struct simulation *s,
                          struct run_curve *curve) {
    static const enum channel shown[] = {CHANNEL_CONTROLLED_PRESSURE, CHANNEL_TRAVEL,
                                         CHANNEL_CHAMBER_PRESSURE, CHANNEL_TRIM_FLOW};
    double *column = malloc((5 * s->count + s->seat_count + 1) * sizeof *column);
    if (!column) {
        return NULL;
    }
    for (size_t j = 0; j < s->count; j++) {
        column[j] = (double)j * s->step;
    }
    for (size_t k = 0; k < 4; k++) {
        const enum unit_kind kind = channel_row(shown[k])->kind;
        const struct units_scale scale =
            units_scale_of(&answer->site, kind, answer_unit(answer, kind));
        units_scale_numbers(&scale, s->channel[shown[k]], s->count, column + (k + 1) * s->count);
    }
    double *contact = column + 5 * s->count;
    for (size_t j = 0; j < s->seat_count; j++) {
        contact[j] = s->seat[j].time;
    }
    const bool chamber = channel_applies(&s->start.regulator, CHANNEL_CHAMBER_PRESSURE);
    *curve = (struct run_curve){.count = s->count,
                                .time = column,
                                .pressure = column + s->count,
                                .travel = column + 2 * s->count,
                                .chamber = chamber ? column + 3 * s->count : NULL,
                                .flow = column + 4 * s->count,
                                .contact_count = s->seat_count,
                                .contact = contact};
    return column;
}

void comparison_picture(const struct comparison *c, struct answer *answer) {
    struct run_curve curve[COMPARISON_MAX];
    double *storage[COMPARISON_MAX] = {NULL};
    const size_t count = c->count;
    for (size_t i = 0; i < count && !answer->failed; i++) {
        storage[i] = fill_curve(answer, &c->run[i], &curve[i]);
        answer->failed = !storage[i];
        curve[i].title =
            answer_keep(answer, "%s: %s", c->label[i], verdict_name(c->run[i].judged.verdict));
    }
    if (!answer->failed) {
        const bool one = c->count == 1;
        const struct run_page page = {
            .title = answer_keep(answer, "%s%s%s",
                                 comparison_is_mixed(c) ? "comparison of scenarios"
                                                        : c->scenario[0].title,
                                 one ? " - " : "", one ? curve[0].title : ""),
            .set_pressure = answer_shown(answer, UNIT_PRESSURE_LEVEL, c->scenario[0].set_pressure),
            .close_from = close_from(c),
            .count = c->count,
            .curve = curve};
        if (!run_picture_add(answer, &page)) {
            answer_say(answer, ANSWER_NOTE,
                       "no picture: a run was stopped before its second sample");
        }
    }
    for (size_t i = 0; i < count; i++) {
        free(storage[i]);
    }
}
