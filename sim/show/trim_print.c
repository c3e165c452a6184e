// SPDX-License-Identifier: MIT
// The trims side by side, and the advice, for a terminal.
#include "base/wrap.h"
#include "scenario/shown.h"
#include "show/window_text.h"
#include "study/trim_study.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { CELL_SIZE = WINDOW_TEXT_SIZE, LABEL_WIDTH = 34, CELL_WIDTH = 15 };

typedef void (*cell)(const struct trim_study *s, const struct trim_record *t, char *text);

static void put_flow(const struct trim_study *s, double flow, char *text) {
    snprintf(text, CELL_SIZE, "%.4g", shown_number(&s->scenario, UNIT_FLOW, flow));
}

static void rank_cell(const struct trim_study *s, const struct trim_record *t, char *text) {
    (void)s;
    snprintf(text, CELL_SIZE, "%zu%s", t->rank, t->parts == 0 ? " (in place)" : "");
}

static void largest_cell(const struct trim_study *s, const struct trim_record *t, char *text) {
    put_flow(s, t->window.largest, text);
    const size_t used = strlen(text);
    if (isnan(t->window.largest)) {
        snprintf(text, CELL_SIZE, "none");
    } else if (t->window.bound == STEADINESS_BOUND_LIMIT) {
        snprintf(text + used, CELL_SIZE - used, " (limit)");
    }
}

static void largest_pressure(const struct trim_study *s, const struct trim_record *t, char *text) {
    shown_text(&s->scenario, UNIT_PRESSURE_LEVEL, t->window.pressure, text, CELL_SIZE);
}

static void kicked_cell(const struct trim_study *s, const struct trim_record *t, char *text) {
    window_text_lowest(&s->scenario, t->window.kicked, t->window.looked_at, text);
}

static void below_kicked(const struct trim_study *s, const struct trim_record *t, char *text) {
    (void)s;
    window_text_below(&t->window, true, text);
}

static void settled_cell(const struct trim_study *s, const struct trim_record *t, char *text) {
    window_text_lowest(&s->scenario, t->window.settled, t->window.looked_at, text);
}

static void below_settled(const struct trim_study *s, const struct trim_record *t, char *text) {
    (void)s;
    window_text_below(&t->window, false, text);
}

static void top_cell(const struct trim_study *s, const struct trim_record *t, char *text) {
    if (isnan(t->window.top)) {
        snprintf(text, CELL_SIZE, "none");
    } else {
        put_flow(s, t->window.top, text);
    }
}

static void turndown_cell(const struct trim_study *s, const struct trim_record *t, char *text) {
    (void)s;
    const struct trim_window *w = &t->window;
    if (isnan(w->top) || isnan(w->kicked)) {
        snprintf(text, CELL_SIZE, "-");
    } else {
        snprintf(text, CELL_SIZE, "%s%.4g", w->kicked <= w->looked_at ? "over " : "",
                 w->top / w->kicked);
    }
}

static void margin_cell(const struct trim_study *s, const struct trim_record *t, char *text) {
    (void)s;
    const bool floor = t->window.kicked <= t->window.looked_at;
    snprintf(text, CELL_SIZE, "%s%.3g", floor ? "over " : "", t->judged.margin);
}

// Openings at both pressures, smaller first.
static void opening_cell(const struct trim_study *s, const struct trim_record *t,
                         enum envelope_flow flow, char *text) {
    const double a = 100.0 * t->point[flow][0].opening;
    const double b = 100.0 * t->point[flow][s->envelope.pressure_count - 1].opening;
    if (isnan(a) || isnan(b)) {
        snprintf(text, CELL_SIZE, "-");
    } else if (fabs(a - b) < 0.005 * fmax(a, b)) {
        snprintf(text, CELL_SIZE, "%.3g %%", a);
    } else {
        snprintf(text, CELL_SIZE, "%.3g..%.3g %%", fmin(a, b), fmax(a, b));
    }
}

static void lowest_opening(const struct trim_study *s, const struct trim_record *t, char *text) {
    opening_cell(s, t, ENVELOPE_LOWEST, text);
}

