// SPDX-License-Identifier: MIT
// The trims side by side, and the advice, for a terminal.
#include "shown.h"
#include "trim_study.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { CELL_SIZE = 40, LABEL_WIDTH = 34, CELL_WIDTH = 15, LINE_WIDTH = 92 };

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

static void lowest_cell(const struct trim_study *s, const struct trim_window *w, double flow,
                        char *text) {
    if (isnan(flow)) {
        snprintf(text, CELL_SIZE, "none");
    } else if (flow <= w->looked_at) {
        snprintf(text, CELL_SIZE, "below %.4g", shown_number(&s->scenario, UNIT_FLOW, flow));
    } else {
        put_flow(s, flow, text);
    }
}

static void kicked_cell(const struct trim_study *s, const struct trim_record *t, char *text) {
    lowest_cell(s, &t->window, t->window.kicked, text);
}

static void settled_cell(const struct trim_study *s, const struct trim_record *t, char *text) {
    lowest_cell(s, &t->window, t->window.settled, text);
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

static void print_row(const struct trim_study *s, const char *label, cell fill) {
    printf("  %-*s", LABEL_WIDTH, label);
    for (size_t i = 0; i < s->count; i++) {
        char text[CELL_SIZE];
        fill(s, &s->trim[i], text);
        printf(" %*s", CELL_WIDTH, text);
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
    printf("  kick that a steady trim must stand: %s\n\n", low);
}

static void print_table(const struct trim_study *s) {
    const char *unit = shown_unit(&s->scenario, UNIT_FLOW);
    char label[CELL_SIZE * 2];
    printf("  %-*s", LABEL_WIDTH, "");
    for (size_t i = 0; i < s->count; i++) {
        printf(" %*.*s", CELL_WIDTH, CELL_WIDTH, s->trim[i].name);
    }
    printf("\n");
    print_row(s, "rank", rank_cell);
    snprintf(label, sizeof label, "largest flow passed [%s]", unit);
    print_row(s, label, largest_cell);
    snprintf(label, sizeof label, "lowest steady, kicked [%s]", unit);
    print_row(s, label, kicked_cell);
    snprintf(label, sizeof label, "lowest steady, left alone [%s]", unit);
    print_row(s, label, settled_cell);
    snprintf(label, sizeof label, "steady up to [%s]", unit);
    print_row(s, label, top_cell);
    print_row(s, "turndown of the window", turndown_cell);
    print_row(s, "margin below the lowest flow", margin_cell);
    print_row(s, "opening at the lowest flow", lowest_opening);
    if (!isnan(s->envelope.flow[ENVELOPE_NORMAL])) {
        print_row(s, "opening at the normal flow", normal_opening);
    }
    print_row(s, "opening at the peak", peak_opening);
    print_row(s, "highest pressure at the peak", peak_pressure);
    print_row(s, "worst verdict in the envelope", worst_cell);
    print_row(s, "largest swing in the envelope", worst_swing);
    print_row(s, "verdict today", today_cell);
    print_row(s, "pressure swing today", today_swing);
    printf("\n");
}

static void print_warnings(const struct trim_study *s) {
    const struct scenario_case *c = &s->scenario;
    char pressure[CELL_SIZE];
    char limit[CELL_SIZE];
    shown_text(c, UNIT_PRESSURE_LEVEL, c->pressure_limit, limit, CELL_SIZE);
    for (size_t i = 0; i < s->count; i++) {
        const struct trim_record *t = &s->trim[i];
        const double peak = trim_study_peak_pressure(s, t);
        shown_text(c, UNIT_PRESSURE_LEVEL, peak, pressure, CELL_SIZE);
        if (peak > c->pressure_limit) {
            printf("  WARNING: trim %s: the peak takes the pressure to %s, above the vessel limit "
                   "of %s\n",
                   t->name, pressure, limit);
        }
        if (isnan(t->adjusted)) {
            printf("  note: trim %s holds the set pressure at no flow\n", t->name);
        } else if (t->adjusted < s->today) {
            char flow[CELL_SIZE];
            shown_text(c, UNIT_FLOW, t->adjusted, flow, CELL_SIZE);
            printf("  note: trim %s does not hold the set pressure at the scenario's flow; its set "
                   "screw was\n        turned at %s\n",
                   t->name, flow);
        }
    }
    if (isnan(c->pressure_limit)) {
        printf("  note: no vessel.pressure_limit is given, so no peak is compared with it\n");
    }
}

// Text broken into lines at blanks.
static void print_wrapped(const char *text) {
    while (*text) {
        size_t length = strlen(text);
        if (length > LINE_WIDTH) {
            length = LINE_WIDTH;
            while (length > 0 && text[length] != ' ') {
                length--;
            }
            length = length > 0 ? length : LINE_WIDTH;
        }
        printf("  %.*s\n", (int)length, text);
        text += length;
        text += strspn(text, " ");
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
    print_wrapped(c->reason);
}
