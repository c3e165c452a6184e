// SPDX-License-Identifier: MIT
#include "study/observed_check.h"

#include <math.h>

// The same flow, as typed in another unit.
#define SAME_FLOW 1e-9

// Whether nobody who saw that would call it so. What is undecided contradicts nothing, and a plug
// that hunts may be heard as one that hits.
static bool contradicts(enum observed_seen seen, enum verdict verdict) {
    const bool moves = verdict >= VERDICT_HUNTING && verdict <= VERDICT_CHATTER;
    if (verdict == VERDICT_UNDECIDED) {
        return false;
    }
    switch (seen) {
    case SEEN_QUIET:
    case SEEN_SETTLES:
        return verdict > VERDICT_FORCED;
    case SEEN_SHUT:
        return verdict != VERDICT_SHUT;
    case SEEN_WIDE_OPEN:
        return verdict != VERDICT_WIDE_OPEN;
    default:
        return !moves;
    }
}

static bool is_of_today(const struct scenario *scenario, const struct scenario_observed *row,
                        size_t trim, const struct scenario_case *resolved) {
    const struct schedule *flow = &resolved->model.flow;
    const double own = schedule_value(flow, schedule_piece(flow, 0.0), 0.0);
    const double then = scenario_si(scenario, trim, &row->flow);
    return row->change_count == 0 && fabs(then - own) <= SAME_FLOW * own;
}

// Trim that was in place: the first, unless the row says another.
static size_t trim_of(const struct scenario *scenario, const struct scenario_observed *row) {
    return row->trim[0] ? scenario_trim_find(scenario, row->trim, NULL) : 0;
}

static void judge(const struct scenario_observed *row, const struct simulation *run,
                  const struct scenario_case *resolved, struct answer *answer) {
    if (run->outcome == SIMULATION_DONE && contradicts(row->seen, run->judged.verdict)) {
        answer_label(answer, ANSWER_WARNING, "not as seen: ",
                     "at %s \"%s\" was seen (`observed`), but with the values as they stand, "
                     "guesses among them, trim %s is %s: this is another regulator than the one "
                     "on site. `lowlift match` finds those that fit, --draws asks them",
                     row->flow_text, row->said, resolved->trim_name,
                     verdict_name(run->judged.verdict));
    }
}

void observed_check_run(const struct scenario *scenario, size_t trim, const struct simulation *run,
                        const struct scenario_case *resolved, struct answer *answer) {
    const size_t count = scenario_is_changed(scenario) ? 0 : scenario_observed_count(scenario);
    for (size_t i = 0; i < count; i++) {
        const struct scenario_observed *row = scenario_observed_at(scenario, i);
        if (trim_of(scenario, row) == trim && is_of_today(scenario, row, trim, resolved)) {
            judge(row, run, resolved, answer);
        }
    }
}

void observed_check_tell(const struct scenario *scenario, struct answer *answer) {
    const size_t count = scenario_is_changed(scenario) ? 0 : scenario_observed_count(scenario);
    for (size_t i = 0; i < count; i++) {
        const struct scenario_observed *row = scenario_observed_at(scenario, i);
        const size_t trim = trim_of(scenario, row);
        struct diagnostics list = {0};
        struct scenario_case resolved = {0};
        if (trim < scenario_trim_count(scenario) &&
            scenario_resolve(scenario, trim, &resolved, &list) &&
            is_of_today(scenario, row, trim, &resolved)) {
            struct simulation run;
            simulate_so(&resolved, &(struct simulation_manner){.brief = true}, &run);
            judge(row, &run, &resolved, answer);
            simulation_free(&run);
        }
        scenario_case_free(&resolved);
        diagnostics_free(&list);
    }
}
