// SPDX-License-Identifier: MIT
// The outlook of each trim in words and dates, for a terminal.
#include "base/calendar.h"
#include "scenario/shown.h"
#include "show/window_text.h"
#include "study/decline_study.h"

#include <math.h>
#include <stdio.h>

enum { TEXT_SIZE = 160 };

// From this correlation of successive residuals on, the stated intervals are too narrow: twice its
// standard error, 1/sqrt(n), without correlation.
static bool correlated(const struct decline *d) {
    const double n = (double)d->record.count;
    return d->fit[d->model].correlation > 2.0 / sqrt(n);
}

static void print_fit(const struct decline_study *s) {
    const struct decline *d = &s->decline;
    const struct arps_fit *fit = &d->fit[d->model];
    char first[CALENDAR_TEXT_SIZE];
    char last[CALENDAR_TEXT_SIZE];
    decline_date(d, 0.0, first);
    decline_date(d, d->today, last);
    printf("  fitted to %zu rates from %s to %s", d->record.count, first, last);
    if (d->skipped > 0) {
        printf(", %zu of nothing left out", d->skipped);
    }
    if (d->earlier > 0) {
        printf(", %zu before decline.start left out", d->earlier);
    }
    if (fit->residual == ARPS_LOG_RATE) {
        printf("; scatter %.3g %%\n", 100.0 * fit->scatter);
    } else {
        printf("; scatter %.3g %s\n", decline_study_flow(s, fit->scatter), s->flow_unit);
    }
    printf("  why this law: %s\n", d->reason);
    if (fit->at_bound) {
        printf("  note: the exponent b stands at its bound; another law may fit better\n");
    }
    if (correlated(d)) {
        printf("  note: the scatter is not independent (each rate goes with the next, correlation "
               "%.2g):\n        the true dates are less certain than the intervals say\n",
               fit->correlation);
    }
}

static void print_head(const struct decline_study *s) {
    char words[TEXT_SIZE];
    char date[CALENDAR_TEXT_SIZE];
    const struct decline *d = &s->decline;
    char kick[TEXT_SIZE];
    decline_words(d, words, sizeof words);
    decline_date(d, d->today, date);
    printf("%s\n", s->scenario.title[0] ? s->scenario.title : "scenario");
    printf("  decline: %s; %.4g %s on %s\n", words,
           decline_study_flow(s, arps_rate(&d->curve, d->today)), s->flow_unit, date);
    if (d->fitted) {
        print_fit(s);
    }
    shown_text(&s->scenario, UNIT_PRESSURE_DROP, s->search.kick, kick, sizeof kick);
    printf("  kick that a steady trim must stand: %s\n", kick);
    window_text_screw(&s->scenario, false, (double)NAN);
    printf("\n");
}

// Last date that was looked at.
static void end_date(const struct decline_study *s, char *text) {
    const double lowest = arps_time(&s->decline.curve, s->search.lowest);
    decline_date(&s->decline, fmin(lowest, s->horizon), text);
}

static void interval_text(const struct decline_study *s, const struct outlook_crossing *c,
                          char *text) {
    char early[CALENDAR_TEXT_SIZE];
    char late[CALENDAR_TEXT_SIZE];
    text[0] = '\0';
    if (isnan(c->early)) {
        return;
    }
    decline_date(&s->decline, c->early, early);
    decline_date(&s->decline, c->late, late);
    snprintf(text, TEXT_SIZE, " (%.0f %%: %s to %s)", 100.0 * ARPS_CONFIDENCE, early,
             isinf(c->late) ? "no end in sight" : late);
}

static void when_text(const struct decline_study *s, const struct outlook_crossing *c, char *text) {
    char date[CALENDAR_TEXT_SIZE];
    char interval[TEXT_SIZE];
    switch (c->when) {
    case OUTLOOK_ON:
        decline_date(&s->decline, c->years, date);
        interval_text(s, c, interval);
        snprintf(text, TEXT_SIZE, "%s%.80s", date, interval);
        break;
    case OUTLOOK_LATER:
    case OUTLOOK_NEVER:
        end_date(s, date);
        snprintf(text, TEXT_SIZE, "not before %s", date);
        break;
    case OUTLOOK_BEFORE:
        decline_date(&s->decline, c->years, date);
        snprintf(text, TEXT_SIZE, "%s", isnan(c->years) ? "before" : date);
        break;
    case OUTLOOK_NO_FLOW:
        snprintf(text, TEXT_SIZE, "-");
        break;
    }
}

