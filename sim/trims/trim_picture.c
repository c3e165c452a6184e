// SPDX-License-Identifier: MIT
// What plots/trims.gp draws, in numbers and texts.
#include "answer/picture.h"
#include "trims/trim_study.h"

#include <math.h>

// Its window, its rank, and its openings at the flows of the envelope, smaller and larger.
static void add_numbers(struct answer *answer, const struct envelope *e,
                        const struct trim_record *t) {
    const struct trim_window *w = &t->window;
    picture_number(answer, answer_shown(answer, UNIT_FLOW, w->top));
    picture_number(answer, answer_shown(answer, UNIT_FLOW, w->kicked));
    picture_number(answer, answer_shown(answer, UNIT_FLOW, w->settled));
    picture_number(answer, (double)t->rank);
    picture_number(answer, w->kicked <= w->looked_at); // the window goes further down
    picture_number(answer, !isnan(w->again));          // below it, it stands a kick again
    for (int f = 0; f < ENVELOPE_FLOW_COUNT; f++) {
        const double a = 100.0 * t->point[f][0].opening;
        const double b = 100.0 * t->point[f][e->pressure_count - 1].opening;
        picture_number(answer, fmin(a, b));
        picture_number(answer, fmax(a, b));
    }
}

// Titles: each trim's name, then each trim's verdict over the envelope.
void trim_study_picture(const struct trim_study *s, struct answer *answer) {
    const struct envelope *e = &s->envelope;
    picture_begin(answer, "trims.gp", answer->title);
    picture_number(answer, (double)s->count);
    for (int f = 0; f < ENVELOPE_FLOW_COUNT; f++) {
        picture_number(answer, answer_shown(answer, UNIT_FLOW, e->flow[f]));
    }
    picture_number(answer, answer_shown(answer, UNIT_FLOW, s->today));
    for (size_t i = 0; i < s->count; i++) {
        add_numbers(answer, e, &s->trim[i]);
        picture_title(answer, "%s", s->trim[i].name);
    }
    for (size_t i = 0; i < s->count; i++) {
        picture_title(answer, "%s", verdict_name(s->trim[i].worst));
    }
    picture_axis(answer, "flow", UNIT_FLOW);
    picture_label(answer, "advice: %s", trim_study_advice(s, answer));
}
