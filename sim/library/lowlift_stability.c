// SPDX-License-Identifier: MIT
// Small motions of one trim, and the flows it is steady at, as a result.
#include "base/decimal.h"
#include "library/lowlift_result.h"
#include "library/lowlift_scenario.h"
#include "scenario/shown.h"
#include "steady/steadiness.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct study {
    struct scenario_case scenario;
    struct steadiness subject;
    bool set_reached;
    struct steadiness_settled today;
    struct linear_modes modes;
    bool looked; // there is a range of flows to look at
    struct steadiness_window window;
};

static const char *rest_words(enum steadiness_rest rest) {
    static const char *const words[] = {
        [STEADINESS_STEADY] = "every small motion dies out",
        [STEADINESS_UNSTEADY] = "a small motion grows",
        [STEADINESS_SHUT] = "the plug rests on its seat",
        [STEADINESS_WIDE_OPEN] = "the plug rests at its stop and does not hold the pressure",
        [STEADINESS_CANNOT_OPEN] = "the plug stays on its seat though the pressure asks it to open",
        [STEADINESS_CANNOT_SHUT] = "the closing force does not hold the plug on its seat",
        [STEADINESS_NO_REST] = "no travel balances the flow",
        [STEADINESS_FAILED] = "the eigenvalues could not be computed, or memory is lacking",
    };
    return words[rest];
}

static void window_words(const struct study *s, char *text, size_t size) {
    char lowest[64], low[64], top[64];
    shown_text(&s->scenario, UNIT_FLOW, s->window.lowest, lowest, sizeof lowest);
    shown_text(&s->scenario, UNIT_FLOW, s->window.low, low, sizeof low);
    shown_text(&s->scenario, UNIT_FLOW, s->window.top, top, sizeof top);
    switch (s->window.range) {
    case STEADINESS_EVERYWHERE:
        snprintf(text, size, "; steady at every flow from %s to %s", low, top);
        break;
    case STEADINESS_FROM:
        snprintf(text, size, "; steady from %s up to %s", lowest, top);
        break;
    case STEADINESS_NOWHERE:
        snprintf(text, size, "; steady at no flow from %s to %s", low, top);
        break;
    case STEADINESS_NOT_AT_TOP:
        snprintf(text, size, "; not steady at %s, though at some lower flow", top);
        break;
    case STEADINESS_NOT_PASSED:
        snprintf(text, size, "; wide open already at %s", low);
        break;
    }
}

static void take_verdict(struct lowlift_result *result, const struct study *s) {
    char window[160] = "";
    if (s->looked) {
        window_words(s, window, sizeof window);
    }
    result->verdict = steadiness_rest_name(s->today.rest);
    snprintf(result->reason, sizeof result->reason, "%s%s%s", rest_words(s->today.rest), window,
             s->set_reached ? "" : "; no travel holds the set pressure at the scenario's flow");
}

static void add_shown(struct lowlift_result *result, const struct study *s, const char *name,
                      enum unit_kind kind, double si) {
    result_add_figure(result, name, shown_number(&s->scenario, kind, si),
                      shown_unit(&s->scenario, kind), "");
}

static void take_figures(struct lowlift_result *result, const struct study *s) {
    const struct steadiness_settled *today = &s->today;
    const struct steadiness_window *w = &s->window;
    const double none = (double)NAN;
    double rated = s->scenario.model.trim.rated_travel;
    add_shown(result, s, "flow", UNIT_FLOW, s->subject.flow);
    add_shown(result, s, "rest_pressure", UNIT_PRESSURE_LEVEL, today->pressure);
    add_shown(result, s, "rest_opening", UNIT_FRACTION, today->travel / rated);
    result_add_figure(result, "growth_rate", today->growth, "1/s", "");
    add_shown(result, s, "frequency", UNIT_FREQUENCY, today->frequency);
    result_add_figure(result, "damping_ratio", today->damping, "", "");
    add_shown(result, s, "lowest_steady_flow", UNIT_FLOW, s->looked ? w->lowest : none);
    add_shown(result, s, "lowest_flow_looked_at", UNIT_FLOW, s->looked ? w->low : none);
    add_shown(result, s, "highest_flow_looked_at", UNIT_FLOW, s->looked ? w->top : none);
}

// False without memory.
static bool take_channels(struct lowlift_result *result, const struct study *s) {
    const struct scenario_case *scenario = &s->scenario;
    const size_t modes = s->modes.count, changes = s->looked ? s->window.count : 0;
    double *growth = result_add_channel(result, "growth rate", "1/s", modes);
    double *frequency = result_add_channel(result, "frequency", "Hz", modes);
    double *damping = result_add_channel(result, "damping ratio", "", modes);
    double *neutral =
        result_add_channel(result, "neutral flow", shown_unit(scenario, UNIT_FLOW), changes);
    if ((modes > 0 && (!growth || !frequency || !damping)) || (changes > 0 && !neutral)) {
        return false;
    }
    for (size_t i = 0; i < modes; i++) {
        growth[i] = s->modes.at[i].growth;
        frequency[i] = s->modes.at[i].frequency;
        damping[i] = s->modes.at[i].damping_ratio;
    }
    for (size_t i = 0; i < changes; i++) {
        neutral[i] = shown_number(scenario, UNIT_FLOW, s->window.change[i].flow);
    }
    return true;
}

// False without memory.
static bool find(struct study *s) {
    double low, high;
    atomic_bool no_memory = false;
    s->set_reached = steadiness_prepare(&s->scenario, &s->subject);
    s->subject.no_memory = &no_memory;
    s->today = steadiness_modes(&s->subject, s->subject.flow, &s->modes);
    s->looked = s->subject.flow > 0.0;
    if (s->looked) {
        steadiness_default_range(&s->subject, s->scenario.pressure_limit, &low, &high);
        s->window = steadiness_lowest_flow(&s->subject, low, high);
    }
    s->subject.no_memory = NULL;
    return !atomic_load(&no_memory);
}

// NULL without memory.
static struct lowlift_result *result_of(const struct study *s) {
    struct lowlift_result *result = calloc(1, sizeof *result);
    if (!result) {
        return NULL;
    }
    take_verdict(result, s);
    take_figures(result, s);
    if (!take_channels(result, s)) {
        lowlift_free(result);
        return NULL;
    }
    return result;
}

struct lowlift_result *lowlift_stability(struct lowlift_scenario *handle, size_t trim) {
    struct lowlift_result *result = NULL;
    struct decimal decimal = decimal_begin();
    struct study *s = calloc(1, sizeof *s);
    if (s && scenario_ready(handle, trim, &s->scenario)) {
        result = find(s) ? result_of(s) : NULL;
        if (!result) {
            scenario_keep_no_memory(handle);
        }
    } else if (!s) {
        scenario_keep_no_memory(handle);
    }
    if (s) {
        scenario_case_free(&s->scenario);
        free(s);
    }
    decimal_end(decimal);
    return result;
}
