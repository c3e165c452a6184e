// SPDX-License-Identifier: MIT
#include "run/passage.h"

#include <math.h>

// When any of the schedules changes next.
static double next_change(const struct regulator_parameters *p, double time) {
    const struct schedule *const all[] = {&p->flow, &p->boundary, &p->set_point, &p->level};
    double next = (double)INFINITY;
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) {
        const double end = schedule_piece_end(all[i], schedule_piece(all[i], time));
        next = end > time ? fmin(next, end) : next;
    }
    return next;
}

static size_t contacts_until(const struct contact_event *event, size_t count, double time) {
    size_t n = 0;
    while (n < count && event[n].time <= time) {
        n++;
    }
    return n;
}

// The record up to the end of a passage, as if the run had begun to be judged at its start.
static bool judge(const struct simulation *s, double from, double to, struct passage *out) {
    const struct verdict_limits limits = s->limits;
    struct verdict_input in = s->input;
    const double samples = floor(to / s->step) + 1.0;
    const size_t count = samples < (double)s->count ? (size_t)samples : s->count;
    in.motion.pressure.count = count;
    in.motion.travel.count = count;
    in.motion.seat.count = contacts_until(s->seat, s->seat_count, to);
    in.motion.stop.count = contacts_until(s->stop, s->stop_count, to);
    in.from = from;
    in.limit = (double)(count - 1) * s->step;
    in.schedule_period = 0.0;
    in.schedule_changing = false;
    out->from = from;
    out->to = to;
    return in.limit > from && verdict_judge(&in, &limits, &out->judged);
}

static bool moves(enum verdict verdict) {
    return verdict >= VERDICT_HUNTING && verdict <= VERDICT_CHATTER;
}

static bool is_worse(const struct passage *a, const struct passage *b) {
    const struct verdict_result *x = &a->judged, *y = &b->judged;
    return x->verdict != y->verdict ? x->verdict > y->verdict
                                    : x->figures.pressure_swing > y->figures.pressure_swing;
}

bool passage_worst(const struct simulation *s, struct passage *out) {
    const struct regulator_parameters *p = &s->start.regulator.parameters;
    const double end = fmin(s->start.kick_end, s->statistics.end_time);
    bool found = false;
    if (s->count == 0 || (moves(s->judged.verdict) && s->judged.verdict > VERDICT_IRREGULAR)) {
        return false;
    }
    for (double from = 0.0; from < end;) {
        const double to = fmin(next_change(p, from), end);
        struct passage here;
        if (judge(s, from, to, &here) && moves(here.judged.verdict) &&
            here.judged.verdict != s->judged.verdict && (!found || is_worse(&here, out))) {
            *out = here;
            found = true;
        }
        from = to;
    }
    return found;
}