static void normal_opening(const struct trim_study *s, const struct trim_record *t, char *text) {
    opening_cell(s, t, ENVELOPE_NORMAL, text);
}

static void peak_opening(const struct trim_study *s, const struct trim_record *t, char *text) {
    opening_cell(s, t, ENVELOPE_PEAK, text);
}

static void peak_pressure(const struct trim_study *s, const struct trim_record *t, char *text) {
    shown_text(&s->scenario, UNIT_PRESSURE_LEVEL, trim_study_peak_pressure(s, t), text, CELL_SIZE);
}

static void worst_cell(const struct trim_study *s, const struct trim_record *t, char *text) {
    (void)s;
    snprintf(text, CELL_SIZE, "%s", verdict_name(t->worst));
}

static void worst_swing(const struct trim_study *s, const struct trim_record *t, char *text) {
    shown_text(&s->scenario, UNIT_PRESSURE_DROP, t->worst_swing, text, CELL_SIZE);
}

static void today_cell(const struct trim_study *s, const struct trim_record *t, char *text) {
    (void)s;
    snprintf(text, CELL_SIZE, "%s", verdict_name(t->today));
}

static void today_swing(const struct trim_study *s, const struct trim_record *t, char *text) {
    shown_text(&s->scenario, UNIT_PRESSURE_DROP, t->today_swing, text, CELL_SIZE);
}

static void print_row(const struct trim_study *s, int width, const char *label, cell fill) {
    printf("  %-*s", LABEL_WIDTH, label);
    for (size_t i = 0; i < s->count; i++) {
        char text[CELL_SIZE];
        fill(s, &s->trim[i], text);
        printf(" %*s", width, text);
    }
    printf("\n");
}

static void print_head(const struct trim_study *s) {
    const struct scenario_case *c = &s->scenario;
    const struct envelope *e = &s->envelope;
    char text[ENVELOPE_FLOW_COUNT][CELL_SIZE];
    char low[CELL_SIZE];
    char high[CELL_SIZE];
    for (int f = 0; f < ENVELOPE_FLOW_COUNT; f++) {
        shown_text(c, UNIT_FLOW, e->flow[f], text[f], CELL_SIZE);
    }
    printf("%s\n", c->title[0] ? c->title : "scenario");
    printf("  envelope: lowest %s, normal %s, peak %s\n", text[ENVELOPE_LOWEST],
           text[ENVELOPE_NORMAL], text[ENVELOPE_PEAK]);
    if (!isnan(e->pressure[0])) {
        shown_text(c, UNIT_PRESSURE_LEVEL, e->pressure[0], low, CELL_SIZE);
        shown_text(c, UNIT_PRESSURE_LEVEL, e->pressure[e->pressure_count - 1], high, CELL_SIZE);
        printf("  %s pressure %s to %s\n",
               e->of_set                             ? "set"
               : c->model.duty == DUTY_BACK_PRESSURE ? "downstream"
                                                     : "inlet",
               low, high);
    }
    shown_text(c, UNIT_PRESSURE_DROP, s->search.kick, low, CELL_SIZE);
    printf("  kick that a steady trim must stand: %s\n", low);
    window_text_screw(c, e->of_set, e->flow[ENVELOPE_NORMAL]);
    printf("\n");
}

// A column that holds the names, unless that makes the lines too wide.
static int column_width(const struct trim_study *s) {
    const char *name[STUDY_REQUEST_TRIMS_MAX];
    for (size_t i = 0; i < s->count; i++) {
        name[i] = s->trim[i].name;
    }
    const int room = (WRAP_WIDTH - LABEL_WIDTH - 2) / (s->count > 0 ? (int)s->count : 1) - 1;
    int most = room < WINDOW_TEXT_NAME_MAX ? room : WINDOW_TEXT_NAME_MAX;
    most = most < CELL_WIDTH ? CELL_WIDTH : most;
    return window_text_width(name, s->count, CELL_WIDTH, most);
}

// Where a name that is too long for a line of its column is broken: after a mark, if there is one.
static int break_of(const char *name, int width) {
    const int length = (int)strlen(name);
    if (length <= width) {
        return length;
    }
    for (int i = width; i > 1; i--) {
        if (strchr("-_. ", name[i - 1])) {
            return i;
        }
    }
    return width;
}

