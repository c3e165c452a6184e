// SPDX-License-Identifier: MIT
// Until when a trim serves, in one sentence.
#include "base/calendar.h"
#include "trims/decline_study.h"

#include <math.h>

const char *decline_study_date(struct answer *answer, const struct decline_study *s, double years) {
    char text[CALENDAR_TEXT_SIZE];
    if (!isfinite(years)) {
        return NULL;
    }
    decline_date(&s->decline, years, text);
    return answer_keep(answer, "%s", text);
}

const char *decline_study_end(struct answer *answer, const struct decline_study *s) {
    const double lowest = arps_time(&s->decline.curve, s->search.lowest);
    return decline_study_date(answer, s, fmin(lowest, s->horizon));
}

static const char *when(struct answer *answer, const struct decline_study *s,
                        const struct outlook_crossing *c) {
    const char *date = decline_study_date(answer, s, c->years);
    switch (c->when) {
    case OUTLOOK_ON:
        return isnan(c->early)
                   ? date
                   : answer_keep(answer, "%s (%.0f %%: %s to %s)", date, 100.0 * ARPS_CONFIDENCE,
                                 decline_study_date(answer, s, c->early),
                                 isinf(c->late) ? "no end in sight"
                                                : decline_study_date(answer, s, c->late));
    case OUTLOOK_LATER:
    case OUTLOOK_NEVER:
        return answer_keep(answer, "not before %s", decline_study_end(answer, s));
    case OUTLOOK_BEFORE:
        return date ? date : "before";
    case OUTLOOK_NO_FLOW:
        break;
    }
    return "-";
}

// "from DATE on", or when not.
static const char *from(struct answer *answer, const struct decline_study *s,
                        const struct outlook_crossing *c) {
    const char *date = when(answer, s, c);
    return c->when == OUTLOOK_ON ? answer_keep(answer, "from %s on", date) : date;
}

static const char *why_empty(struct answer *answer, const struct decline_trim *t, bool limited) {
    const struct trim_window *w = &t->window;
    if (isnan(t->adjusted)) {
        return "holds the set pressure at no flow";
    }
    if (isnan(w->largest)) {
        return answer_keep(answer, "passes not even the lowest flow %s",
                           trim_window_bounds(limited));
    }
    return w->settled_range == STEADINESS_NOT_AT_TOP
               ? "is not steady at the largest flow it passes, though at some lower one"
               : "is steady at none of the flows it passes";
}

// What it does below the flow down to which it is steady left alone.
static const char *alone(const struct trim_window *window) {
    return window->below_settled == VERDICT_SHUT ? "stays shut" : "moves by itself";
}

// Below its window, and since when as far as the record tells. The date on which it left is the
// one that files and picture have.
static const char *below(struct answer *answer, const struct decline_study *s,
                         const struct outlook *o) {
    const char *left = decline_study_date(answer, s, o->kicked.years);
    const char *since = decline_study_date(answer, s, o->settled.years);
    return left ? answer_keep(answer,
                              "outside: left its window %s, and is not steady even if left alone "
                              "since %s",
                              left, since)
           : since
               ? answer_keep(answer,
                             "outside: the flow is already below what it is steady at, since %s",
                             since)
               : "outside: the flow is already below what it is steady at";
}

const char *decline_study_sentence(struct answer *answer, const struct decline_study *s,
                                   const struct decline_trim *t) {
    const struct outlook *o = &t->outlook;
    const char *left = decline_study_date(answer, s, o->kicked.years);
    switch (o->state) {
    case OUTLOOK_INSIDE:
        return answer_keep(answer, "in its window; leaves it %s", when(answer, s, &o->kicked));
    case OUTLOOK_DELICATE:
        return answer_keep(answer, "steady only until something disturbs it%s%s; %s %s",
                           left ? ", since " : "", left ? left : "", alone(&t->window),
                           from(answer, s, &o->settled));
    case OUTLOOK_BELOW:
        return below(answer, s, o);
    case OUTLOOK_TOO_SMALL:
        return answer_keep(
            answer, "too small today; passes the flow %s, %s%s", from(answer, s, &o->passes),
            isnan(t->window.kicked) ? "but stands no kick" : "and leaves its window ",
            isnan(t->window.kicked) ? "" : when(answer, s, &o->kicked));
    case OUTLOOK_EMPTY:
        break;
    }
    return why_empty(answer, t, !isnan(s->search.limit));
}
