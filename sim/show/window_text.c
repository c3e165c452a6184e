// SPDX-License-Identifier: MIT
#include "show/window_text.h"

#include "scenario/shown.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

// Flows that differ by less than this share are the same to a reader.
#define SAME_FLOW 1e-3

int window_text_width(const char *const *name, size_t count, int least, int most) {
    int width = least;
    for (size_t i = 0; i < count; i++) {
        const int length = (int)strlen(name[i]);
        width = length > width ? length : width;
    }
    return width < most ? width : most;
}

void window_text_name(const char *name, int width, char text[WINDOW_TEXT_SIZE]) {
    const int length = (int)strlen(name);
    if (length <= width) {
        snprintf(text, WINDOW_TEXT_SIZE, "%s", name);
        return;
    }
    const int head = (width - 2 + 1) / 2;
    snprintf(text, WINDOW_TEXT_SIZE, "%.*s..%s", head, name, name + length - (width - 2 - head));
}

void window_text_lowest(const struct scenario_case *scenario, double flow, double looked_at,
                        char text[WINDOW_TEXT_SIZE]) {
    if (isnan(flow)) {
        snprintf(text, WINDOW_TEXT_SIZE, "none");
        return;
    }
    snprintf(text, WINDOW_TEXT_SIZE, "%s%.4g", flow <= looked_at ? "below " : "",
             shown_number(scenario, UNIT_FLOW, flow));
}

const char *window_text_reason(enum verdict verdict) {
    return verdict <= VERDICT_RINGING ? "dies out slowly" : verdict_name(verdict);
}

void window_text_below(const struct trim_window *window, bool kicked, char text[WINDOW_TEXT_SIZE]) {
    const double end = kicked ? window->kicked : window->settled;
    // Comparison with NaN is false: no end, no reason.
    snprintf(text, WINDOW_TEXT_SIZE, "%s",
             end > window->looked_at
                 ? window_text_reason(kicked ? window->below_kicked : window->below_settled)
                 : "-");
}

static double own_flow(const struct scenario_case *scenario) {
    const struct schedule *flow = &scenario->model.flow;
    return schedule_value(flow, schedule_piece(flow, 0.0), 0.0);
}

void window_text_screw(const struct scenario_case *scenario, bool anew, double normal) {
    char text[WINDOW_TEXT_SIZE];
    const double own = own_flow(scenario);
    if (!scenario->set_at_flow) {
        printf("  set screw: as set.adjusted says, where the regulator begins to open%s; left "
               "there at every flow\n",
               anew ? " (anew at each set pressure)" : "");
        return;
    }
    shown_text(scenario, UNIT_FLOW, own, text, sizeof text);
    printf("  set screw: turned at %s, the scenario's first flow%s; left there at every other\n",
           text, anew ? " (anew at each set pressure)" : "");
    if (fabs(normal - own) > SAME_FLOW * own) {
        shown_text(scenario, UNIT_FLOW, normal, text, sizeof text);
        printf("  note: the normal flow is %s; to turn the set screw there, add\n        --set "
               "%s.rate='%s'\n",
               text, scenario->model.duty == DUTY_BACK_PRESSURE ? "inflow" : "demand", text);
    }
}

static void note_screw(const struct scenario_case *scenario, const char *name, double adjusted) {
    char flow[WINDOW_TEXT_SIZE];
    if (isnan(adjusted)) {
        printf("  note: trim %s holds the set pressure at no flow\n", name);
    } else if (adjusted < own_flow(scenario)) {
        shown_text(scenario, UNIT_FLOW, adjusted, flow, sizeof flow);
        printf("  note: trim %s does not hold the set pressure at the scenario's flow; its set "
               "screw was\n        turned at %s\n",
               name, flow);
    }
}

void window_text_notes(const struct scenario_case *scenario, const char *name, double adjusted,
                       const struct trim_window *window) {
    char flow[WINDOW_TEXT_SIZE];
    note_screw(scenario, name, adjusted);
    if (!isnan(window->again)) {
        const double shown = shown_number(scenario, UNIT_FLOW, window->again);
        snprintf(flow, sizeof flow, shown < 100.0 ? "%.2g" : "%.0f", shown);
        printf("  note: trim %s stands a kick again below about %s %s: its steady flows are not "
               "one\n        range\n",
               name, flow, shown_unit(scenario, UNIT_FLOW));
    }
}

bool window_text_is_shut(const struct trim_window *window) {
    return (window->kicked > window->looked_at && window->below_kicked == VERDICT_SHUT) ||
           (window->settled > window->looked_at && window->below_settled == VERDICT_SHUT);
}

void window_text_shut(const struct scenario_case *scenario) {
    printf("  shut: the plug stays on its seat below that flow, because %s\n",
           scenario->model.actuation == ACTUATION_PILOT
               ? "the gas that the pilot uses\n        carries it all"
               : "what flows passes elsewhere");
}
