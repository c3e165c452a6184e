// SPDX-License-Identifier: MIT
#include "study/window_answer.h"

#include <math.h>

// Flows that differ by less than this share are the same to a reader.
#define SAME_FLOW 1e-3

static const struct answer_column kick_column = COLUMN_KICK;

static void put_or_none(struct answer_table *table, double number) {
    if (isnan(number)) {
        answer_said(table, number, "none");
    } else {
        answer_put(table, number);
    }
}

static void put_word_or_none(struct answer_table *table, const char *word) {
    if (word) {
        answer_word(table, word);
    } else {
        answer_put(table, (double)NAN);
    }
}

// "below X" where the search ended there.
static void put_lowest(struct answer *answer, struct answer_table *table, double flow,
                       double looked_at) {
    if (flow <= looked_at) {
        answer_said(table, flow, "below %s", answer_text(answer, UNIT_FLOW, flow));
    } else {
        put_or_none(table, flow);
    }
}

void window_answer_put(struct answer *answer, struct answer_table *table,
                       const struct trim_window *window) {
    if (window->bound == STEADINESS_BOUND_LIMIT && !isnan(window->largest)) {
        answer_said(table, window->largest, "%s (limit)",
                    answer_text(answer, UNIT_FLOW, window->largest));
    } else {
        put_or_none(table, window->largest);
    }
    answer_put(table, window->pressure);
    put_lowest(answer, table, window->kicked, window->looked_at);
    put_word_or_none(table, trim_window_below(window, true));
    put_lowest(answer, table, window->settled, window->looked_at);
    put_word_or_none(table, trim_window_below(window, false));
    put_or_none(table, window->top);
    answer_put(table, window->again);
    answer_put(table, window->looked_at);
}

void window_answer_head(struct answer *answer, const struct scenario_case *scenario, double kick,
                        bool anew, double normal) {
    const double own = trim_window_own_flow(scenario);
    const char *each = anew ? " (anew at each set pressure)" : "";
    answer_fact(answer, &kick_column, kick, NULL);
    if (!scenario->set_at_flow) {
        answer_label(answer, ANSWER_LINE, "set screw: ",
                     "as set.adjusted says, where the regulator begins to open%s; left there at "
                     "every flow",
                     each);
        return;
    }
    answer_label(answer, ANSWER_LINE, "set screw: ",
                 "turned at %s, the scenario's first flow%s; left there at every other",
                 answer_text(answer, UNIT_FLOW, own), each);
    if (fabs(normal - own) > SAME_FLOW * own) {
        answer_say(answer, ANSWER_NOTE,
                   "to turn the set screw at the normal flow, add --set %s.rate='%s'",
                   scenario->model.duty == DUTY_BACK_PRESSURE ? "inflow" : "demand",
                   answer_text(answer, UNIT_FLOW, normal));
    }
}

void window_answer_notes(struct answer *answer, const struct scenario_case *scenario,
                         const char *name, double adjusted, const struct trim_window *window) {
    if (isnan(adjusted)) {
        answer_say(answer, ANSWER_NOTE, "trim %s holds the set pressure at no flow", name);
    } else if (adjusted < trim_window_own_flow(scenario)) {
        answer_say(answer, ANSWER_NOTE,
                   "trim %s does not hold the set pressure at the scenario's flow; its set screw "
                   "was turned at %s",
                   name, answer_text(answer, UNIT_FLOW, adjusted));
    }
    if (!isnan(window->again)) {
        // Found to a third only: more digits would promise too much.
        const double shown = answer_shown(answer, UNIT_FLOW, window->again);
        const char *flow = answer_keep(answer, shown < 100.0 ? "%.2g" : "%.0f", shown);
        answer_say(answer, ANSWER_NOTE,
                   "trim %s stands a kick again below about %s %s: its steady flows are not one "
                   "range",
                   name, flow, answer_unit(answer, UNIT_FLOW));
    }
}

bool window_answer_is_shut(const struct trim_window *window) {
    return (window->kicked > window->looked_at && window->below_kicked == VERDICT_SHUT) ||
           (window->settled > window->looked_at && window->below_settled == VERDICT_SHUT);
}

void window_answer_shut(struct answer *answer, const struct scenario_case *scenario) {
    answer_label(
        answer, ANSWER_LINE, "shut: ", "the plug stays on its seat below that flow, because %s",
        scenario->model.actuation == ACTUATION_PILOT ? "the gas that the pilot uses carries it all"
                                                     : "what flows passes elsewhere");
}