static void print_row(const struct decline_study *s, const struct decline_trim *t, int width) {
    const struct trim_window *w = &t->window;
    char name[WINDOW_TEXT_SIZE];
    char largest[WINDOW_TEXT_SIZE];
    char pressure[WINDOW_TEXT_SIZE];
    char kicked[WINDOW_TEXT_SIZE];
    char below_kicked[WINDOW_TEXT_SIZE];
    char settled[WINDOW_TEXT_SIZE];
    char below_settled[WINDOW_TEXT_SIZE];
    window_text_name(t->name, width, name);
    window_text_lowest(&s->scenario, w->largest, 0.0, largest);
    shown_text(&s->scenario, UNIT_PRESSURE_LEVEL, w->pressure, pressure, sizeof pressure);
    window_text_lowest(&s->scenario, w->kicked, w->looked_at, kicked);
    window_text_below(w, true, below_kicked);
    window_text_lowest(&s->scenario, w->settled, w->looked_at, settled);
    window_text_below(w, false, below_settled);
    printf("  %-*s %12s %12s %14s %11s %14s %11s\n", width, name, largest, pressure, kicked,
           below_kicked, settled, below_settled);
}

static void print_table(const struct decline_study *s) {
    const char *name[STUDY_REQUEST_TRIMS_MAX];
    bool shut = false;
    for (size_t i = 0; i < s->count; i++) {
        name[i] = s->trim[i].name;
    }
    const int width = window_text_width(name, s->count, 8, WINDOW_TEXT_NAME_MAX);
    printf("  flows in %s; passed: within 90 %% of the travel%s, at that settled pressure\n",
           s->flow_unit, isnan(s->search.limit) ? "" : " and the vessel limit");
    printf("  %-*s %12s %12s %14s %11s %14s %11s\n", width, "trim", "largest flow", "at",
           "lowest, kicked", "below it", "lowest, alone", "below it");
    for (size_t i = 0; i < s->count; i++) {
        print_row(s, &s->trim[i], width);
    }
    printf("\n");
    for (size_t i = 0; i < s->count; i++) {
        const struct decline_trim *t = &s->trim[i];
        window_text_notes(&s->scenario, t->name, t->adjusted, &t->window);
        shut = shut || window_text_is_shut(&t->window);
    }
    if (shut) {
        window_text_shut(&s->scenario);
    }
}

static void print_empty(const struct decline_trim *t, bool limited) {
    const struct trim_window *w = &t->window;
    if (isnan(t->adjusted)) {
        printf("holds the set pressure at no flow\n");
    } else if (isnan(w->largest)) {
        printf("passes not even the lowest flow within 90 %% of its travel%s\n",
               limited ? " and the vessel limit" : "");
    } else if (w->settled_range == STEADINESS_NOT_AT_TOP) {
        printf("is not steady at the largest flow it passes, though at some lower one\n");
    } else {
        printf("is steady at none of the flows it passes\n");
    }
}

static void print_sentence(const struct decline_study *s, const struct decline_trim *t) {
    char passes[TEXT_SIZE];
    char kicked[TEXT_SIZE];
    char settled[TEXT_SIZE];
    const struct outlook *o = &t->outlook;
    when_text(s, &o->passes, passes);
    when_text(s, &o->kicked, kicked);
    when_text(s, &o->settled, settled);
    printf("  %s: ", t->name);
    switch (o->state) {
    case OUTLOOK_INSIDE:
        printf("in its window; leaves it %s\n", kicked);
        break;
    case OUTLOOK_DELICATE:
        printf("steady only until something disturbs it; from %s on it moves by itself\n", settled);
        break;
    case OUTLOOK_BELOW:
        printf("outside: the flow is already below what it is steady at%s%s\n",
               isnan(o->settled.years) ? "" : ", since ", isnan(o->settled.years) ? "" : settled);
        break;
    case OUTLOOK_TOO_SMALL:
        printf("too small today; passes the flow from %s on", passes);
        if (isnan(t->window.kicked)) {
            printf(", but stands no kick\n");
        } else {
            printf(",\n      and leaves its window %s\n", kicked);
        }
        break;
    case OUTLOOK_EMPTY:
        print_empty(t, !isnan(s->search.limit));
        break;
    }
}

void decline_study_print(const struct decline_study *s) {
    char end[CALENDAR_TEXT_SIZE];
    print_head(s);
    print_table(s);
    for (size_t i = 0; i < s->count; i++) {
        print_sentence(s, &s->trim[i]);
    }
    end_date(s, end);
    printf("  looked as far as %s, when the flow is %.4g %s\n", end,
           decline_study_flow(s, s->search.lowest), s->flow_unit);
}
