// SPDX-License-Identifier: MIT
// The terminal's side of `lowlift stability`.
#include "show/stability_output.h"

#include <math.h>

static const double LN_2 = 0.6931471805599453;

static double shown_flow(const struct stability_trim *t, double si) {
    return study_subject_shown(&t->own, UNIT_FLOW, si);
}

static void print_today(FILE *out, const struct stability_trim *t) {
    const struct steadiness_settled *s = &t->today;
    fprintf(out, "trim %s: %s at %.5g %s", t->own.resolved.trim_name, steadiness_rest_name(s->rest),
            shown_flow(t, t->own.steadiness.flow), study_subject_unit(&t->own, UNIT_FLOW));
    if (s->rest == STEADINESS_UNSTEADY) {
        fprintf(out, ": left alone, a small swing doubles in %.3g s", LN_2 / s->growth);
    }
    if (!isnan(s->travel)) {
        fprintf(out, "\n  point of rest: %.4g %% open at %.5g %s",
                study_subject_percent(&t->own, s->travel),
                study_subject_shown(&t->own, UNIT_PRESSURE_LEVEL, s->pressure),
                study_subject_unit(&t->own, UNIT_PRESSURE_LEVEL));
    }
    if (s->points > 1) {
        fprintf(out, ", the first of %zu open points of rest", s->points);
    }
    fprintf(out, "\n");
    study_subject_note(out, &t->own);
}

static void print_range(FILE *out, const struct stability_trim *t) {
    const struct steadiness_window *w = &t->window;
    const char *unit = study_subject_unit(&t->own, UNIT_FLOW);
    switch (w->range) {
    case STEADINESS_EVERYWHERE:
        fprintf(out, "  steady at every flow");
        break;
    case STEADINESS_FROM:
        fprintf(out, "  steady from %.5g %s upward", shown_flow(t, w->lowest), unit);
        break;
    case STEADINESS_NOWHERE:
        fprintf(out, "  steady at no flow");
        break;
    case STEADINESS_NOT_AT_TOP:
        fprintf(out, "  steady in part, but not at the top");
        break;
    case STEADINESS_NOT_PASSED:
        fprintf(out, "  wide open at every flow");
        break;
    }
    fprintf(out, " (looked at %.5g to %.5g %s%s)\n", shown_flow(t, w->low), shown_flow(t, w->top),
            unit,
            w->range != STEADINESS_NOT_PASSED && !w->high_passed ? ", above which it is wide open"
                                                                 : "");
    for (size_t i = 0; i < w->count; i++) {
        const struct steadiness_change *c = &w->change[i];
        fprintf(out, "  %s flow %.5g %s: %s below, %s above",
                c->below <= STEADINESS_UNSTEADY && c->above <= STEADINESS_UNSTEADY ? "neutral"
                                                                                   : "change at",
                shown_flow(t, c->flow), unit, steadiness_rest_name(c->below),
                steadiness_rest_name(c->above));
        if (c->frequency > 0.0) {
            fprintf(out, ", %.4g Hz", c->frequency);
        }
        fprintf(out, "\n");
    }
}

static void print_modes(FILE *out, const struct stability_trim *t) {
    if (t->modes.count == 0) {
        return;
    }
    fprintf(out, "  modes:      frequency   damping ratio       growth\n");
    double zero = steadiness_zero(&t->modes);
    for (size_t i = 0; i < t->modes.count; i++) {
        const struct linear_mode *m = &t->modes.at[i];
        if (m->frequency > 0.0) {
            fprintf(out, "    swings  %10.4g Hz %14.4f %+12.4g /s%s\n", m->frequency,
                    m->damping_ratio, m->growth, m->growth > 0.0 ? "  grows" : "");
        } else if (fabs(m->growth) <= zero) {
            fprintf(out, "    stays                                          0 /s  as it is\n");
        } else {
            fprintf(out, "    no swing                            %+12.4g /s%s\n", m->growth,
                    m->growth > 0.0 ? "  grows" : "");
        }
    }
}

static void print_driver(FILE *out, enum driver driver, const struct driver_growth *g) {
    char words[96];
    snprintf(words, sizeof words, "%s%s", driver == DRIVER_NONE ? "" : "if ", driver_words(driver));
    fprintf(out, "    %-65s", words);
    if (!g->swings) {
        fprintf(out, " no swing is left\n");
    } else if (g->frequency > 0.0) {
        fprintf(out, "%+10.4g /s %9.4g Hz\n", g->growth, g->frequency);
    } else {
        fprintf(out, "%+10.4g /s   runs away\n", g->growth);
    }
}

static void print_drivers(FILE *out, const struct stability_trim *t) {
    if (!t->driven) {
        return;
    }
    char words[96];
    snprintf(words, sizeof words,
             "what drives the swing of %.4g Hz:", t->growth[DRIVER_NONE].frequency);
    fprintf(out, "  %-67s    growth     frequency\n", words);
    for (int i = 0; i < DRIVER_COUNT; i++) {
        if (t->growth[i].applies) {
            print_driver(out, (enum driver)i, &t->growth[i]);
        }
    }
}

void stability_output_print(FILE *out, const struct stability *stability) {
    for (size_t i = 0; i < stability->trim_count; i++) {
        const struct stability_trim *t = &stability->trim[i];
        print_today(out, t);
        print_range(out, t);
        print_modes(out, t);
        print_drivers(out, t);
        fprintf(out, "\n");
    }
    fprintf(out,
            "Small motions only, without dry friction and seat contact: a steady flow may still "
            "hunt\nafter a kick, and friction may hold an unsteady one (lowlift kick).\n");
}
