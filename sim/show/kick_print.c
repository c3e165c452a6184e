// SPDX-License-Identifier: MIT
// The terminal's side of `lowlift kick`.
#include "show/kick_output.h"

#include <math.h>

const char *kick_output_settled(const struct kick_point *point) {
    const struct steadiness_kick *k = &point->smallest;
    bool held = k->rest == STEADINESS_UNSTEADY && k->size > 0.0;
    return held ? "held" : steadiness_rest_name(k->rest);
}

static void print_kick(FILE *out, const struct study_subject *own, const struct kick *kick,
                       const struct kick_point *p) {
    const char *unit = study_subject_unit(own, UNIT_PRESSURE_DROP);
    double size = study_subject_shown(own, UNIT_PRESSURE_DROP, p->smallest.size);
    char text[48];
    if (isnan(size)) {
        snprintf(text, sizeof text, "-");
    } else if (isinf(size)) {
        snprintf(text, sizeof text, "none up to %.3g %s",
                 study_subject_shown(own, UNIT_PRESSURE_DROP, kick->largest), unit);
    } else if (size == 0.0) {
        snprintf(text, sizeof text, "needs none");
    } else {
        snprintf(text, sizeof text, "%.3g %s %s", size, unit, p->smallest.upward ? "up" : "down");
    }
    fprintf(out, "%-22s", text);
}

// Verdict of a step, with the swing when it moves.
static void print_step(FILE *out, const struct study_subject *own, const struct sweep_step *step,
                       int width) {
    char text[64];
    double swing = study_subject_shown(own, UNIT_PRESSURE_DROP, step->pressure_swing);
    if (step->verdict <= VERDICT_RINGING || isnan(swing)) {
        snprintf(text, sizeof text, "%s", verdict_name(step->verdict));
    } else {
        snprintf(text, sizeof text, "%s, %.3g %s", verdict_name(step->verdict), swing,
                 study_subject_unit(own, UNIT_PRESSURE_DROP));
    }
    fprintf(out, "%-*s", width, text);
}

static void print_trim(FILE *out, const struct kick *kick, const struct kick_trim *t) {
    fprintf(out, "trim %s\n", t->own.resolved.trim_name);
    study_subject_note(out, &t->own);
    char flow[32];
    snprintf(flow, sizeof flow, "flow [%s]", study_subject_unit(&t->own, UNIT_FLOW));
    fprintf(out, "  %-15s%-12s%-22s%-13s%-22s%s\n", flow, "left alone", "smallest kick", "restart",
            "flow rising", "flow falling");
    for (size_t i = 0; i < kick->points; i++) {
        const struct kick_point *p = &t->point[i];
        fprintf(out, "  %-15.4g%-12s", study_subject_shown(&t->own, UNIT_FLOW, p->flow),
                kick_output_settled(p));
        print_kick(out, &t->own, kick, p);
        fprintf(out, "%-13s",
                p->restart == STEADINESS_NO_RUN ? "-" : verdict_name(p->restart_verdict));
        print_step(out, &t->own, &t->up[i], 22);
        print_step(out, &t->own, &t->down[i], 0);
        fprintf(out, "\n");
    }
    fprintf(out, "\n");
}

void kick_output_print(FILE *out, const struct kick *kick) {
    for (size_t i = 0; i < kick->trim_count; i++) {
        print_trim(out, kick, &kick->trim[i]);
    }
    fprintf(out, "held: a small motion would grow, but friction holds the plug until it is "
                 "disturbed.\nThe smallest kick moves the controlled pressure at once and does not "
                 "die out.\n");
}
