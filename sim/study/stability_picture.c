// SPDX-License-Identifier: MIT
// What plots/stability.gp is given.
#include "answer/picture.h"
#include "study/stability.h"

#include <math.h>

// Bars longer than this many times the growth as it is are cut, and marked so.
#define BAR_CLIP 2.5
#define ANOTHER_MODE 3.0 // ratio of neighbouring frequencies

// Columns: flow, damping ratio, frequency. Where another mode takes over the line breaks.
static void add_curve(struct answer *answer, const struct stability *s,
                      const struct stability_trim *t) {
    struct picture_data *data = picture_data(answer, 3);
    for (size_t k = 0; k < s->points; k++) {
        const struct steadiness_settled *here = &t->curve[k].settled;
        const double before = k > 0 ? t->curve[k - 1].settled.swing_frequency : (double)NAN;
        const double ratio = here->swing_frequency / before;
        if (ratio > ANOTHER_MODE || ratio < 1.0 / ANOTHER_MODE) {
            picture_break(data);
        }
        const double row[] = {answer_shown(answer, UNIT_FLOW, t->curve[k].flow),
                              here->swing_damping, here->swing_frequency};
        picture_row(data, NULL, row);
    }
}

// Columns: flow, number of the trim. Neutral flows only, not where the plug comes to a stop.
static size_t add_neutral(struct answer *answer, const struct stability *s) {
    struct picture_data *data = picture_data(answer, 2);
    for (size_t i = 0; i < s->trim_count; i++) {
        const struct steadiness_window *w = &s->trim[i].window;
        for (size_t k = 0; k < w->count; k++) {
            const struct steadiness_change *c = &w->change[k];
            if (c->below <= STEADINESS_UNSTEADY && c->above <= STEADINESS_UNSTEADY) {
                const double row[] = {answer_shown(answer, UNIT_FLOW, c->flow), (double)(i + 1)};
                picture_row(data, NULL, row);
            }
        }
    }
    return data->rows;
}

// A row each thing frozen, a column each trim: growth.
static size_t add_bars(struct answer *answer, const struct stability *s) {
    struct picture_data *data = picture_data(answer, s->trim_count);
    for (int d = 0; d < DRIVER_COUNT; d++) {
        double row[STUDY_TRIMS_MAX];
        bool any = false;
        for (size_t i = 0; i < s->trim_count; i++) {
            const struct stability_trim *t = &s->trim[i];
            any = any || (t->driven && t->growth[d].applies);
            row[i] = t->driven ? t->growth[d].growth : (double)NAN;
        }
        if (any) {
            picture_row(data, driver_words((enum driver)d), row);
        }
    }
    return data->rows;
}

static double longest_bar(const struct stability *s) {
    double longest = 0.0;
    for (size_t i = 0; i < s->trim_count; i++) {
        const struct stability_trim *t = &s->trim[i];
        if (t->driven) {
            longest = fmax(longest, BAR_CLIP * fabs(t->growth[DRIVER_NONE].growth));
        }
    }
    return longest;
}

void stability_picture(const struct stability *stability, struct answer *answer) {
    picture_begin(answer, "stability.gp", answer->title);
    for (size_t i = 0; i < stability->trim_count; i++) {
        add_curve(answer, stability, &stability->trim[i]);
        picture_title(answer, "%s", stability->trim[i].own.resolved.trim_name);
    }
    const size_t neutral = add_neutral(answer, stability);
    const size_t bars = add_bars(answer, stability);
    picture_axis(answer, "flow", UNIT_FLOW);
    const double flow = stability->trim[0].own.steadiness.flow;
    picture_number(answer, (double)stability->trim_count);
    picture_number(answer, answer_shown(answer, UNIT_FLOW, stability->low));
    picture_number(answer, answer_shown(answer, UNIT_FLOW, stability->high));
    picture_number(answer, answer_shown(answer, UNIT_FLOW, flow));
    picture_number(answer, (double)neutral);
    picture_number(answer, (double)bars);
    picture_number(answer, longest_bar(stability));
}