// On two lines where they need it.
static void print_names(const struct trim_study *s, int width) {
    bool more = true;
    for (int line = 0; line < 2 && more; line++) {
        more = false;
        printf("  %-*s", LABEL_WIDTH, "");
        for (size_t i = 0; i < s->count; i++) {
            const char *name = s->trim[i].name;
            const int first = break_of(name, width);
            char rest[CELL_SIZE];
            window_text_name(name + first, width, rest);
            more = more || rest[0];
            printf(" %*.*s", width, line == 0 ? first : width, line == 0 ? name : rest);
        }
        printf("\n");
    }
}

static void print_table(const struct trim_study *s) {
    const char *unit = shown_unit(&s->scenario, UNIT_FLOW);
    const int width = column_width(s);
    char label[CELL_SIZE * 2];
    print_names(s, width);
    print_row(s, width, "rank", rank_cell);
    snprintf(label, sizeof label, "largest flow passed [%s]", unit);
    print_row(s, width, label, largest_cell);
    print_row(s, width, "  at a settled pressure of", largest_pressure);
    snprintf(label, sizeof label, "lowest steady, kicked [%s]", unit);
    print_row(s, width, label, kicked_cell);
    print_row(s, width, "  below that, when kicked", below_kicked);
    snprintf(label, sizeof label, "lowest steady, left alone [%s]", unit);
    print_row(s, width, label, settled_cell);
    print_row(s, width, "  below that, when kicked", below_settled);
    snprintf(label, sizeof label, "steady up to [%s]", unit);
    print_row(s, width, label, top_cell);
    print_row(s, width, "turndown of the window", turndown_cell);
    print_row(s, width, "margin below the lowest flow", margin_cell);
    print_row(s, width, "opening at the lowest flow", lowest_opening);
    if (!isnan(s->envelope.flow[ENVELOPE_NORMAL])) {
        print_row(s, width, "opening at the normal flow", normal_opening);
    }
    print_row(s, width, "opening at the peak", peak_opening);
    print_row(s, width, "settled pressure at the peak", peak_pressure);
    print_row(s, width, "worst verdict in the envelope", worst_cell);
    print_row(s, width, "largest swing in the envelope", worst_swing);
    print_row(s, width, "verdict today", today_cell);
    print_row(s, width, "pressure swing today", today_swing);
    printf("\n");
}

static void print_warnings(const struct trim_study *s) {
    const struct scenario_case *c = &s->scenario;
    char pressure[CELL_SIZE];
    char limit[CELL_SIZE];
    bool shut = false;
    shown_text(c, UNIT_PRESSURE_LEVEL, c->pressure_limit, limit, CELL_SIZE);
    for (size_t i = 0; i < s->count; i++) {
        const struct trim_record *t = &s->trim[i];
        const double peak = trim_study_peak_pressure(s, t);
        shown_text(c, UNIT_PRESSURE_LEVEL, peak, pressure, CELL_SIZE);
        if (peak > c->pressure_limit) {
            printf("  WARNING: trim %s: the peak settles at %s, above the vessel limit "
                   "of %s\n",
                   t->name, pressure, limit);
        }
        window_text_notes(c, t->name, t->adjusted, &t->window);
        shut = shut || window_text_is_shut(&t->window);
    }
    if (shut) {
        window_text_shut(c);
    }
    if (isnan(c->pressure_limit)) {
        printf("  note: no vessel.pressure_limit is given, so no peak is compared with it\n");
    }
}

void trim_study_print(const struct trim_study *s) {
    print_head(s);
    print_table(s);
    print_warnings(s);
    const struct trim_choice *c = &s->choice;
    const char *name = s->trim[c->rank[0].candidate].name;
    if (c->advice == TRIM_ADVICE_FIT) {
        printf("  advice: fit %s\n", name);
    } else {
        printf("  advice: %s\n", trim_advice_name(c->advice));
    }
    wrap_print(stdout, 2, "", c->reason);
}
